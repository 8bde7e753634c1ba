package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"lampblack/config/private"
)

// Read calls fn for every entry in dir, the oldest year first, each year in the
// order it was written. Lines that are damaged (cut off, garbage, longer than
// a line can be) are skipped and counted, whatever they hold. A folder that is
// not there is an empty journal.
//
// It ends at the first error: fn's own, a file that can't be read, or ErrNewer
// for a line of a newer format. Reading while another process appends is safe;
// a line that is just being written may count as damaged.
func Read(dir string, fn func(Entry) error) (skipped int, err error) {
	paths, err := yearFiles(dir)
	if err != nil {
		return 0, cantRead(err)
	}
	for _, path := range paths {
		n, err := readFile(path, decode, fn)
		skipped += n
		if err != nil {
			return skipped, err
		}
	}
	return skipped, nil
}

func readFile(path string, decode func([]byte) (Entry, error), fn func(Entry) error) (skipped int, err error) {
	f, err := openFile(path)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	return readLines(f, path, decode, fn)
}

func openFile(path string) (*os.File, error) {
	f, err := private.Open(path, os.O_RDONLY)
	if err != nil {
		err = fmt.Errorf("the journal can't be read: %w", advised(err, "check the permissions of that file"))
	}
	return f, err
}

// cantRead is the error about a folder that can't be read.
func cantRead(err error) error {
	return fmt.Errorf("the journal can't be read: %w", advised(err, "check the permissions of that folder"))
}

// readLines hands what decode makes of each line of r to fn; path is for errors.
func readLines[T any](r io.Reader, path string, decode func([]byte) (T, error), fn func(T) error) (skipped int, err error) {
	in := newLines(r)
	for {
		line, err := in.next()
		switch {
		case err == io.EOF:
			return skipped, nil
		case err == errDamaged:
			skipped++
			continue
		case err != nil:
			return skipped, fmt.Errorf("the journal can't be read on: %w; %s", err, whatToDo)
		}
		if empty(line) {
			continue
		}
		e, err := decode(line)
		damaged, err := handLine(e, err, path, fn)
		if damaged {
			skipped++
		}
		if err != nil {
			return skipped, err
		}
	}
}

// errUnwanted is a line that a filter leaves out.
var errUnwanted = errors.New("not wanted")

func empty(line []byte) bool { return len(bytes.TrimSpace(line)) == 0 }

// handLine hands what was made of a line to fn, or tells that it is damaged.
func handLine[T any](made T, err error, path string, fn func(T) error) (damaged bool, _ error) {
	switch {
	case err == nil:
		return false, fn(made)
	case err == errUnwanted:
		return false, nil
	case errors.Is(err, ErrNewer):
		return false, newer(path)
	}
	return true, nil
}

func newer(path string) error {
	return fmt.Errorf("the journal %s in %s can't be used, as %w than this one, which knows format %d; update, or move that file away",
		filepath.Base(path), filepath.Dir(path), ErrNewer, Format)
}
