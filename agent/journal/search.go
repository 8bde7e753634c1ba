package journal

import (
	"bytes"
	"context"
	"io"
	"path/filepath"
	"strings"
	"time"

	"lampblack/rules"
)

// Filter says which entries are wanted; its zero value wants all.
type Filter struct {
	Names    []string        // any of them; see nameWanted
	From, To time.Time       // judged at From or later, and before To; zero: no bound
	Verdicts []rules.Verdict // any of them
	Where    []Where         // all of them
}

// Search is Read for the entries that are wanted. It looks no further into a
// line than it must (of ten years, most lines are not even decoded), and decodes on
// all processors; fn is called in order, by one goroutine. Lines that are damaged are
// counted only where they could be wanted.
//
// It ends with an error of ctx when that ends, whether anything is found or not.
func Search(ctx context.Context, dir string, f Filter, fn func(Entry) error) (skipped int, err error) {
	paths, err := yearFiles(dir)
	if err != nil {
		return 0, cantRead(err)
	}
	pick := f.picker()
	for _, path := range paths {
		if !f.mayBeIn(path) {
			continue
		}
		n, err := f.searchFile(ctx, path, pick, fn)
		skipped += n
		if err != nil {
			return skipped, err
		}
	}
	return skipped, nil
}

// ReadLast gives the latest n entries, the latest first, as Last does for an open
// journal. It only reads, so that another process may append.
func ReadLast(dir string, n int) ([]Entry, error) {
	paths, err := yearFiles(dir)
	if err != nil {
		return nil, cantRead(err)
	}
	j := &Journal{}
	err = tail(paths, 4*maxLast, decode, func(e Entry) error { // some of them may be damaged
		j.keepLast(e)
		return nil
	})
	return j.Last(n), err
}

// mayBeIn tells whether a year's file can hold a wanted entry. Entries go by the
// year of their own time zone, which may differ by one from that of the bounds.
func (f Filter) mayBeIn(path string) bool {
	year, _ := yearOf(filepath.Base(path))
	return (f.From.IsZero() || year >= f.From.Year()-1) && (f.To.IsZero() || year <= f.To.Year()+1)
}

func (f Filter) searchFile(ctx context.Context, path string, pick func([]byte) error, fn func(Entry) error) (skipped int, err error) {
	file, err := openFile(path)
	if err != nil {
		return 0, err
	}
	defer file.Close()
	return readLinesSpread(patient{ctx, file}, path, pick, f.decode, fn)
}

// patient is a reader that ends with its context.
type patient struct {
	ctx context.Context
	io.Reader
}

func (p patient) Read(b []byte) (int, error) {
	if err := p.ctx.Err(); err != nil {
		return 0, err
	}
	return p.Reader.Read(b)
}

// picker tells by its beginning, and by a look for words, whether a line can be
// wanted; if not, by errUnwanted.
func (f Filter) picker() func([]byte) error {
	names := make([]string, len(f.Names))
	for i, n := range f.Names {
		names[i] = strings.ToLower(asWritten(n))
	}
	marks := f.marks()
	return func(line []byte) error {
		if empty(line) {
			return errUnwanted
		}
		h, err := startOf(line)
		if err == nil && !(f.inTime(h.At) && nameWanted(names, h.Path) && containsAny(line, marks)) {
			err = errUnwanted
		}
		return err
	}
}

// decode is the package's, with errUnwanted for what is not wanted after all.
func (f Filter) decode(line []byte) (Entry, error) {
	e, err := decode(line)
	if err == nil && !f.wants(e) {
		err = errUnwanted
	}
	return e, err
}

// startOf is the head of a line, whose end may be missing.
func startOf(line []byte) (head, error) {
	if i := bytes.Index(line, reportKey); i > 0 {
		if h, err := parseHead(append(line[:i:i], '}')); err == nil {
			return h, nil
		}
	}
	return parseHead(line)
}

// marks are texts of which every line with a wanted verdict has one. encode
// writes no other space, and quotes within a text are never bare.
func (f Filter) marks() [][]byte {
	var marks [][]byte
	for _, v := range f.Verdicts {
		mark := `"verdict":"` + string(v) + `"`
		if v == rules.Unread {
			mark = `"unread":"`
		}
		marks = append(marks, []byte(mark))
	}
	return marks
}

func containsAny(line []byte, marks [][]byte) bool {
	for _, m := range marks {
		if bytes.Contains(line, m) {
			return true
		}
	}
	return len(marks) == 0
}

func (f Filter) inTime(at time.Time) bool {
	return (f.From.IsZero() || !at.Before(f.From)) && (f.To.IsZero() || at.Before(f.To))
}

// nameWanted tells whether a path, without regard to case, has any of the names
// (in lower case) in it, or is matched by one as a pattern: the whole path, or
// its last part.
func nameWanted(names []string, path string) bool {
	path = strings.ToLower(path)
	base := path[strings.LastIndexAny(path, `/\`)+1:] // a journal may have come from another system
	for _, n := range names {
		if strings.Contains(path, n) || matches(n, base) || matches(n, path) {
			return true
		}
	}
	return len(names) == 0
}

func matches(pattern, name string) bool {
	ok, err := filepath.Match(pattern, name)
	return ok && err == nil
}

func (f Filter) wants(e Entry) bool {
	wanted := len(f.Verdicts) == 0
	for _, v := range f.Verdicts {
		wanted = wanted || v == e.Verdict()
	}
	for _, w := range f.Where {
		wanted = wanted && w.Holds(e)
	}
	return wanted
}
