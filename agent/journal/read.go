package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
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
		return 0, fmt.Errorf("the journal can't be read: %w; check the permissions of that folder", err)
	}
	for _, path := range paths {
		n, err := readFileWith(path, decode, fn)
		skipped += n
		if err != nil {
			return skipped, err
		}
	}
	return skipped, nil
}

func readFileWith(path string, decode func([]byte) (Entry, error), fn func(Entry) error) (skipped int, err error) {
	f, err := os.Open(path)
	if err != nil {
		return 0, fmt.Errorf("the journal can't be read: %w; check the permissions of that file", err)
	}
	defer f.Close()
	return readLines(f, path, decode, fn)
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
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		switch e, err := decode(line); {
		case err == errUnwanted:
		case errors.Is(err, ErrNewer):
			return skipped, newer(path)
		case err != nil:
			skipped++
		default:
			if err := fn(e); err != nil {
				return skipped, err
			}
		}
	}
}

func newer(path string) error {
	return fmt.Errorf("the journal %s in %s can't be used, as %w than this one, which knows format %d; update, or move that file away",
		filepath.Base(path), filepath.Dir(path), ErrNewer, Format)
}
