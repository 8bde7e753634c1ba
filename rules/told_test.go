package rules

import (
	"math"
	"testing"
	"time"
)

func TestTell(t *testing.T) {
	c := Resolve(tidemark(white(150), readAgo(92, 70*time.Minute), measured(40)), noon)
	for _, want := range []Told{
		{"Screen luminance", "150 ±11 cd/m²", "90–120", "too bright", ""},
		{"White point", "6000 K", "5600–6500", "right", ""},
		{"Room light", "92 ±15 lx", "16–64", "too bright", "read at the screen 70 min ago"},
		{"Surround", "20 ±2 % of white", "15–30 %", "right", ""},
		{"Calibration age", "40 days", "up to 30 days", "due", ""},
	} {
		found := false
		for _, k := range c.List {
			if got := Tell(k); got.Name == want.Name {
				found = true
				if got != want {
					t.Errorf("told %q, want %q", got, want)
				}
			}
		}
		if !found {
			t.Errorf("%s was not told", want.Name)
		}
	}
}

// TestTellOfWhatIsAssumed: that is said once.
func TestTellOfWhatIsAssumed(t *testing.T) {
	c := Resolve(tidemark(room()), noon)
	if got := Tell(c.Get(RoomLight)); got.Word != "right" || got.Origin != "assumed" {
		t.Errorf("told %q", got)
	}
}

func TestSigned(t *testing.T) {
	for v, want := range map[Figure]string{0.46: "+0.5", -0.26: "−0.3", 0.01: "0.0", Figure(math.Inf(1)): "–"} {
		if got := Signed(v); got != want {
			t.Errorf("%g is told as %q, want %q", float64(v), got, want)
		}
	}
	if got := Signed(Figure(math.NaN())); got != "–" {
		t.Errorf("no figure is told as %q", got)
	}
}

// TestPartsAreLines: the page that is read by parts says the same as the one that
// is printed by lines.
func TestPartsAreLines(t *testing.T) {
	r := evaluated(white(180))
	lines, n := Lines(r), 1
	for _, p := range Parts(r) {
		if lines[n] != p.Heading {
			t.Fatalf("line %d is %q, want %q", n, lines[n], p.Heading)
		}
		for i, l := range p.Lines {
			if lines[n+1+i] != "  "+l {
				t.Fatalf("line %d is %q, want %q", n+1+i, lines[n+1+i], l)
			}
		}
		n += 1 + len(p.Lines)
	}
	if n != len(lines) || n < 12 {
		t.Errorf("%d lines in parts, %d in all", n, len(lines))
	}
}
