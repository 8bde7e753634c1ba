package log

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"time"
)

// File is the log in a file, as a program that keeps running has it: it reads the
// file again only when somebody else has written to it.
type File struct {
	path      string
	log       Log
	recovered string
	since     time.Time // older fleeting facts than that are not in log
	known     stamp     // of the file that has just what log has; zero: it is to be read
}

// stamp tells one state of a file from another.
type stamp struct {
	size     int64
	modified time.Time
	there    bool
}

func stampOf(info fs.FileInfo) stamp { return stamp{info.Size(), info.ModTime(), true} }

func (s stamp) is(t stamp) bool {
	return s.there && t.there && s.size == t.size && s.modified.Equal(t.modified)
}

// NewFile is the log in the file path, which need not exist, and is not read yet.
func NewFile(path string) *File { return &File{path: path} }

// Read is the log as it is now, as [Read] gives it, without the fleeting facts
// (readings) from before a moment; the newest of those at the desk is kept, since it
// may still be the newest of all.
func (f *File) Read(since time.Time) (l Log, recovered string, err error) {
	if info, err := os.Stat(f.path); err == nil && f.known.is(stampOf(info)) && !since.Before(f.since) {
		return f.log, f.recovered, nil
	}
	content, read, err := readWhole(f.path)
	if err != nil {
		return nil, "", fmt.Errorf("the log of readings can't be read: %w", err)
	}
	log, broken := parse(content)
	if !since.IsZero() {
		log = log.since(since)
	}
	f.log, f.recovered, f.since, f.known = log, sayRecovered(f.path, broken), since, read
	return f.log, f.recovered, nil
}

// Read reads the log in the file path. A file that isn't there is an empty log. An
// entry that a crash has torn, or that makes no sense, is left out; recovered then
// says so in one sentence, and is empty otherwise. The error is the system's, for a
// file that can't be read.
func Read(path string) (l Log, recovered string, err error) {
	return NewFile(path).Read(time.Time{})
}

// sayRecovered is the sentence about lines that were left out.
func sayRecovered(path string, broken []int) string {
	switch len(broken) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("%s:%d: an entry there is torn or makes no sense; it was left out, all others are kept", path, broken[0])
	}
	return fmt.Sprintf("%s:%d: an entry there and %d more are torn or make no sense; they were left out, all others are kept",
		path, broken[0], len(broken)-1)
}

// Knows tells whether a file of that size and time has nothing that this one lacks:
// it is as it was last read, or written, here.
func (f *File) Knows(size int64, modified time.Time) bool {
	return f.known.is(stamp{size, modified, true})
}

// readWhole reads a file, one that isn't there as an empty one.
func readWhole(path string) (content string, read stamp, err error) {
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", stamp{}, nil
	}
	if err != nil {
		return "", stamp{}, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return "", stamp{}, err
	}
	var b strings.Builder // no second copy of what can be large
	b.Grow(int(info.Size()))
	if _, err := io.Copy(&b, file); err != nil {
		return "", stamp{}, err
	}
	if read = stampOf(info); int64(b.Len()) != read.size {
		read = stamp{} // it is being written: once more, the next time
	}
	return b.String(), read, nil
}
