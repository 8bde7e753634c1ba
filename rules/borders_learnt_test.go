package rules

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// TestHowOneSeemsToJudge: beside the screen from √(0.60·0.22) = 0.3633 of a change of the
// white on, by themselves up to √(0.08·0.22) = 0.1327, each by more than the uncertainty.
func TestHowOneSeemsToJudge(t *testing.T) {
	for _, c := range []struct {
		unabsorbed, sigma float64 // of its logarithm
		want              string
	}{
		{0.3632, 0, ""},
		{0.3634, 0, "You compare beside the screen, it seems: a change of its white counts for about a third."},
		{0.4, 0.1, ""},
		{0.5, 0.1, "You compare beside the screen, it seems: a change of its white counts for about half."},
		{0.22, 0, ""},
		{0.1328, 0, ""},
		{0.1326, 0, "You judge prints by themselves, not beside the screen, it seems: a change of its white counts for about a tenth."},
		{0.125, 0.1, ""},
		{0.06, 0.1, "You judge prints by themselves, not beside the screen, it seems: a change of its white counts for about a twentieth."},
	} {
		l := Learnt{Prints: 5, Gain: 1, Unabsorbed: c.unabsorbed, cov: mat.NewSymDense(3, nil)}
		l.cov.SetSym(2, 2, c.sigma*c.sigma)
		if got := l.wayText(); got != c.want {
			t.Errorf("%g: %q, want %q", c.unabsorbed, got, c.want)
		}
	}
}

func TestSharesInWords(t *testing.T) {
	for _, c := range []struct {
		share float64
		want  string
	}{
		{0.03, "next to nothing"}, {0.04, "about a twentieth"}, {0.06, "about a twentieth"}, {0.08, "about a tenth"}, {0.13, "about a tenth"},
		{0.15, "about a fifth"}, {0.21, "about a fifth"}, {0.23, "about a quarter"}, {0.28, "about a quarter"}, {0.3, "about a third"},
		{0.4, "about a third"}, {0.42, "about half"}, {0.57, "about half"}, {0.6, "about two thirds"}, {0.69, "about two thirds"},
		{0.71, "about three quarters"}, {0.87, "about three quarters"}, {0.9, "all of it"}, {1, "all of it"},
	} {
		if got := shareText(c.share); got != c.want {
			t.Errorf("%g: %q, want %q", c.share, got, c.want)
		}
	}
}

// TestDriftByHand: in twice the reference's light a screen that nobody holds is 2^0.3 =
// 1.2311 times as bright, in no darker room brighter, and never brighter than it can be.
func TestDriftByHand(t *testing.T) {
	for _, c := range []struct {
		held       bool
		most, room float64
		want       float64
	}{
		{false, 300, 96, 1.2311}, {false, 300, 384, 1.8661}, {false, 300, 48, 1}, {false, 300, 20, 1},
		{false, 110, 96, 1.1579}, {false, 90, 96, 1}, {true, 300, 96, 1},
	} {
		cs := &Conditions{held: c.held, most: Luminance(c.most), white: estimate{value: 95}, target: Target{ReferenceRoom: 48}}
		near(t, "drift", cs.driftFactor(c.room, 0.3), c.want, 0.0001)
	}
}

// TestPapersAndPlacesByDefault: what a folder doesn't name is the profile's first, and that
// is noted.
func TestPapersAndPlacesByDefault(t *testing.T) {
	p := tidemark()
	for name, want := range map[string]string{"": "harbour rag", "harbour rag": "harbour rag", "slip gloss": "slip gloss"} {
		paper, note := paperOf(p, Folder{Paper: name})
		if paper.Name != want || (note.Code == NotePaper) != (name == "") || (note.Text != "") != (name == "") {
			t.Errorf("paper %q: %q, %q", name, paper.Name, note)
		}
	}
	if _, note := paperOf(p, Folder{}); note.Text != `No paper is named for this file; "harbour rag" is assumed.` {
		t.Errorf("%q", note.Text)
	}
	for name, want := range map[string]string{"": "hall wall", "hall wall": "hall wall", "gallery bay": "gallery bay", PrintCritical: PrintCritical} {
		viewing, note := viewingOf(p, Folder{Viewing: name})
		if viewing.Name != want || (note.Text != "") != (name == "") || name == "" && !strings.Contains(note.Text, "hall wall") {
			t.Errorf("viewing place %q: %q, %q", name, viewing.Name, note)
		}
	}
}

// TestFinding: the smaller of what is found and of what is the desk's own, and nothing
// where they differ in sign.
func TestFinding(t *testing.T) {
	for _, c := range []struct{ bias, gain, tone, unabsorbed, found, ofDesk float64 }{
		{0, 1, 0.3, 0.1, 0.4, 0.4}, {0.2, 1, 0.3, 0.1, 0.6, 0.4}, {-0.1, 1, 0.3, 0.1, 0.3, 0.3}, {-0.5, 1, 0.3, 0.1, -0.1, 0},
		{0, 0.5, 0.4, 0.1, 0.3, 0.3}, {-0.2, 1, -0.3, -0.1, -0.6, -0.4}, {0.1, 1, -0.3, -0.1, -0.3, -0.3}, {0.2, 1, 0, 0, 0.2, 0},
	} {
		found, ofDesk := judgement{bias: c.bias, gain: c.gain}.found(c.tone, c.unabsorbed)
		if math.Abs(found-c.found) > 1e-12 || math.Abs(ofDesk-c.ofDesk) > 1e-12 {
			t.Errorf("%+v: found %g, of the desk %g", c, found, ofDesk)
		}
	}
}

// TestCorrectedTextAtItsEdges: what prints teach is told where something was learnt and
// there is a shift, and to a tenth of a stop.
func TestCorrectedTextAtItsEdges(t *testing.T) {
	shift := func(whole Figure) *Shift { return &Shift{Whole: whole} }
	for _, c := range []struct {
		prints    int
		predicted Figure
		corrected *Shift
		want      string
	}{
		{0, 0.3, shift(0.3), ""},
		{3, 0.3, nil, ""},
		{3, Unknown, shift(Unknown), ""},
		{1, 0.31, shift(0.34), "From 1 print of yours: they come out as predicted."},
		{3, 0.3, shift(0.04), "From 3 prints of yours: as light as you saw it, where the prediction alone says 0.3 stop darker."},
		{3, -0.1, shift(-1.2), "From 3 prints of yours: 1.2 stops lighter, where the prediction alone says 0.1 stop lighter."},
	} {
		r := &Report{Learnt: Learnt{Prints: c.prints}}
		r.Prediction.Targets.Shift.Whole, r.Prediction.Targets.Corrected = c.predicted, c.corrected
		if got := correctedText(r); got != c.want {
			t.Errorf("%d prints, %v: %q, want %q", c.prints, c.predicted, got, c.want)
		}
	}
}
