package journal

import (
	"os"
	"testing"
	"time"
)

// Whatever was opened to read the journal is closed again, also of former years.
func TestNothingIsLeftOpen(t *testing.T) {
	handles := func() int {
		list, err := os.ReadDir("/proc/self/fd")
		must(t, err)
		return len(list)
	}
	dir := t.TempDir()
	for i := range 3 {
		e := entry(i)
		e.At = time.Date(2024+i, 6, 1, 0, 0, 0, 0, time.UTC)
		write(t, dir, e.At.Year(), line(t, e))
	}
	must(t, AppendOutcome(dir, outcome("a.tif", 0.3, 0.2)))
	before := handles()
	j, err := Open(dir)
	must(t, err)
	must(t, j.Close())
	_, err = ReadLast(dir, 5)
	must(t, err)
	found(t, dir, Filter{})
	readAll(t, dir)
	_, _, err = Find(dir, "none.tif")
	must(t, err)
	_, _, err = ReadOutcomes(dir)
	must(t, err)
	must(t, AppendOutcome(dir, outcome("b.tif", 0.3, 0.2)))
	if after := handles(); after != before {
		t.Errorf("%d files are open, %d were before", after, before)
	}
}
