package journal

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"time"

	"lampblack/config/private"
	"lampblack/rules"
)

// learn reads the latest entries: identities for Known, the very last in full.
func (j *Journal) learn(paths []string) error {
	err := tail(paths, maxKnown, decodeHead, func(h head) error {
		j.rememberState(h)
		return nil
	})
	if err != nil {
		return err
	}
	return tail(paths, 4*maxLast, decode, func(e Entry) error { // some of them may be damaged
		j.keepLast(e)
		return nil
	})
}

// head is what Known and Before need of an Entry.
type head struct {
	Version int         `json:"v"`
	At      time.Time   `json:"at"`
	Path    string      `json:"path"`
	Size    int64       `json:"size"`
	ModTime time.Time   `json:"mtime"`
	Hash    string      `json:"hash"`
	Gist    *rules.Gist `json:"gist"`
}

// reportKey begins the part of a line that a head is read without.
var reportKey = []byte(`,"report":`)

// decodeHead reads the head of an entry. It doesn't look into the report, which
// is nine tenths of a line, but makes sure that its end is there: the start of
// the program is not the time to read 20 000 reports.
func decodeHead(line []byte) (head, error) {
	if bytes.Contains(line, reportKey) && balanced(line) {
		return startOf(line)
	}
	return parseHead(line)
}

// balanced tells whether the first bracket of a line of JSON is closed by its
// last byte. A line that was cut off is not balanced.
func balanced(line []byte) bool {
	depth := 0
	for i := 0; i < len(line); i++ {
		switch line[i] {
		case '"':
			for i++; i < len(line) && line[i] != '"'; i++ {
				if line[i] == '\\' {
					i++
				}
			}
		case '{', '[':
			depth++
		case '}', ']':
			if depth--; depth == 0 {
				return i == len(line)-1
			}
		}
	}
	return false
}

func parseHead(line []byte) (head, error) {
	var h head
	if err := json.Unmarshal(line, &h); err != nil || h.Version != Format {
		return head{}, whatElse(line)
	}
	if h.Path == "" || h.At.IsZero() {
		return head{}, errDamaged
	}
	return h, nil
}

// tail hands the last n lines, counted over all files, to fn, the oldest first.
func tail[T any](paths []string, n int, decode func([]byte) (T, error), fn func(T) error) error {
	var ends []*end // the latest file first
	defer func() {
		for _, e := range ends {
			e.f.Close()
		}
	}()
	for i := len(paths) - 1; i >= 0 && n > 0; i-- {
		e, err := openEnd(paths[i], n)
		if err != nil {
			return fmt.Errorf("the journal can't be read: %w", advised(err, whatToDo))
		}
		ends = append(ends, e)
		n -= e.lines
	}
	for i := len(ends) - 1; i >= 0; i-- {
		if _, err := readLines(ends[i].f, ends[i].f.Name(), decode, fn); err != nil {
			return err
		}
	}
	return nil
}

// end is a file, positioned at the first of its last lines.
type end struct {
	f     *os.File
	lines int
}

func openEnd(path string, n int) (*end, error) {
	f, err := private.Open(path, os.O_RDONLY)
	if err != nil {
		return nil, err
	}
	e, err := seekEnd(f, n)
	if err != nil {
		f.Close()
		return nil, err
	}
	return e, nil
}

func seekEnd(f *os.File, n int) (*end, error) {
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	offset, lines, err := lastLines(f, info.Size(), n)
	if err != nil {
		return nil, err
	}
	_, err = f.Seek(offset, io.SeekStart)
	return &end{f, lines}, err
}
