package rules

import (
	"slices"
	"strings"
	"testing"
)

// headings are all that a page can have, in order.
var headings = []string{"What you saw", "What the print will do", "Why", "How sure", "What to do", "Notes"}

// TestPageForm: whatever the desk, the headline comes first, headings follow in
// their order and none is bare, lines are short, and lamps are warned of once.
func TestPageForm(t *testing.T) {
	r := seeded(53)
	for range 60 {
		p := randomDesk(r)
		if r.IntN(3) == 0 {
			taught(Stops(r.Float64()-0.5), 1+r.IntN(20))(p)
		}
		report := Evaluate(p, exportOf(randomPicture(r)), noon)
		lines := Lines(report)
		if lines[0] != Headline(report) {
			t.Errorf("the page begins with %q", lines[0])
		}
		last := -1
		for i, l := range lines[1:] {
			if strings.HasPrefix(l, "  ") {
				if len([]rune(l)) > 140 {
					t.Errorf("too long to read aloud: %q", l)
				}
				continue
			}
			at := slices.Index(headings, l)
			bare := i+2 == len(lines) || !strings.HasPrefix(lines[i+2], "  ")
			if at <= last || bare {
				t.Errorf("heading %q, bare: %v, in\n%s", l, bare, strings.Join(lines, "\n"))
			}
			last = at
		}
		if count := strings.Count(strings.Join(lines, "\n"), "amps get hot"); count > 1 {
			t.Errorf("the caution about lamps is given %d times", count)
		}
	}
}

// TestCaution: whatever has somebody touch a lamp comes with the caution, and
// what asks for a reading doesn't.
func TestCaution(t *testing.T) {
	for _, c := range []struct {
		report *Report
		want   bool
	}{
		{evaluated(lux(2)), true},
		{evaluated(lux(150)), true},
		{evaluated(), false}, // no lamp is asked for beyond what prints can stand
		{evaluated(room()), false},
		{evaluated(measured(300)), false},
	} {
		got := slices.Contains(Lines(c.report), "  "+lampCaution)
		if got != c.want {
			t.Errorf("%s: caution %v, want %v", Headline(c.report), got, c.want)
		}
	}
}

// TestInstead: what could be done instead is not what is advised, is not said
// twice, and helps; while nobody can tell, nothing is offered.
func TestInstead(t *testing.T) {
	r := evaluated(white(200))
	names := func(ms []Remedy) (out []string) {
		for _, m := range ms {
			out = append(out, m.Name)
		}
		return out
	}
	if got := names(r.instead()); len(got) != 0 {
		t.Errorf("instead of %s: %q", r.Remedy.Name, got)
	}
	// A lighter grey mends most of what a dark one and the screen do together.
	if got := names(evaluated(white(125), around(0.1)).instead()); !slices.Contains(got, SurroundGrey) {
		t.Errorf("a remedy that mends most of it is not among %q", got)
	}
	// The room is brighter than its target; dimming it would darken the print.
	if got := names(evaluated(white(140), lux(180), notHeld).instead()); slices.Contains(got, RoomLight) {
		t.Errorf("a remedy that makes it worse is among %q", got)
	}
	for _, changes := range [][]func(*Profile){{lux(150)}, nil} {
		if got := evaluated(changes...).instead(); got != nil {
			t.Errorf("nothing is dark, and still: %q", names(got))
		}
	}
	drab := evaluated(white(200))
	drab.Verdict = Drab
	if got := drab.instead(); got != nil {
		t.Errorf("against drabness: %q", names(got))
	}
}

// TestColourText: colours get a line where somebody would see it.
func TestColourText(t *testing.T) {
	none := Unknown
	for _, c := range []struct {
		a    Against
		want string
	}{
		{Against{Colourfulness: 1, Cast: Cast{Word: castNone}}, ""},
		{Against{Colourfulness: 0.98, Cast: Cast{Word: castNone}}, ""},
		{Against{Colourfulness: none, Cast: Cast{Word: castNone}}, ""},
		{Against{Colourfulness: none}, ""},
		{Against{Colourfulness: 0.9, Cast: Cast{Word: castNone}}, "Its colours: about 10 % less colourful."},
		{Against{Colourfulness: 1.1, Cast: Cast{2, 3, "warmer"}}, "Its colours: greys slightly warmer, and about 10 % more colourful."},
		{Against{Colourfulness: none, Cast: Cast{-7, 3, "greener"}}, "Its colours: greys clearly greener."},
		{Against{Colourfulness: 0.5, Cast: Cast{7, 3, "warmer"}}, "Its colours: greys clearly warmer."},
	} {
		if got := colourText(c.a); got != c.want {
			t.Errorf("%+v: %q, want %q", c.a, got, c.want)
		}
	}
}

// TestRareLines: what no ordinary report has.
func TestRareLines(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{lightness(0.04), "as light as you saw it"}, {lightness(-0.3), "about ⅓ stop lighter"},
		{zones(Shift{0.01, -0.04, 0, 0}), ""}, {zones(Shift{0.2, Unknown, -0.1, 0}), "Shadows 0.2 stop darker, highlights 0.1 stop lighter."},
		{about(339.1), "340"}, {about(1309), "1300"}, {about(95), "95"}, {about(2000), "2000"}, {about(100), "100"},
		{roundOff(6.3), "6"}, {roundOff(0.34), "0.3"}, {roundOff(27), "27"},
		{seenValue(Condition{Name: SurroundGrey, Value: 0.003, Sigma: 0.1}), "0.3 % of white"},
		{seenValue(Condition{Name: RoomLight, Value: Unknown, Sigma: 0.1}), "not known"},
		{correctedText(&Report{}), ""},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
	if got := matchText(&Report{}); got != nil {
		t.Errorf("a report without a white: %q", got)
	}
	if got := trust(&Report{}); got != nil {
		t.Errorf("a report without a spread: %q", got)
	}
	if got := advice(&Report{Verdict: Unread}); got != nil {
		t.Errorf("a file that could not be read: %q", got)
	}
}

// TestIntervalText: which way it goes, and how far.
func TestIntervalText(t *testing.T) {
	for _, c := range []struct {
		low, high Figure
		want      string
	}{
		{0.26, 0.34, "prints about 0.3 stop darker."},
		{-1.34, -1.26, "prints about 1.3 stops lighter."},
		{0.3, 0.44, "prints 0.3 to 0.4 stop darker."},
		{-1.5, -0.3, "prints 0.3 to 1.5 stops lighter."},
		{-0.1, 0.3, "prints between 0.1 stop lighter and 0.3 stop darker."},
		{0.01, 0.3, "prints up to 0.3 stop darker."},
		{-0.3, -0.01, "prints up to 0.3 stop lighter."},
		{-0.04, 0.04, "prints as light as you saw it, within a tenth of a stop."},
	} {
		if got, want := intervalText(Interval{Low: c.low, High: c.high}), "Two times in three, the whole picture "+c.want; got != want {
			t.Errorf("%q, want %q", got, want)
		}
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
