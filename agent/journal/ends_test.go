package journal

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"
	"time"
)

// These tests are about the ends of files, and about files that can't be read or
// written.

// The end of a file that can't be read, or has gone, is an error and not an empty end.
func TestEndThatCannotBeRead(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, fileName(2026))
	write(t, dir, 2026, line(t, entry(1)))
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	must(t, err)
	if e, err := seekEnd(f, 1); e != nil || err == nil {
		t.Errorf("of a file that can't be read: %v, %v", e, err)
	}
	j := open(t, t.TempDir())
	if err := j.prepare(f, 5); err == nil || !strings.Contains(err.Error(), "can't be read") {
		t.Errorf("prepared for the next line: %v", err)
	}
	must(t, f.Close())
	if e, err := seekEnd(f, 1); e != nil || err == nil {
		t.Errorf("of a file that is closed: %v, %v", e, err)
	}
	if e, err := openEnd(filepath.Join(dir, "none"), 1); e != nil || !errors.Is(err, os.ErrNotExist) {
		t.Errorf("of a file that isn't there: %v, %v", e, err)
	}
	searched := func(Entry) error { t.Error("an entry came"); return nil }
	if _, err := (Filter{}).searchFile(t.Context(), filepath.Join(dir, "none"), Filter{}.picker(), searched); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("searching a file that isn't there: %v", err)
	}
	if _, _, err := lastLines(f, 5, 1); err == nil {
		t.Error("lines of a file that is closed")
	}
	none := func(head) error { t.Error("a line came"); return nil }
	if err := tail([]string{filepath.Join(dir, "none")}, 1, decodeHead, none); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the tail of a file that isn't there: %v", err)
	}
	came := 0
	count := func(head) error { came++; return nil }
	if err := tail([]string{filepath.Join(dir, "none"), path}, 1, decodeHead, count); err != nil || came != 1 {
		t.Errorf("%d lines came, %v; want one, and no look into an older file", came, err)
	}
	enough := errors.New("enough")
	if err := tail([]string{path}, 1, decodeHead, func(head) error { return enough }); err != enough {
		t.Errorf("the tail ends with %v, want the caller's error", err)
	}
}

// A drive that fails in the middle is told, with what was skipped until then.
func TestReadingBreaksOff(t *testing.T) {
	broken := errors.New("input/output error")
	text := "garbage\n" + line(t, entry(1)) + "\n \n"
	reader := func() io.Reader { return io.MultiReader(strings.NewReader(text), iotest.ErrReader(broken)) }
	for _, spread := range []bool{false, true} {
		seen := 0
		fn := func(Entry) error { seen++; return nil }
		var skipped int
		var err error
		if spread {
			skipped, err = readLinesSpread(reader(), "j", Filter{}.picker(), decode, fn)
		} else {
			skipped, err = readLines(reader(), "j", decode, fn)
		}
		if !errors.Is(err, broken) || !strings.Contains(err.Error(), "can't be read on") || seen > 1 {
			t.Errorf("spread %v: %d entries, %v", spread, seen, err)
		}
		if !spread && (skipped != 1 || seen != 1) {
			t.Errorf("%d entries and %d skipped before it, want 1 and 1", seen, skipped)
		}
	}
}

// A journal that isn't one is an error for every reader, and never an empty journal.
func TestFolderThatIsNone(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "file")
	must(t, os.WriteFile(dir, nil, 0o600))
	nothing := func(Entry) error { return nil }
	_, errRead := Read(dir, nothing)
	_, errSearch := Search(t.Context(), dir, Filter{}, nothing)
	last, errLast := ReadLast(dir, 1)
	_, found, errFind := Find(dir, "/a")
	j, errOpen := Open(dir)
	outcomes, _, errOutcomes := ReadOutcomes(dir)
	for name, err := range map[string]error{
		"Read": errRead, "Search": errSearch, "ReadLast": errLast, "Find": errFind, "Open": errOpen,
		"ReadOutcomes": errOutcomes, "AppendOutcome": AppendOutcome(dir, outcome("a.tif", 0.3, 0.2)),
		"TakeBackOutcome": TakeBackOutcome(dir, outcome("a.tif", 0.3, 0.2), evening),
	} {
		if err == nil {
			t.Errorf("%s takes a file for a journal", name)
		}
	}
	if last != nil || found || j != nil || outcomes != nil {
		t.Errorf("of no journal there is %v, %v, %v, %v", last, found, j, outcomes)
	}
}

// An entry for a former year goes to that year's file, whose last line may be cut off;
// what stands before that is looked at, lest a newer version's file is written to.
func TestFormerYearOfANewerVersion(t *testing.T) {
	for text, want := range map[string]error{
		`{"v":2}` + "\n":            ErrNewer,
		`{"v":2}` + "\n" + `{"v":`:  ErrNewer,
		`{"v":2}`:                   ErrNewer,
		"garbage\n":                 nil,
		line(t, entry(7)):           nil,
		line(t, entry(7)) + `{"v":`: nil,
		"x":                         nil,
	} {
		dir := t.TempDir()
		j := open(t, dir)
		write(t, dir, 2020, text)
		e := entry(1)
		e.At = time.Date(2020, 5, 1, 0, 0, 0, 0, time.UTC)
		if err := j.Append(e); !errors.Is(err, want) {
			t.Errorf("%q: %v, want %v", text, err, want)
		}
		after := textOf(t, filepath.Join(dir, fileName(2020)))
		if want != nil {
			if after != text {
				t.Errorf("%q has become %q", text, after)
			}
			continue
		}
		end := ""
		if !strings.HasSuffix(text, "\n") {
			end = "\n"
		}
		if after != text+end+line(t, e) {
			t.Errorf("%q has become %q", text, after)
		}
		if told := j.Recovered(); strings.Contains(told, "was cut off") != (end != "") || j.Recovered() != "" {
			t.Errorf("%q: told %q, want it told once if a line was cut off", text, told)
		}
	}
}

// Outcomes go on a line of their own, and only into a file of this format.
func TestOutcomesBehindWhatIsThere(t *testing.T) {
	for text, want := range map[string]struct {
		skipped int
		newer   bool
	}{"": {0, false}, "x": {1, false}, "x\n": {1, false}, "\n": {0, false}, `{"v":2}` + "\n": {0, true}, `x` + "\n" + `{"v":2}`: {0, true}} {
		dir := t.TempDir()
		path := filepath.Join(dir, "outcomes.jsonl")
		must(t, os.WriteFile(path, []byte(text), 0o600))
		err := AppendOutcome(dir, outcome("a.tif", 0.3, 0.2))
		if errors.Is(err, ErrNewer) != want.newer || !want.newer && err != nil {
			t.Errorf("%q: %v", text, err)
		}
		if want.newer {
			if after := textOf(t, path); after != text {
				t.Errorf("%q has become %q", text, after)
			}
			continue
		}
		if got, skipped, err := ReadOutcomes(dir); err != nil || len(got) != 1 || skipped != want.skipped {
			t.Errorf("%q: %d outcomes, %d skipped, %v", text, len(got), skipped, err)
		}
	}
}

// Whoever deletes the journal's file, or the folder, loses what was in it and nothing
// that comes after.
func TestFileThatIsDeletedUnderneath(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "journal")
	j := open(t, dir)
	must(t, j.Append(entry(1)))
	must(t, os.Remove(filepath.Join(dir, fileName(2026))))
	must(t, j.Append(entry(2)))
	wantSizes(t, dir, 0, 3)
	must(t, os.RemoveAll(dir))
	must(t, j.Append(entry(3)))
	must(t, j.Append(entry(4)))
	wantSizes(t, dir, 0, 4, 5)
	must(t, j.file.Close()) // as a drive that fails
	if err := j.Append(entry(5)); err == nil || j.file != nil {
		t.Errorf("written to a file that is closed: %v", err)
	}
	if e := entry(5); j.Known(e.Path, e.Size, e.ModTime) {
		t.Error("an entry that was not kept is known")
	}
	must(t, j.Append(entry(6)))
	wantSizes(t, dir, 0, 4, 5, 7)
	must(t, j.file.Close())
	must(t, os.Remove(filepath.Join(dir, fileName(2026))))
	if err := j.Append(entry(7)); err == nil || !strings.Contains(err.Error(), "can't be closed") {
		t.Errorf("the file that is gone could not be closed: %v", err)
	}
	must(t, j.Append(entry(8)))
	wantSizes(t, dir, 0, 9)
	must(t, j.file.Close())
	if err := j.Close(); err == nil {
		t.Error("a file that could not be closed was, it says")
	}
}

// A line that was cut off in a file that can't be written stays so, and that is told.
func TestCutOffLineThatCannotBeEnded(t *testing.T) {
	path := filepath.Join(t.TempDir(), fileName(2026))
	writeFile(t, path, "x")
	f, err := os.Open(path)
	must(t, err)
	defer f.Close()
	j := open(t, t.TempDir())
	if err := j.prepare(f, 1); err == nil || !strings.Contains(err.Error(), "can't be written") || j.Recovered() != "" {
		t.Errorf("%v, want that it can't be written", err)
	}
}

// The end of a file is read in pieces of 64 KiB; a line that ends with a piece's first
// byte, or begins with it, is found where it is.
func TestLastLinesAtTheEndsOfPieces(t *testing.T) {
	for length, front := range map[int]string{65_534: "\n", 65_535: "\n", 65_536: "\n", 65_537: "\n", 65_538: "a\n"} {
		text := front + strings.Repeat("x", length)
		offset, count, err := lastLines(strings.NewReader(text), int64(len(text)), 1)
		if err != nil || offset != int64(len(front)) || count != 1 {
			t.Errorf("a last line of %d bytes: at %d, %d lines, %v", length, offset, count, err)
		}
	}
}
