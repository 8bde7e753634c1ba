package journal

import (
	"errors"
	"fmt"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"
)

// However many processors decode, the entries come as they stand in the file, with
// the damage among them counted.
func TestSpreadKeepsTheOrder(t *testing.T) {
	var text strings.Builder
	var want []int64
	for i := range 5*batchLines + 3 {
		text.WriteString(line(t, entry(i)))
		want = append(want, entry(i).Size)
		if i%batchLines == 7 {
			text.WriteString("garbage\n\n" + strings.Repeat("x", maxLine+1) + "\n")
		}
	}
	dir := t.TempDir()
	write(t, dir, 2026, text.String()+`{"v":1,"at`)
	for _, n := range []int{1, 2, 7} {
		t.Run(fmt.Sprintf("%d processors", n), func(t *testing.T) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
			got, skipped := found(t, dir, Filter{})
			if !reflect.DeepEqual(got, want) || skipped != 2*5+1 {
				t.Errorf("%d entries, %d skipped; want %d, 11, in order", len(got), skipped, len(want))
			}
		})
	}
}

// A search that is ended early leaves nobody behind.
func TestSpreadEnds(t *testing.T) {
	dir := t.TempDir()
	var text strings.Builder
	for i := range 50 * batchLines {
		text.WriteString(line(t, entry(i)))
	}
	write(t, dir, 2026, text.String())
	before := runtime.NumGoroutine()
	enough := errors.New("enough")
	for range 20 {
		calls := 0
		if _, err := Search(t.Context(), dir, Filter{}, func(Entry) error { calls++; return enough }); err != enough || calls != 1 {
			t.Fatalf("error %v after %d calls, want %v after 1", err, calls, enough)
		}
	}
	// A goroutine that has done its work may take a moment to be gone.
	for deadline := time.Now().Add(time.Minute); runtime.NumGoroutine() > before; runtime.Gosched() {
		if time.Now().After(deadline) {
			t.Fatalf("%d goroutines, %d before", runtime.NumGoroutine(), before)
		}
	}
}
