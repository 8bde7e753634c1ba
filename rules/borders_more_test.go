package rules

import (
	"strings"
	"testing"

	"lampblack/rules/colour"
)

// TestEffects: what one sample of the desk does, at the steps of the profile: 0.15 stop of
// the whole, 0.33 of the shadows, 7 % of the colours, 10 % of the contrast, a quarter of
// the shadow steps; as many times that as the desk is given patience for.
func TestEffects(t *testing.T) {
	q := tidemark().Quiet
	fair := effect{colourful: 1, contrast: 1, darkens: 1, lightens: 1, deadens: 1}
	for _, c := range []struct {
		name                  string
		change                func(*effect)
		darker, lighter, drab bool
	}{
		{"nothing", func(*effect) {}, false, false, false},
		{"the whole at its step", func(e *effect) { e.whole = 0.15 }, false, false, false},
		{"the whole past it", func(e *effect) { e.whole = 0.16 }, true, false, false},
		{"past it, and patience", func(e *effect) { e.whole, e.darkens = 0.4, 3 }, false, false, false},
		{"past that", func(e *effect) { e.whole, e.darkens = 0.46, 3 }, true, false, false},
		{"the shadows past theirs", func(e *effect) { e.shadows = 0.34 }, true, false, false},
		{"the shadows not past theirs", func(e *effect) { e.shadows = 0.32 }, false, false, false},
		{"dark shadows in a whole that is light", func(e *effect) { e.shadows, e.whole = 0.34, -0.16 }, false, true, false},
		{"dark shadows in a whole that is hardly light", func(e *effect) { e.shadows, e.whole = 0.34, -0.14 }, true, false, false},
		{"the whole light", func(e *effect) { e.whole = -0.16 }, false, true, false},
		{"light, and patience", func(e *effect) { e.whole, e.lightens = -0.4, 3 }, false, false, false},
		{"light shadows", func(e *effect) { e.shadows = -0.34 }, false, true, false},
		{"light shadows in a whole that is dark", func(e *effect) { e.shadows, e.whole = -0.34, 0.16 }, true, false, false},
		{"light shadows in a whole that is hardly dark", func(e *effect) { e.shadows, e.whole = -0.34, 0.14 }, false, true, false},
		{"colours at their limit", func(e *effect) { e.colourful = 0.94 }, false, false, false},
		{"colours beyond it", func(e *effect) { e.colourful = 0.92 }, false, false, true},
		{"contrast at its limit", func(e *effect) { e.contrast = 0.91 }, false, false, false},
		{"contrast beyond it", func(e *effect) { e.contrast = 0.89 }, false, false, true},
		{"contrast beyond it, and patience", func(e *effect) { e.contrast, e.deadens = 0.75, 3 }, false, false, false},
		{"steps at their limit", func(e *effect) { e.stepsLost = 0.25 }, false, false, false},
		{"steps beyond it", func(e *effect) { e.stepsLost = 0.26 }, false, false, true},
		{"nothing there to lose", func(e *effect) { e.colourful, e.contrast = nan, nan }, false, false, false},
	} {
		e := fair
		c.change(&e)
		if d, l, m := e.isDarker(q), e.isLighter(q), e.isDrab(q); d != c.darker || l != c.lighter || m != c.drab {
			t.Errorf("%s: darker %v, lighter %v, drab %v", c.name, d, l, m)
		}
	}
}

var nan = float64(Unknown)

// TestCompareFigures: a thousandth of a stop is no reason to prefer one thing to another.
func TestCompareFigures(t *testing.T) {
	for _, c := range []struct {
		a, b float64
		want int
	}{{0.1, 0.1, 0}, {0.1, 0.1009, 0}, {0.1009, 0.1, 0}, {0.1, 0.1011, -1}, {0.1011, 0.1, 1}, {0, 1, -1}, {1, 0, 1}} {
		if got := compareFigures(c.a, c.b); got != c.want {
			t.Errorf("%g and %g: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

// TestPassed: all losses past their limits count, and where none is the greatest.
func TestPassed(t *testing.T) {
	for _, c := range []struct {
		losses [3]float64
		want   [3]bool
	}{
		{[3]float64{0.5, 0.9, 0.2}, [3]bool{false, true, false}},
		{[3]float64{0.5, 0.2, 0.9}, [3]bool{false, false, true}},
		{[3]float64{1, 1.2, 0.5}, [3]bool{true, true, false}},
		{[3]float64{2, 0.9, 1.5}, [3]bool{true, false, true}},
	} {
		if got := passed(c.losses); got != c.want {
			t.Errorf("%v: %v, want %v", c.losses, got, c.want)
		}
	}
}

// TestCastsAtTheirEdges: a cast has a name from 2 in a'b' on, and is clear from 6 on.
func TestCastsAtTheirEdges(t *testing.T) {
	for _, c := range []struct {
		a, b          float64
		word, colours string
	}{
		{0, 1.9, "none", ""}, {-1.3, 1.3, "none", ""},
		{0, 2, "warmer", "Its colours: greys slightly warmer."}, {0, -5.9, "cooler", "Its colours: greys slightly cooler."},
		{6, 0, "pinker", "Its colours: greys clearly pinker."}, {-6.1, 5, "greener", "Its colours: greys clearly greener."},
		{3, 3, "warmer", "Its colours: greys slightly warmer."}, {3, -3, "cooler", "Its colours: greys slightly cooler."},
	} {
		word := castWord(c.a, c.b)
		text := colourText(Against{Colourfulness: 1, Cast: Cast{Figure(c.a), Figure(c.b), word}})
		if word != c.word || text != c.colours {
			t.Errorf("%g, %g: %q, %q; want %q, %q", c.a, c.b, word, text, c.word, c.colours)
		}
	}
}

// TestAmounts: the shadows are named where they are more than a tenth of a stop darker
// than the whole.
func TestAmounts(t *testing.T) {
	for _, c := range []struct {
		whole, shadows Figure
		sign           float64
		want           string
	}{
		{0.5, 0.59, 1, "about ½ stop (±0.2)"},
		{0, 0.1, 1, "less than ⅛ stop (±0.2)"},
		{0.5, 0.61, 1, "about ⅔ stop in the shadows (±0.3)"},
		{0.5, Unknown, 1, "about ½ stop (±0.2)"},
		{-0.5, -0.61, -1, "about ⅔ stop in the shadows (±0.3)"},
		{Unknown, Unknown, 1, "the picture is entirely black"},
	} {
		r := &Report{}
		a := &r.Prediction.Targets
		a.Shift = Shift{Shadows: c.shadows, Whole: c.whole}
		a.Spread = &Spread{Whole: Interval{Low: 0, High: 0.4}, Shadows: Interval{Low: 0, High: 0.6}}
		if got := amount(r, c.sign); got != c.want {
			t.Errorf("%v, shadows %v: %q, want %q", c.whole, c.shadows, got, c.want)
		}
	}
	if got := InBrief(&Report{Purpose: ForScreen, Verdict: Darker}); got != "for the screen, not judged as a print" {
		t.Errorf("for the screen: %q", got)
	}
}

// TestPartOfARaise: what a raise answers of what was warned of, told in parts.
func TestPartOfARaise(t *testing.T) {
	for _, c := range []struct {
		left float64
		want string
	}{{0.31, "a part"}, {0.28, "half"}, {0.25, "half"}, {0.21, "half"}, {0.19, "most"}, {0, "most"}} {
		r := &Report{}
		r.Prediction.Targets.Shift = Shift{Shadows: 1, Whole: 0.5}
		if got := partText(r, c.left, true); got != c.want {
			t.Errorf("%g of 0.5 left: %q, want %q", c.left, got, c.want)
		}
		if got := partText(r, 2*c.left, false); got != c.want {
			t.Errorf("%g of 1 left in the shadows: %q, want %q", 2*c.left, got, c.want)
		}
	}
}

// TestLooksLikeScreen: up to 2560 pixels on the longer side, in sRGB or in nothing that is
// told.
func TestLooksLikeScreen(t *testing.T) {
	for _, c := range []struct {
		pic  Picture
		want bool
	}{
		{Picture{Width: 2560, Height: 1707, Profile: "sRGB"}, true},
		{Picture{Width: 1707, Height: 2560, Profile: "my SRGB"}, true},
		{Picture{Width: 2561, Height: 1707, Profile: "sRGB"}, false},
		{Picture{Width: 1200, Height: 800, Profile: "Display P3"}, false},
		{Picture{Width: 1200, Height: 800, Assumed: true}, true},
	} {
		if got := looksLikeScreen(&c.pic); got != c.want {
			t.Errorf("%+v: %v", c.pic, got)
		}
	}
}

// TestFewMidtones: a picture that has hardly any midtones is raised by what the whole
// lacks; one that has some, by what they lack.
func TestFewMidtones(t *testing.T) {
	for _, middle := range []float64{0.03, 0.06} {
		pic := Picture{Width: 600, Height: 400, Tones: []Tone{{0.02, 0.5}, {0.18, middle}, {0.6, 0.5 - middle}}}
		for _, tone := range pic.Tones {
			pic.MeanY += tone.Y * tone.Share
		}
		p := tidemark(white(200))
		c := Resolve(p, noon)
		f := faultOf(&c, Darker, &pic, p.Quiet)
		up := f.solveRaise()
		lights := []float64{colour.Lightness(0.02), colour.Lightness(0.18), colour.Lightness(0.6)}
		now := c.now().at(pic.MeanY)
		_, midtones := f.onceRaised(&now, lights, up.stops)
		if few := middle < 0.05; !up.reached || few != (up.whole > -0.005 && up.whole < 0.005) || few == (midtones > -0.005 && midtones < 0.005) {
			t.Errorf("%g of midtones: raised by %.3f, which leaves %.3f of them, %.3f of the whole", middle, up.stops, midtones, up.whole)
		}
	}
}

// TestWhitePointAtItsBounds: a temperature that comes back from its own chromaticity a few
// kelvin off still meets a bound, and one that is 6 K off does not.
func TestWhitePointAtItsBounds(t *testing.T) {
	for kelvin, want := range map[float64]bool{5594: false, 5595.5: true, 6000: true, 6504.5: true, 6506: false} {
		if got := withinRounding(Range{5600, 6500}, kelvin); got != want {
			t.Errorf("%g K: in 5600 to 6500 K: %v", kelvin, got)
		}
	}
}

// TestSourcesOfFigures: what the profile tells is from it, and what it doesn't is assumed.
func TestSourcesOfFigures(t *testing.T) {
	told := Resolve(tidemark(), noon)
	assumed := Resolve(tidemark(func(p *Profile) {
		d := &p.Displays[0]
		d.Contrast, d.WhitePoint = Assume(900.0), Assume(daylight(6000))
		p.Surround.RelativeY = Assume(0.2)
	}), noon)
	for _, name := range []string{ScreenContrast, WhitePoint, SurroundGrey} {
		a, b := told.Get(name), assumed.Get(name)
		if a.Source != "from the profile" || a.SourceCode != SourceProfile || a.Assumed {
			t.Errorf("%s is told: %q, %q", name, a.Source, a.SourceCode)
		}
		if !strings.HasPrefix(b.Source, "assumed") || b.SourceCode != SourceAssumed || !b.Assumed {
			t.Errorf("%s is not told: %q, %q", name, b.Source, b.SourceCode)
		}
	}
}
