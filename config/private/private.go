// Package private keeps files that belong to one user: they are made for the user
// alone, in folders that only the user can enter, and no link is followed where one of
// them should be, so that nobody leads what is written to another file. A link further
// up, in the path of the folder, is the user's own affair. [Replace] writes a file whole or
// not at all; what [Append] opens is only added to, by [AppendLines] line by line.
package private

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// ErrLink means that there is a link where a file or a folder of ours should be.
var ErrLink = errors.New("is a link, which is not followed")

// errNotPlain means that there is something else where a file should be.
var errNotPlain = errors.New("is not a plain file")

// Open opens a file for the flags of package os; one that it makes is the user's
// alone. The error is ErrLink for a link, and the system's otherwise.
func Open(path string, flag int) (*os.File, error) {
	if err := refuseLink(path); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, flag|noFollow, 0o600)
	if err != nil {
		// It may have become a link just now, of which each system says something else.
		return nil, firstOf(refuseLink(path), err)
	}
	info, err := f.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = fmt.Errorf("%s %w: move it away", path, errNotPlain)
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}

// firstOf is the first of two errors that is one.
func firstOf(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

// Append opens a file to read it and to write at its end, and makes it if need be.
func Append(path string) (*os.File, error) {
	return Open(path, os.O_RDWR|os.O_APPEND|os.O_CREATE)
}

// AppendLines adds lines to the end of a file opened to read and to append: in one write,
// on lines of their own even where the last one there was cut off. It returns once they
// are on the disk, and a new file's name too, with the file as it was before and how many
// bytes were added.
func AppendLines(f *os.File, lines []byte) (before fs.FileInfo, added int, err error) {
	before, err = f.Stat()
	if err != nil {
		return nil, 0, err
	}
	size := before.Size()
	torn, err := endsTorn(f, size)
	if err != nil {
		return before, 0, err
	}
	if torn {
		lines = append([]byte{'\n'}, lines...)
	}
	if added, err = f.Write(lines); err == nil {
		err = f.Sync()
	}
	if err == nil && size == 0 {
		err = SyncFolder(filepath.Dir(f.Name()))
	}
	return before, added, err
}

// endsTorn tells whether the last line of a file of that size lacks its end.
func endsTorn(f *os.File, size int64) (bool, error) {
	if size == 0 {
		return false, nil
	}
	var last [1]byte
	if _, err := f.ReadAt(last[:], size-1); err != nil {
		return false, err
	}
	return last[0] != '\n', nil
}

// Read is the content of a file.
func Read(path string) ([]byte, error) {
	f, err := Open(path, os.O_RDONLY)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}

// Folder makes a folder, and those above it, if need be.
func Folder(path string) error {
	if err := CheckFolder(path); err != nil {
		return err
	}
	return os.MkdirAll(path, 0o700)
}

// CheckFolder is ErrLink for a folder that is a link. One that isn't there is fine.
func CheckFolder(path string) error { return refuseLink(path) }

// Replace replaces the content of a file so that a reader, or a power cut, meets the
// old content or the new one. What was there, a link too, is gone afterwards, and
// where it led to is untouched.
func Replace(path string, content []byte) error {
	dir, name := filepath.Split(path)
	f, err := os.CreateTemp(filepath.Clean(dir), name+".*.tmp") // 0600
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		_ = os.Remove(f.Name())
		return err
	}
	return SyncFolder(filepath.Dir(path))
}

// refuseLink is ErrLink for a path that ends in a link.
func refuseLink(path string) error {
	info, err := os.Lstat(path)
	if err == nil && isLink(info) {
		return fmt.Errorf("%s %w: remove it, or put there what it leads to", path, ErrLink)
	}
	return nil // whatever is wrong, whoever opens it is told
}

// isLink tells links; Windows has more kinds of them than one.
func isLink(info fs.FileInfo) bool {
	return info.Mode()&fs.ModeSymlink != 0 || info.Mode()&fs.ModeIrregular != 0
}
