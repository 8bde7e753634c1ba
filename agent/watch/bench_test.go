package watch

import (
	"fmt"
	"os"
	"path/filepath"
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
