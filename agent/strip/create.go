package strip

import (
	"errors"
	"os"
)

// Create makes the test strip of a picture file, as [Write] does, in a new file. It
// never writes over one, whose error is then an [io/fs.ErrExist], and leaves none
// behind that is not whole.
func Create(out, file string, o Options) (plan Plan, err error) {
	in, err := os.Open(file)
	if err != nil {
		return plan, err
	}
	defer in.Close()
	info, err := in.Stat()
	if err != nil {
		return plan, err
	}
	f, err := os.OpenFile(out, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return plan, err
	}
	defer func() {
		if err = errors.Join(err, f.Close()); err != nil {
			_ = os.Remove(out)
		}
	}()
	return Write(f, in, info.Size(), o)
}
