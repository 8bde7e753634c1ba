package config

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"time"
)

// LogFile is the log in a file, as a program that keeps running has it: it reads the
// file again only when somebody else has written to it.
type LogFile struct {
	path      string
	log       Log
	recovered string
	since     time.Time // older readings than that are not in log
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

// NewLogFile is the log in the file path, which need not exist, and is not read yet.
func NewLogFile(path string) *LogFile { return &LogFile{path: path} }

// Read is the log as it is now, as [ReadLog] gives it, without the readings from
// before a moment; the newest of those at the desk is kept, since it may still be the
// newest of all.
func (f *LogFile) Read(since time.Time) (l Log, recovered string, err error) {
	if info, err := os.Stat(f.path); err == nil && f.known.is(stampOf(info)) && !since.Before(f.since) {
		return f.log, f.recovered, nil
	}
	content, read, err := readWhole(f.path)
	if err != nil {
		return Log{}, "", fmt.Errorf("the log of readings can't be read: %w", err)
	}
	log, broken := parseLog(content)
	if !since.IsZero() {
		log = log.since(since)
	}
	f.log, f.recovered, f.since, f.known = log, sayRecovered(f.path, broken), since, read
	return f.log, f.recovered, nil
}

// Knows tells whether a file of that size and time has nothing that this one lacks:
// it is as it was last read, or written, here.
func (f *LogFile) Knows(size int64, modified time.Time) bool {
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
