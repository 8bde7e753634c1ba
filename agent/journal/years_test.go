package journal

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Skarvik's own time: new year comes to it an hour before it comes to UTC.
var skarvik = time.FixedZone("Skarvik", 3600)

// exportAt is an entry whose identity tells it from all others of other n.
func exportAt(n int, at time.Time) Entry {
	e := entry(n)
	e.At, e.ModTime = at, at.Add(-time.Second)
	return e
}

func writeFile(t testing.TB, path, text string) {
	t.Helper()
	must(t, os.WriteFile(path, []byte(text), 0o600))
}

func textOf(t testing.TB, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	must(t, err)
	return string(b)
}

// linesOf counts the lines of a year's file.
func linesOf(t *testing.T, dir string, year int) int {
	t.Helper()
	return strings.Count(textOf(t, filepath.Join(dir, fileName(year))), "\n")
}

func wantKnown(t *testing.T, j *Journal, entries []Entry) {
	t.Helper()
	for _, e := range entries {
		if !j.Known(e.Path, e.Size, e.ModTime) {
			t.Errorf("%s of %v is not known", e.Path, e.At)
		}
	}
}

// A studio that works over new year: each second's export goes to the file of its
// own year, nothing is lost or twice, before and after a start.
func TestOverNewYear(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	var all []Entry
	for i := range 20 {
		e := exportAt(i, time.Date(2026, 12, 31, 23, 59, 50+i, 0, skarvik))
		must(t, j.Append(e))
		all = append(all, e)
	}
	wantKnown(t, j, all)
	for _, year := range []int{2026, 2027} {
		if n := linesOf(t, dir, year); n != 10 {
			t.Errorf("%d entries in the file of %d, want 10", n, year)
		}
	}
	must(t, j.Close())
	j = open(t, dir)
	wantKnown(t, j, all)
	if last := j.Last(3); len(last) != 3 || last[0].Size != all[19].Size || last[2].Size != all[17].Size {
		t.Errorf("the last three are %v", last)
	}
	must(t, j.Append(exportAt(99, time.Date(2027, 1, 1, 8, 0, 0, 0, skarvik))))
	wantSizes(t, dir, 0, sizes(append(all, entry(99)))...)
}

func sizes(entries []Entry) (all []int64) {
	for _, e := range entries {
		all = append(all, e.Size)
	}
	return all
}

// A clock that is put back over new year, and forward again, with starts between:
// every entry is kept in the file of the year that it was thought to be.
func TestClockJumpsOverNewYear(t *testing.T) {
	dir := t.TempDir()
	clock := []time.Time{
		time.Date(2027, 1, 1, 0, 0, 10, 0, skarvik),
		time.Date(2026, 12, 31, 23, 59, 0, 0, skarvik), // put back
		time.Date(2027, 1, 1, 0, 1, 0, 0, skarvik),
		time.Date(2017, 1, 1, 0, 0, 0, 0, skarvik), // a flat battery
		time.Date(2027, 1, 1, 0, 2, 0, 0, skarvik),
		time.Date(2026, 12, 31, 23, 59, 30, 0, skarvik),
	}
	for _, starts := range []bool{false, true} {
		t.Run(fmt.Sprintf("starts=%v", starts), func(t *testing.T) {
			dir := filepath.Join(dir, fmt.Sprint(starts))
			j := open(t, dir)
			var all []Entry
			for i, now := range clock {
				e := exportAt(i, now)
				if j.Known(e.Path, e.Size, e.ModTime) {
					t.Fatalf("%s is known before it came", e.Path)
				}
				must(t, j.Append(e))
				all = append(all, e)
				if starts {
					must(t, j.Close())
					j = open(t, dir)
				}
				wantKnown(t, j, all)
			}
			for year, want := range map[int]int{2017: 1, 2026: 2, 2027: 3} {
				if n := linesOf(t, dir, year); n != want {
					t.Errorf("%d entries in the file of %d, want %d", n, year, want)
				}
			}
			wantSizes(t, dir, 0, 4, 2, 6, 1, 3, 5) // by year, and by when they were written
		})
	}
}

// The year before is full and the new one has begun: what is known reaches back
// over new year, and no further than it says.
func TestKnownIsCountedOverNewYear(t *testing.T) {
	dir := t.TempDir()
	var text strings.Builder
	at := func(n int) Entry { return exportAt(n, time.Date(2026, 1, 1, 0, 0, n, 0, time.UTC)) }
	for i := range maxKnown + 5 {
		text.WriteString(line(t, at(i)))
	}
	write(t, dir, 2026, text.String())
	fresh := exportAt(-5, time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC))
	write(t, dir, 2027, line(t, fresh))
	j := open(t, dir)
	wantKnown(t, j, []Entry{fresh, at(maxKnown + 4), at(6)})
	if e := at(5); j.Known(e.Path, e.Size, e.ModTime) {
		t.Errorf("more than the latest %d are known", maxKnown)
	}
}

// An older version's journal, in which a newer one has begun the next year: the
// older refuses all of it, and touches none.
func TestNewerYear(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, 2025, line(t, entry(1)))
	write(t, dir, 2026, `{"v":2,"at":"2026-01-01T00:00:00Z"}`+"\n")
	if _, err := Open(dir); err == nil {
		t.Error("opened a journal of a newer version")
	}
	for year, want := range map[int]string{2025: line(t, entry(1)), 2026: `{"v":2,"at":"2026-01-01T00:00:00Z"}` + "\n"} {
		if got := textOf(t, filepath.Join(dir, fileName(year))); got != want {
			t.Errorf("the file of %d was touched: %q", year, got)
		}
	}
	if files, err := os.ReadDir(dir); err != nil || len(files) != 2 {
		t.Errorf("there are %d files, %v; want 2", len(files), err)
	}
}
