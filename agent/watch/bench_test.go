package watch

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
	"time"
)

func benchmarkWatch(b *testing.B) (dir string, events chan Event) {
	dir, events = b.TempDir(), make(chan Event, 256)
	go Watch(b.Context(), []Folder{{Path: dir}}, Options{}, events)
	must(b, os.WriteFile(filepath.Join(dir, "begun.tif"), []byte("x"), 0o600))
	<-events
	return dir, events
}

// BenchmarkCloseToEvent measures the time from the writer's close to the event,
// with the default settle of 300 ms.
func BenchmarkCloseToEvent(b *testing.B) {
	dir, events := benchmarkWatch(b)
	path := filepath.Join(dir, "a.tif")
	content := make([]byte, 1<<20)
	var total time.Duration
	for b.Loop() {
		must(b, os.WriteFile(path, content, 0o600))
		closed := time.Now()
		<-events
		total += time.Since(closed)
	}
	b.ReportMetric(float64(total.Milliseconds())/float64(b.N), "ms/event")
}

// BenchmarkThousandFiles measures the time from the last of 1000 closes to the
// last event.
func BenchmarkThousandFiles(b *testing.B) {
	dir, events := benchmarkWatch(b)
	var total time.Duration
	for n := 0; b.Loop(); n++ {
		written := make(chan time.Time, 1)
		go func() {
			for i := range 1000 {
				must(b, os.WriteFile(filepath.Join(dir, fmt.Sprintf("%d-%d.tif", n, i)), []byte("x"), 0o600))
			}
			written <- time.Now()
		}()
		for range 1000 {
			<-events
		}
		total += time.Since(<-written)
	}
	b.ReportMetric(float64(total.Milliseconds())/float64(b.N), "ms/last")
}

// BenchmarkFullFolder measures looks through a folder of 100 000 exports that the
// journal has, as at the start and at every poll of a network drive, and what the
// watch keeps of them in memory.
func BenchmarkFullFolder(b *testing.B) {
	dir := b.TempDir()
	for i := range 100_000 {
		must(b, os.WriteFile(filepath.Join(dir, fmt.Sprintf("export-%06d.tif", i)), []byte("x"), 0o600))
	}
	o := Options{Known: func(File) bool { return true }}.withDefaults()
	w := newWatched(b.Context(), 0, Folder{Path: dir}, o, nil)
	w.hands = new(sync.WaitGroup)
	info, err := os.Stat(dir)
	must(b, err)
	w.opened = &opened{path: dir, info: info, folders: map[string]bool{}}
	before := liveHeap()
	begun := time.Now()
	w.scan()
	first, kept := time.Since(begun), liveHeap()-before
	for b.Loop() {
		w.scan()
	}
	b.ReportMetric(float64(first.Milliseconds()), "ms/first")
	b.ReportMetric(float64(kept)/(1<<20), "MB")
	if len(w.seen.states) != 100_000 || len(w.files.files) != 0 {
		b.Fatalf("%d are seen, %d wait", len(w.seen.states), len(w.files.files))
	}
}

// liveHeap is what is left of the heap after a collection, bytes.
func liveHeap() uint64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
