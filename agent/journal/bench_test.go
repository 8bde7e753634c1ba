package journal

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func BenchmarkAppend(b *testing.B) {
	j := open(b, b.TempDir())
	e := entry(1)
	e.Report = report()
	for b.Loop() {
		must(b, j.Append(e))
	}
}

// big returns a journal of n entries with reports.
func big(b *testing.B, n int) (dir string) {
	dir = b.TempDir()
	f, err := os.Create(filepath.Join(dir, fileName(2026)))
	must(b, err)
	defer f.Close()
	var text strings.Builder
	for i := range n {
		e := entry(i)
		e.Report = report()
		text.WriteString(line(b, e))
		if text.Len() > 1<<20 || i == n-1 {
			_, err := f.WriteString(text.String())
			must(b, err)
			text.Reset()
		}
	}
	return dir
}

func BenchmarkRead100000(b *testing.B) {
	dir := big(b, 100_000)
	b.ReportAllocs()
	for b.Loop() {
		n := 0
		_, err := Read(dir, func(Entry) error { n++; return nil })
		must(b, err)
		if n != 100_000 {
			b.Fatal(n)
		}
	}
}

func BenchmarkOpen20000(b *testing.B) {
	dir := big(b, maxKnown)
	for b.Loop() {
		j, err := Open(dir)
		must(b, err)
		must(b, j.Close())
	}
}
