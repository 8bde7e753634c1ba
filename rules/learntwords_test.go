package rules

import (
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestLearntText: what prints have taught, as it is said.
func TestLearntText(t *testing.T) {
	several := func(n int, j Judged) []Judged {
		var prints []Judged
		for range n {
			prints = append(prints, j)
		}
		return prints
	}
	// Whoever feels half of a change of the white, in changes of all sizes.
	var half, none []Judged
	for i := range 12 {
		change := -0.6 + 0.2*float64(i)
		half = append(half, Judged{noon, 0, Stops(change), Stops(0.5 * change)})
		none = append(none, Judged{noon, 0, Stops(change), 0})
	}
	for _, c := range []struct {
		name   string
		prints []Judged
		way    Judging
		want   string
	}{
		{"nothing", nil, JudgedUnsaid, "No print has been reported yet, so predictions are uncorrected."},
		{"one as predicted", several(1, Judged{noon, 0.3, 0, 0.3}), JudgedUnsaid, "From 1 print: yours come out as predicted (±0.2 stop). Verdicts go by it from the third print on."},
		{"two darker", several(2, Judged{noon, 0.1, 0, 0.8}), JudgedUnsaid, "From 2 prints: yours probably come out about 0.4 stop darker than predicted (±0.1 stop). Verdicts go by it from the third print on."},
		{"twelve darker", several(12, Judged{noon, 0, 0, 0.25}), JudgedUnsaid, "From 12 prints: yours usually come out about 0.2 stop darker than predicted (±0.1 stop)."},
		{"twelve lighter", several(12, Judged{noon, 0, 0, -0.25}), JudgedUnsaid, "From 12 prints: yours usually come out about 0.2 stop lighter than predicted (±0.1 stop)."},
		{"beside", half, JudgedUnsaid, "From 12 prints: yours usually come out about 0.1 stop darker than predicted (±0.1 stop). You compare beside the screen, it seems: a change of its white counts for about half."},
		{"by itself", slices.Repeat(none, 4), Beside, "From 48 prints: yours usually come out about 0.3 stop lighter than predicted (±0.1 stop). You judge prints by themselves, not beside the screen, it seems: a change of its white counts for about a twentieth."},
	} {
		if got := LearntText(Learn(c.prints, c.way)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// TestLearntTextHasNoSigns: whatever was learnt, the words say darker or lighter, and no
// number has a sign; a share of the white is a word.
func TestLearntTextHasNoSigns(t *testing.T) {
	bare := regexp.MustCompile(`[+−-]\d`)
	r := seeded(77)
	for range 300 {
		var prints []Judged
		for range 1 + r.IntN(12) {
			prints = append(prints, Judged{noon, Stops(r.NormFloat64() / 2), Stops(r.NormFloat64()), Stops(r.NormFloat64())})
		}
		text := LearntText(Learn(prints, []Judging{JudgedUnsaid, ByItself, Beside}[r.IntN(3)]))
		if bare.MatchString(text) || strings.Contains(text, "NaN") || !strings.HasSuffix(text, ".") {
			t.Errorf("%q", text)
		}
	}
}
