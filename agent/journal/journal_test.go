package journal

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
)

var day = time.Date(2026, 3, 2, 9, 30, 0, 123456789, time.UTC)

// entry is the n-th export of a day in the Tidemark studio.
func entry(n int) Entry {
	return Entry{
		Version: Format, At: day.Add(time.Duration(n) * time.Second),
		Path: fmt.Sprintf("/srv/tidemark/prints/skarvik-%d.tif", n),
		Size: int64(n) + 1, ModTime: day,
		Silence: "the print holds",
	}
}

func report() *rules.Report {
	none := rules.Unknown
	r := &rules.Report{
		File: "skarvik.tif", At: day, Purpose: "print", Paper: "harbour rag", Viewing: "hall wall",
		Picture: rules.Picture{Width: 11648, Height: 8736, Depth: 16, PPI: 300, Profile: "wide", MeanY: 0.18},
		Verdict: rules.Darker,
		Causes:  []rules.Cause{{Name: rules.ScreenLuminance, Stops: 0.4}},
		Remedy:  &rules.Remedy{Text: "turn the north bench down", Value: 100, Unit: "cd/m²"},
		Notes:   []string{"the paper's white is assumed <sic> & \"quoted\""},
	}
	for _, d := range rules.Catalogue() {
		r.Conditions = append(r.Conditions, rules.Condition{
			Name: d.Name, Value: 160, Unit: "cd/m²", Target: [2]rules.Figure{80, none}, AgeHours: 30, Sigma: 0.03, Source: "the profile, north bench",
		})
	}
	r.Prediction.Targets.Shift.Whole, r.Prediction.Viewing.Shift.Whole = 0.5, none
	for i := range 33 {
		p := rules.CurvePoint{Y: float64(i) / 32, Shift: rules.Figure(float64(i) / 77)}
		r.Prediction.Targets.Curve = append(r.Prediction.Targets.Curve, p)
		r.Prediction.Viewing.Curve = append(r.Prediction.Viewing.Curve, p)
	}
	return r
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func open(t testing.TB, dir string) *Journal {
	t.Helper()
	j, err := Open(dir)
	must(t, err)
	t.Cleanup(func() { j.Close() })
	return j
}

func readAll(t testing.TB, dir string) (all []Entry, skipped int) {
	t.Helper()
	skipped, err := Read(dir, func(e Entry) error { all = append(all, e); return nil })
	must(t, err)
	return all, skipped
}

// wantSizes expects entries with these sizes, which tell them apart.
func wantSizes(t testing.TB, dir string, skipped int, sizes ...int64) {
	t.Helper()
	all, n := readAll(t, dir)
	var got []int64
	for _, e := range all {
		got = append(got, e.Size)
	}
	if n != skipped || !reflect.DeepEqual(got, sizes) {
		t.Fatalf("entries %v, %d lines skipped; want %v, %d", got, n, sizes, skipped)
	}
}

func write(t testing.TB, dir string, year int, text string) {
	t.Helper()
	must(t, os.WriteFile(filepath.Join(dir, fileName(year)), []byte(text), 0o600))
}

func line(t testing.TB, e Entry) string {
	t.Helper()
	b, err := e.encode()
	must(t, err)
	return string(b)
}

func TestRoundTrip(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "state", "journal")
	full := entry(1)
	full.Report, full.CatchUp = report(), true
	unread := entry(2)
	unread.Unread, unread.Silence = "the file ends in the middle of its last strip", ""
	strange := entry(3)
	strange.Path = "/srv/tidemark/<a> & \"b\"\n\u2028\x00é.tif"
	j := open(t, dir)
	for _, e := range []Entry{full, unread, strange} {
		e.Version = 0 // set by Append
		must(t, j.Append(e))
	}
	must(t, j.Close())

	all, skipped := readAll(t, dir)
	if len(all) != 3 || skipped != 0 {
		t.Fatalf("%d entries, %d skipped; want 3, 0", len(all), skipped)
	}
	if p := all[0].Report.Prediction; p.Viewing.Shift.Whole.Known() || p.Targets.Shift.Whole != 0.5 {
		t.Errorf("shifts %v and %v, want null and 0.5", p.Viewing.Shift.Whole, p.Targets.Shift.Whole)
	}
	full.Report = slim(full.Report)
	for i, want := range []Entry{full, unread, strange} {
		if got, want := line(t, all[i]), line(t, want); got != want {
			t.Errorf("read back:\n%s\nwant:\n%s", got, want)
		}
	}
	if got := line(t, full); !strings.HasPrefix(got, `{"v":1,`) || !strings.Contains(got, "<sic> &") {
		t.Errorf("a line for people begins with its version and leaves < and & alone: %s", got)
	}
}

func TestYears(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	for i, year := range []int{2026, 2027, 2026, 2025, 2027} {
		e := entry(i)
		e.At = time.Date(year, 12, 31, 23, 59, 59, 0, time.FixedZone("Skarvik", 3600))
		must(t, j.Append(e))
	}
	write(t, dir, 99999, "not a year of ours\n")
	must(t, os.WriteFile(filepath.Join(dir, "journal-old.jsonl"), []byte("nor this\n"), 0o600))
	must(t, os.Mkdir(filepath.Join(dir, "journal-2024.jsonl"), 0o700))
	wantSizes(t, dir, 0, 4, 1, 3, 2, 5)
}

func TestPrivate(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "journal")
	must(t, open(t, dir).Append(entry(1)))
	for path, want := range map[string]os.FileMode{dir: 0o700, filepath.Join(dir, fileName(2026)): 0o600} {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v; want mode %o", path, info.Mode(), err, want)
		}
	}
}

func TestReadEndsWithTheCallersError(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, 2026, line(t, entry(1))+line(t, entry(2)))
	enough, calls := errors.New("enough"), 0
	if _, err := Read(dir, func(Entry) error { calls++; return enough }); err != enough || calls != 1 {
		t.Errorf("error %v after %d calls, want %v after 1", err, calls, enough)
	}
}

func TestReadNothing(t *testing.T) {
	wantSizes(t, filepath.Join(t.TempDir(), "not there"), 0)
	file := filepath.Join(t.TempDir(), "file")
	must(t, os.WriteFile(file, nil, 0o600))
	if _, err := Read(file, func(Entry) error { return nil }); err == nil {
		t.Error("a file is no journal folder, and nothing was said")
	}
}

func TestKnown(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	e := entry(1)
	e.Path = "/srv/tidemark/not-utf-8-\xff\xff.tif"
	if j.Known(e.Path, e.Size, e.ModTime) {
		t.Error("known before it came")
	}
	must(t, j.Append(e))
	for _, j := range []*Journal{j, open(t, dir)} {
		if !j.Known(e.Path, e.Size, e.ModTime.In(time.FixedZone("Skarvik", 3600))) {
			t.Error("not known")
		}
		if j.Known(e.Path+"x", e.Size, e.ModTime) || j.Known(e.Path, e.Size+1, e.ModTime) || j.Known(e.Path, e.Size, e.ModTime.Add(1)) {
			t.Error("another state is known")
		}
	}
}

func TestKnownAndLastReachIntoFormerYears(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	for i := range 8 {
		e := entry(i)
		e.At = time.Date(2019+i, 6, 1, 0, 0, 0, 0, time.UTC)
		must(t, j.Append(e))
	}
	j = open(t, dir)
	if e := entry(0); !j.Known(e.Path, e.Size, e.ModTime) {
		t.Error("the oldest is not known")
	}
	for n, want := range [][]int64{{}, {8}, {8, 7}, {8, 7, 6}, {8, 7, 6, 5}, {8, 7, 6, 5, 4}, {8, 7, 6, 5, 4}} {
		var got []int64
		for _, e := range j.Last(n) {
			got = append(got, e.Size)
		}
		if len(got) != len(want) || len(want) > 0 && !reflect.DeepEqual(got, want) {
			t.Errorf("Last(%d) = %v, want %v", n, got, want)
		}
	}
}

func TestRecentIsBounded(t *testing.T) {
	r := newRecent[int](6)
	for i := range 100 {
		r.add(i, i)
		r.add(i, -i) // the latest counts
		for back := range min(i+1, 6) {
			if v, ok := r.get(i - back); !ok || v != back-i {
				t.Fatalf("after %d things the one %d back is %d, %v", i, back, v, ok)
			}
		}
		if _, ok := r.get(i - 9); ok {
			t.Fatalf("after %d things the one 9 back is remembered", i)
		}
	}
}

// Two contents in one state are two exports, and one content in two states may be
// one: the journal tells both, also after a start.
func TestContents(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	older, first := entry(1), entry(2)
	first.Hash = "0000000a"
	must(t, j.Append(older))
	must(t, j.Append(first))
	for range 2 {
		for _, c := range []struct {
			path           string
			size           int64
			mtime          time.Time
			hash           string
			has, unchanged bool
		}{
			{first.Path, first.Size, first.ModTime, "0000000a", true, true},
			{first.Path, first.Size, first.ModTime, "0000000b", false, false},
			{first.Path, first.Size, first.ModTime, "", true, false}, // nobody knows
			{first.Path, first.Size, first.ModTime.Add(time.Second), "0000000a", false, true},
			{first.Path, first.Size + 1, first.ModTime, "0000000a", false, false},
			{older.Path, older.Size, older.ModTime, "0000000a", true, false}, // from the time before hashes
			{"/other.tif", first.Size, first.ModTime, "0000000a", false, false},
		} {
			if got := j.Has(c.path, c.size, c.mtime, c.hash); got != c.has {
				t.Errorf("%+v: has %v", c, got)
			}
			if got := j.Unchanged(c.path, c.size, c.hash); got != c.unchanged {
				t.Errorf("%+v: unchanged %v", c, got)
			}
		}
		if at, known := j.KeptAt(first.Path, first.Size, first.ModTime); !known || !at.Equal(first.At) {
			t.Errorf("kept at %v, %v; want %v", at, known, first.At)
		}
		if _, known := j.KeptAt("/other.tif", first.Size, first.ModTime); known {
			t.Error("it was never kept")
		}
		must(t, j.Close())
		j = open(t, dir)
	}
}

func TestLastLines(t *testing.T) {
	long := strings.Repeat("x", 100_000)
	texts := []string{"", "a", "a\n", "a\nb", "a\nb\n", "\n\n\n", long + "\n" + long + "\nb\n", "a\n" + long + "\n" + long}
	for _, text := range texts {
		for n := 1; n <= 4; n++ {
			offset, count, err := lastLines(strings.NewReader(text), int64(len(text)), n)
			must(t, err)
			all := strings.SplitAfter(text, "\n")
			if all[len(all)-1] == "" {
				all = all[:len(all)-1]
			}
			want := all[max(0, len(all)-n):]
			if text[offset:] != strings.Join(want, "") || count != len(want) {
				t.Errorf("last %d lines of %.20q: offset %d, count %d, want %d lines", n, text, offset, count, len(want))
			}
		}
	}
}

func TestCloseTwice(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	must(t, j.Append(entry(1)))
	must(t, j.Close())
	must(t, j.Close())
	wantSizes(t, dir, 0, 2)
}

// A line that is being written can be seen in two halves: the file ends in the
// first when it is read, and goes on when it is read again.
func TestHalfALineIsTheEnd(t *testing.T) {
	whole, half := "{\"format\":1}\n", "{\"for"
	for _, long := range []string{"", strings.Repeat(" ", 100<<10)} {
		in := newLines(&growing{parts: []string{whole + long + half, "mat\":1}\n"}})
		var got []string
		for {
			line, err := in.next()
			if err == io.EOF {
				break
			}
			must(t, err)
			got = append(got, string(line))
		}
		if want := []string{strings.TrimSpace(whole), long + half}; !slices.Equal(got, want) {
			t.Errorf("%d lines, want %d: %.60q", len(got), len(want), got)
		}
	}
}

// growing is a file that has one more part each time its end was met.
type growing struct{ parts []string }

func (g *growing) Read(p []byte) (int, error) {
	if len(g.parts) == 0 {
		return 0, io.EOF
	}
	if g.parts[0] == "" {
		g.parts = g.parts[1:]
		return 0, io.EOF
	}
	n := copy(p, g.parts[0])
	g.parts[0] = g.parts[0][n:]
	return n, nil
}
