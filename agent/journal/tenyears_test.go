//go:build linux

package journal

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
	"time"
)

// What ten years at a busy studio come to.
const (
	aDay     = 200
	tenYears = 10 * 365 * aDay
)

// longAgo is the first of those days.
var longAgo = time.Date(2016, 3, 2, 8, 0, 0, 0, time.UTC)

// decade writes a journal of ten years. Its lines are real ones, with heads of
// their own.
func decade(b *testing.B) (dir string) {
	dir = b.TempDir()
	e := realEntry(b)
	e.Report = slim(e.Report)
	whole := line(b, e)
	rest := whole[bytes.Index([]byte(whole), reportKey):]
	for year, n := longAgo.Year(), 0; n < tenYears; year++ {
		n = writeYear(b, filepath.Join(dir, fileName(year)), n, e, rest)
	}
	return dir
}

// writeYear writes the entries of one year from the n-th on, and gives the number
// of the first of the next.
func writeYear(b *testing.B, path string, n int, e Entry, rest string) int {
	f, err := os.Create(path)
	must(b, err)
	defer f.Close()
	w := bufio.NewWriterSize(f, 1<<20)
	for year := at(e, n, aDay, longAgo).At.Year(); n < tenYears; n++ {
		e := at(e, n, aDay, longAgo)
		if e.At.Year() != year {
			break
		}
		fmt.Fprintf(w, `{"v":1,"at":"%s","path":"%s","size":%d,"mtime":"%s"%s`,
			e.At.Format(time.RFC3339Nano), e.Path, e.Size, e.ModTime.Format(time.RFC3339Nano), rest)
	}
	must(b, w.Flush())
	return n
}

// opened marks the process that opens a journal, and names it.
const opened = "LAMPBLACK_TEST_OPENED"

// TestOpenedInAProcess is the child of BenchmarkTenYears; by itself it opens
// a small journal.
func TestOpenedInAProcess(t *testing.T) {
	dir, n := os.Getenv(opened), tenYears
	if dir == "" {
		dir, n = t.TempDir(), 1
		write(t, dir, 2026, line(t, at(entry(0), 0, aDay, longAgo)))
	}
	began := time.Now()
	j := open(t, dir)
	last := j.Last(maxLast)
	newest := at(entry(0), n-1, aDay, longAgo)
	known := j.Known(newest.Path, newest.Size, newest.ModTime)
	took := time.Since(began)
	if !known || len(last) == 0 || last[0].Path != newest.Path {
		t.Fatalf("known %v, last %v; want %s", known, last, newest.Path)
	}
	fmt.Printf("took %d ns, held %d KB\n", took.Nanoseconds(), peak(t))
}

// peak is the most memory that this process has held, in KB.
func peak(t *testing.T) int {
	t.Helper()
	m := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindStringSubmatch(textOf(t, "/proc/self/status"))
	if m == nil {
		t.Fatal("the system doesn't tell the peak of a process's memory")
	}
	kb, err := strconv.Atoi(m[1])
	must(t, err)
	return kb
}

// BenchmarkTenYears works with 730 000 lines.
func BenchmarkTenYears(b *testing.B) {
	dir := decade(b)
	b.Run("open", func(b *testing.B) { benchOpen(b, dir) })
	b.Run("search", func(b *testing.B) { benchSearch(b, dir) })
}

// benchOpen opens them as the agent does at its start, in a process of its own:
// under a second, under 60 MB.
func benchOpen(b *testing.B, dir string) {
	var took, held float64
	for b.Loop() {
		child := exec.Command(os.Args[0], "-test.run=^TestOpenedInAProcess$", "-test.count=1")
		child.Env = append(os.Environ(), opened+"="+dir)
		out, err := child.CombinedOutput()
		m := regexp.MustCompile(`took (\d+) ns, held (\d+) KB`).FindSubmatch(out)
		if err != nil || m == nil {
			b.Fatalf("%v\n%s", err, out)
		}
		ns, _ := strconv.Atoi(string(m[1]))
		kb, _ := strconv.Atoi(string(m[2]))
		took, held = max(took, float64(ns)/1e6), max(held, float64(kb)/1e3)
	}
	b.ReportMetric(took, "ms-to-open")
	b.ReportMetric(held, "MB-peak")
	if took > 1000 || held > 60 {
		b.Errorf("opening took %.0f ms and %.0f MB; it must take less than 1000 ms and 60 MB", took, held)
	}
}

// benchSearch looks for one name.
func benchSearch(b *testing.B, dir string) {
	for b.Loop() {
		n := 0
		_, err := Search(b.Context(), dir, Filter{Names: []string{"quay-012345"}}, func(Entry) error { n++; return nil })
		must(b, err)
		if n != 1 {
			b.Fatalf("found %d, want 1", n)
		}
	}
}
