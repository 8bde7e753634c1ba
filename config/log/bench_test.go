package log

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lampblack/config"
	"lampblack/rules"
)

// BenchmarkRead reads four and a half years of a light sensor's readings, one an
// hour, and lays them over a profile.
func BenchmarkRead(b *testing.B) {
	path := filepath.Join(b.TempDir(), "readings.toml")
	r := &Reading{Reading: rules.Reading{At: morning, Light: 41.25, Place: rules.AtScreen, Sigma: 0.35, Note: "light sensor"}}
	if err := Append(path, r); err != nil {
		b.Fatal(err)
	}
	one, err := os.ReadFile(path)
	if err != nil {
		b.Fatal(err)
	}
	const many = 40_000
	var log strings.Builder
	for i := range many {
		at := r.At.Add(time.Duration(i) * time.Hour).Format(time.RFC3339)
		log.WriteString(strings.Replace(string(one), r.At.Format(time.RFC3339), at, 1))
	}
	if err := os.WriteFile(path, []byte(log.String()), 0o600); err != nil {
		b.Fatal(err)
	}
	p := config.Default()
	b.ReportAllocs()
	for b.Loop() {
		l, recovered, err := Read(path)
		if err != nil || recovered != "" || len(l.Apply(p, morning).Readings) != many {
			b.Fatal(len(l), recovered, err)
		}
	}
}
