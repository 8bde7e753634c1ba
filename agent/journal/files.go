package journal

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"lampblack/config/private"
)

// fileName is where the entries of a year go.
func fileName(year int) string { return fmt.Sprintf("journal-%04d.jsonl", year) }

// yearFiles returns the paths of the journal's files, the oldest first.
func yearFiles(dir string) ([]string, error) {
	if err := private.CheckFolder(dir); err != nil {
		return nil, err
	}
	entries, err := os.ReadDir(dir) // sorted by name, and so by year
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var paths []string
	for _, e := range entries {
		if _, ok := yearOf(e.Name()); !ok {
			continue
		}
		if !e.IsDir() { // a link is told of by whoever opens it
			paths = append(paths, filepath.Join(dir, e.Name()))
		}
	}
	return paths, nil
}

// yearOf is the inverse of fileName.
func yearOf(name string) (year int, ok bool) {
	t, err := time.Parse("journal-2006.jsonl", name)
	return t.Year(), err == nil
}

// lines reads line by line, holding at most maxLine bytes.
type lines struct {
	r    *bufio.Reader
	long []byte // the beginning of a line that is longer than the reader's buffer
	end  bool   // the file has ended, whatever was appended since
}

func newLines(r io.Reader) *lines { return &lines{r: bufio.NewReaderSize(r, 64<<10)} }

// next returns the next line without its newline, valid until the next call.
// A line longer than maxLine is passed over and gives errDamaged. At the end
// it returns io.EOF, never together with a line, and then always: what another
// process appends meanwhile would begin in the middle of a line.
func (l *lines) next() ([]byte, error) {
	if l.end {
		return nil, io.EOF
	}
	part, err := l.r.ReadSlice('\n')
	l.end = err == io.EOF
	if err != bufio.ErrBufferFull {
		return ended(part, err)
	}
	length := 0
	l.long = l.long[:0]
	for {
		length += len(part)
		if length <= maxLine {
			l.long = append(l.long, part...)
		}
		if err != bufio.ErrBufferFull {
			break
		}
		part, err = l.r.ReadSlice('\n')
		l.end = err == io.EOF
	}
	if length > maxLine && (err == nil || err == io.EOF) {
		return nil, errDamaged
	}
	return ended(l.long, err)
}

// ended makes a line of what was read up to a newline or an error. The last line
// of a file may lack its newline.
func ended(text []byte, err error) ([]byte, error) {
	if err == nil || err == io.EOF && len(text) > 0 {
		return bytes.TrimSuffix(text, []byte("\n")), nil
	}
	return nil, err
}

// lastLines returns where the last n lines of a file begin, and how many there
// are when there are fewer. It reads from the end.
func lastLines(f io.ReaderAt, size int64, n int) (offset int64, count int, err error) {
	buf := make([]byte, 64<<10)
	for end := size; end > 0; {
		begin := max(0, end-int64(len(buf)))
		chunk := buf[:end-begin]
		if _, err := f.ReadAt(chunk, begin); err != nil {
			return 0, 0, err
		}
		for i := len(chunk) - 1; i >= 0; i-- {
			at := begin + int64(i) + 1 // a line begins here, unless the file ends here
			if chunk[i] != '\n' || at == size {
				continue
			}
			if count++; count == n {
				return at, count, nil
			}
		}
		end = begin
	}
	if size > 0 {
		count++ // the first line has no newline before it
	}
	return 0, count, nil
}
