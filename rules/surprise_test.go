package rules

import (
	"math"
	"strings"
	"testing"
	"time"
)

// darkPrints are prints made on the days of ago, each found so many stops darker
// than predicted.
func darkPrints(found Stops, ago ...int) []Judged {
	var out []Judged
	for _, days := range ago {
		out = append(out, Judged{At: noon.AddDate(0, 0, -days), Found: found})
	}
	return out
}

// measuredAgo is Tidemark at its targets, its screen measured so many days ago, and
// taught by prints.
func measuredAgo(days int, prints ...Judged) *Profile {
	return tidemark(measured(days), func(p *Profile) { p.Learnt = Learn(prints, p.Judged) })
}

func TestSurprise(t *testing.T) {
	always := darkPrints(0.5, 40, 42, 44, 46, 48, 50, 52, 54)
	for _, tt := range []struct {
		name    string
		profile *Profile
		want    string
	}{
		{"no print", measuredAgo(20), ""},
		{"one dark print may be a slip", measuredAgo(20, darkPrints(0.6, 3)...), ""},
		{"two dark prints", measuredAgo(20, darkPrints(0.6, 3, 5)...), "your last 2 prints came out about ⅔ stop darker than predicted"},
		{"two prints as judged", measuredAgo(20, darkPrints(0, 3, 5)...), ""},
		{"two light prints", measuredAgo(20, darkPrints(-0.7, 3, 5)...), ""},
		{"made before the screen was measured", measuredAgo(20, darkPrints(0.6, 21, 25)...), ""},
		{"made after the moment asked about", measuredAgo(20, darkPrints(0.6, -1, -2)...), ""},
		{"as dark as they have always been", measuredAgo(20, append(always, darkPrints(0.5, 3, 5)...)...), ""},
		{"darker than they have always been", measuredAgo(20, append(always, darkPrints(1.1, 3, 5)...)...), "your last 2 prints came out about ⅔ stop darker than predicted"},
		{"dark as predicted", measuredAgo(20, Judged{noon.AddDate(0, 0, -3), 0.7, 0, 0.7}, Judged{noon.AddDate(0, 0, -4), 0.7, 0, 0.7}), ""},
	} {
		c := Resolve(tt.profile, noon)
		if got := c.Get(ScreenLuminance).Doubt; got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

// TestSurpriseByHand works one case: no earlier print, so that the line is its prior,
// whose doubt at 0 is 0.25; three prints 0.4 stop darker.
//
//	s = √(0.2² + 0.3536²/3) = 0.2858,  P = Φ((0.4 − 0.15)/0.2858) = Φ(0.8748) = 0.8092
func TestSurpriseByHand(t *testing.T) {
	l, measured := Learn(darkPrints(0.4, 1, 2, 3), JudgedUnsaid), noon.AddDate(0, 0, -20)
	for p, want := range map[float64]int{0.809: 3, 0.8094: 0} {
		s := l.surprise(measured, noon, Quiet{Noticeable: 0.15, Probability: p})
		if s.prints != want || want != 0 && math.Abs(s.darker-0.4) > 1e-12 {
			t.Errorf("at a probability of %.2f: %+v, want %d prints", p, s, want)
		}
	}
}

// TestSurpriseUnmeasured: where nobody has measured the screen there is no figure
// that prints could speak against.
func TestSurpriseUnmeasured(t *testing.T) {
	p := measuredAgo(0, darkPrints(0.6, 3, 5, 7)...)
	p.Displays[0].Measured = Assume(time.Time{})
	c := Resolve(p, noon)
	if got := c.Get(ScreenLuminance).Doubt; got != "" {
		t.Errorf("doubt %q", got)
	}
}

// TestSurpriseAsks: the export that would have held is unsure, what is asked for is
// the screen's white, and measuring it ends the matter.
func TestSurpriseAsks(t *testing.T) {
	p := measuredAgo(20, darkPrints(0.6, 3, 5, 6)...)
	pic := graded(50, 18, 20)
	r := Evaluate(p, exportOf(pic), noon)
	if r.Verdict != Unsure || r.About() != ScreenLuminance {
		t.Fatalf("%s about %q", r.Verdict, r.About())
	}
	n := NoticeFor(r)
	if n.Title != "Can't tell: your last 3 prints came out about ⅔ stop darker than predicted" || !strings.Contains(n.Body, measureScreenText) {
		t.Errorf("notice %q, %q", n.Title, n.Body)
	}
	c := Resolve(p, noon)
	s := Summarise(&c, p.Quiet, nil)
	if !strings.HasPrefix(s.Headline, "The screen is in doubt") || !strings.Contains(s.Conditions[0], "; your last 3 prints") {
		t.Errorf("summary %q, %q", s.Headline, s.Conditions[0])
	}
	if lines := strings.Join(Lines(r), "\n"); !strings.Contains(lines, "Screen's white 95 ±4 cd/m², your last 3 prints came out about ⅔ stop darker than predicted: in doubt") {
		t.Errorf("explained:\n%s", lines)
	}
	p.Displays[0].Measured = Stated(noon)
	if r := Evaluate(p, exportOf(pic), noon); r.Verdict != Holds {
		t.Errorf("measured again: %s", r.Verdict)
	}
}
