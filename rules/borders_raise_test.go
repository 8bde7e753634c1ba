package rules

import (
	"math"
	"testing"

	"lampblack/rules/colour"
)

// Ways of raising a file, each written here once more in the terms of an editor: on Y by
// exposure or by a power, on L* by a power or by a curve through one point.
var editorsRaises = []struct {
	name string
	up   func(y float64) float64
	mid  float64 // stops at Y 0.18, by hand
}{
	{"exposure, + 0.4", func(y float64) float64 { return math.Min(1, y*1.3195079) }, 0.4},
	{"exposure, + 1.2", func(y float64) float64 { return math.Min(1, y*2.2973967) }, 1.2},
	{"gamma 1.25 on the light", func(y float64) float64 { return math.Pow(y, 0.8) }, 0.4948},                      // −0.2·log2(0.18)
	{"gamma 1.6 on the light", func(y float64) float64 { return math.Pow(y, 0.625) }, 0.9277},                     // −0.375·log2(0.18)
	{"gamma 1.25 on the lightness", onLightness(func(l float64) float64 { return math.Pow(l, 0.8) }), 0.4678},     // L* 49.496 to 56.971
	{"a curve lifted by 8 at 50", onLightness(func(l float64) float64 { return l + 0.32*l*(1-l) }), 0.4987},       // L* 49.496 to 57.495
	{"a curve lifted by 8 at 33", onLightness(func(l float64) float64 { return l + 0.54*l*(1-l)*(1-l) }), 0.4286}, // L* 49.496 to 56.313
}

// onLightness is a curve in L*, both of 0 to 1, as one of Y.
func onLightness(curve func(l float64) float64) func(y float64) float64 {
	return func(y float64) float64 { return colour.FromLightness(100 * curve(colour.Lightness(y)/100)) }
}

// TestEditorsRaisesAreSeen: whichever way an editor raises a file, the raise is seen, by
// how much at mid grey, and taking it off gives back the tones that there were.
func TestEditorsRaisesAreSeen(t *testing.T) {
	pic := graded(40, 18, 200)
	before := gistOf(&pic)
	before.Dark = true
	for _, e := range editorsRaises {
		near(t, e.name+", at mid grey by itself", math.Log2(e.up(0.18)/0.18), e.mid, 0.0006)
		after := pic
		after.Tones = nil
		for _, tone := range pic.Tones {
			after.Tones = append(after.Tones, Tone{e.up(tone.Y), tone.Share})
		}
		got, is := raiseOf(before, &after)
		if !is {
			t.Errorf("%s is not seen", e.name)
			continue
		}
		near(t, e.name+", at mid grey", got.mid, e.mid, 0.01)
		for _, l := range []float64{10, 20, 30, 40, 50, 60} {
			up := colour.Lightness(e.up(colour.FromLightness(l)))
			near(t, e.name+", taken off", got.down(up), l, 0.25)
		}
	}
}

// TestOffersRaise: a raise is offered that a stop is enough for, the way that the verdict
// has it, that is worth a word, and that leaves at most half.
func TestOffersRaise(t *testing.T) {
	enough := func(stops, whole float64) advisedRaise {
		return advisedRaise{stops: stops, whole: whole, reached: true}
	}
	for _, c := range []struct {
		name   string
		now    float64
		darker bool
		up     advisedRaise
		want   bool
	}{
		{"all of it", 0.4, true, enough(0.4, 0), true},
		{"all but a little", 0.4, true, enough(0.4, 0.18), true},
		{"half of it", 0.4, true, enough(0.4, 0.2), true},
		{"less than half of it", 0.4, true, enough(0.4, 0.21), false},
		{"as much on the other side", 0.4, true, enough(0.4, -0.3), false},
		{"hardly anything", 0.06, true, enough(0.06, 0.02), false},
		{"a raise of hardly anything", 0.4, true, enough(0.04, 0.1), false},
		{"more than a stop would be needed", 0.4, true, advisedRaise{stops: 1, whole: 0.1}, false},
		{"lowering what prints dark", 0.4, true, enough(-0.4, 0.1), false},
		{"lowering what prints light", -0.4, false, enough(-0.4, -0.1), true},
		{"raising what prints light", -0.4, false, enough(0.4, -0.1), false},
	} {
		f := &fault{wholeNow: c.now, darker: c.darker, up: c.up}
		if got := f.offersRaise(); got != c.want {
			t.Errorf("%s: offered: %v", c.name, got)
		}
	}
}

// TestPrintsDark: raising is an answer to what prints dark, and to what is as likely dark
// as not.
func TestPrintsDark(t *testing.T) {
	for _, c := range []struct {
		name   string
		v      Verdict
		spread Spread
		want   bool
	}{
		{"dark", Darker, Spread{}, true},
		{"light", Lighter, Spread{Darker: 0.5}, false},
		{"drab", Drab, Spread{Darker: 0.5, Drab: 0.7}, false},
		{"holds", Holds, Spread{Darker: 0.5}, false},
		{"unsure, as likely as not", Unsure, Spread{Darker: 0.5}, true},
		{"unsure, nearly as likely as not", Unsure, Spread{Darker: 0.49}, false},
		{"unsure, more likely light", Unsure, Spread{Darker: 0.5, Lighter: 0.55}, false},
	} {
		r := &Report{Verdict: c.v}
		r.Prediction.Targets.Spread = &c.spread
		if got := r.printsDark(); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// TestBendByHand: a stop at mid grey takes it from L* 49.50 to 66.52, and the curve's middle is
// where it lifts most.
func TestBendByHand(t *testing.T) {
	near(t, "a stop", bend(1), 17.03, 0.01)
	near(t, "nothing", bend(0), 0, 1e-12)
	for l, want := range map[float64]float64{0: 0, 25: 0.75, 50: 1, 75: 0.75, 100: 0} {
		near(t, "bump", bump(l), want, 1e-12)
	}
}

// TestWorse: nobody is given another fault for one that is put right, and who has none
// past its step none that is worse than the worst so far.
func TestWorse(t *testing.T) {
	for _, c := range []struct {
		name        string
		now, before harms
		want        bool
	}{
		{"nothing changes", harms{0.5, -0.5, 0, 0, 0.2}, harms{0.5, -0.5, 0, 0, 0.2}, false},
		{"nothing changes, past its step", harms{2, -2}, harms{2, -2}, false},
		{"one for another, as bad as it", harms{-2, 2}, harms{2, -2}, true},
		{"a little of another below its step", harms{0.2, 0, 0, 0, 0.9}, harms{2, -2}, false},
		{"another past its step", harms{0.2, 0, 0, 0, 1.1}, harms{2, -2}, true},
		{"the same further past its step", harms{2.1, -2.1}, harms{2, -2}, true},
		{"worse than the worst, below any step", harms{0, 0, 0.6}, harms{0.5, -0.5}, true},
		{"better as a whole, below any step", harms{0, 0, 0.4}, harms{0.5, -0.5}, false},
	} {
		if got := c.now.worse(c.before); got != c.want {
			t.Errorf("%s: worse: %v", c.name, got)
		}
	}
}
