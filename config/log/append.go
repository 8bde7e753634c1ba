package log

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"lampblack/config/private"
)

// Append adds facts to the log in the file path, like [File.Append].
func Append(path string, facts ...Fact) error { return NewFile(path).Append(facts...) }

// Append adds facts to the file, which is made if it isn't there, and returns once
// they are on the disk. What [Read] wouldn't take is an error, and nothing is written.
func (f *File) Append(facts ...Fact) error {
	var text strings.Builder
	var names []string
	var read Log // as it is read from that
	for _, fact := range facts {
		one, err := encode(fact.Kind(), fact)
		if err != nil {
			return err
		}
		back, broken := parse(one)
		if len(broken) > 0 {
			return makesNoSense(fact)
		}
		text.WriteString(one)
		names = append(names, nameOf(fact.Kind()))
		read = append(read, back...)
	}
	before, after, err := appendDurably(f.path, text.String())
	if err != nil {
		return fmt.Errorf("the %s was not logged: %w", strings.Join(names, " and "), err)
	}
	if f.known.is(before) {
		f.log = append(f.log, read...)
		f.known = after
	} else {
		f.known = stamp{} // somebody else has written to it
	}
	return nil
}

// appendDurably adds text to the end of a file in one write, on a line of its
// own, and waits until the disk has it. before and after are the file's states on
// either side of that, as long as nobody else writes; otherwise after is none.
func appendDurably(path, text string) (before, after stamp, err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return before, after, err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o600)
	if err != nil {
		return before, after, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	info, added, err := private.AppendLines(f, []byte(text))
	if err != nil {
		return before, after, err
	}
	before = stampOf(info)
	if info, err := f.Stat(); err == nil && info.Size() == before.size+int64(added) {
		after = stampOf(info)
	}
	return before, after, nil
}
