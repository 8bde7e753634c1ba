package rules

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"
	"time"
)

// TestDeviates: the fixed set is made of independent standard normal deviates.
func TestDeviates(t *testing.T) {
	z := deviates()
	inputs := columns(uncertain)
	for in := range inputs {
		var sum, squares, products float64
		for i := range samples {
			sum += z.At(i, in)
			squares += z.At(i, in) * z.At(i, in)
			products += z.At(i, in) * z.At(i, (in+1)%inputs)
		}
		near(t, "mean", sum/samples, 0, 0.03)
		near(t, "variance", squares/samples, 1, 0.06)
		near(t, "covariance with the next", products/samples, 0, 0.1)
	}
}

func TestSameDeskSameAnswer(t *testing.T) {
	changes := []func(*Profile){white(130), lux(90), notHeld}
	first, err := json.Marshal(evaluated(changes...))
	if err != nil {
		t.Fatal(err)
	}
	second, err := json.Marshal(evaluated(changes...))
	if err != nil || !bytes.Equal(first, second) {
		t.Errorf("two evaluations of one desk differ (%v)", err)
	}
}

// bruteForce is spread by n plain random draws.
func bruteForce(c *Conditions, q Quiet, pic *Picture, n int) (whole []float64, darker, lighter float64) {
	r := seeded(7)
	s := newSampler(c, pic)
	for range n {
		z := make([]float64, columns(uncertain))
		for i := range z {
			z[i] = r.NormFloat64()
		}
		o := s.effect(z)
		whole = append(whole, o.wholeFound)
		n0, c0 := float64(q.Noticeable), float64(q.Clear)
		if o.whole > n0*o.darkens || o.shadows > c0*o.darkens && o.whole > -n0 {
			darker += 1 / float64(n)
		}
		if o.whole < -n0*o.lightens || o.shadows < -c0*o.lightens && o.whole < n0 {
			lighter += 1 / float64(n)
		}
	}
	return whole, darker, lighter
}

// TestAgainstBruteForce: 256 points agree with 10 000 plain draws, to 0.02 in
// probability, and to 0.02 stop or, where the interval is wide, to 7 % of it: beta's
// logarithm has a deviation of 1, so the upper tail is long, and few points lie in it
// (the draws themselves are good to 0.005).
func TestAgainstBruteForce(t *testing.T) {
	for name, changes := range map[string][]func(*Profile){
		"at the targets":       {readAgo(48, 6*time.Hour)},
		"bright and not held":  {white(130), readAgo(90, 3*time.Hour), notHeld, measured(60)},
		"dark, read on a desk": {room(Reading{At: noon, Light: 40, Place: OnDesk})},
		"black surround":       {around(0.01), measured(200)},
	} {
		t.Run(name, func(t *testing.T) {
			p, pic := tidemark(changes...), quay()
			c := Resolve(p, noon)
			got := spread(&c, p.Quiet, &pic)
			whole, darker, lighter := bruteForce(&c, p.Quiet, &pic, 10000)
			want := interval(whole, p.Quiet.Noticeable)
			stops := math.Max(0.02, 0.07*float64(want.High-want.Low))
			near(t, "probability darker", got.Darker, darker, 0.02)
			near(t, "probability lighter", got.Lighter, lighter, 0.02)
			near(t, "16 %", float64(got.Whole.Low), float64(want.Low), stops)
			near(t, "median", float64(got.Whole.Median), float64(want.Median), stops)
			near(t, "whole darker", got.Whole.Darker, want.Darker, 0.02)
			near(t, "84 %", float64(got.Whole.High), float64(want.High), stops)
		})
	}
}

// TestPatience: within the targets the steps that matter are three times as
// large, a tenth beyond them as large as the profile says, and between that is no
// jump; and only what makes for that side ends it.
func TestPatience(t *testing.T) {
	target := tidemark().Target
	for _, c := range []struct {
		name    string
		changes []func(*Profile)
		darker  float64
		lighter float64
	}{
		{"at the reference", nil, 3, 3},
		{"all at their ends", []func(*Profile){white(120), lux(16), around(0.30)}, 3, 3},
		{"screen a twentieth too bright", []func(*Profile){white(126)}, 2, 3},
		{"screen a twentieth too dim", []func(*Profile){white(90 / 1.05)}, 3, 2},
		{"room a twentieth too dark", []func(*Profile){lux(16 / 1.05)}, 2, 3},
		{"room a twentieth too bright", []func(*Profile){lux(64 * 1.05)}, 2, 2},
		{"surround a twentieth too light", []func(*Profile){around(0.315)}, 3, 2},
		{"surround a twentieth too dark", []func(*Profile){around(0.15 / 1.05)}, 2, 3},
		{"the worst counts", []func(*Profile){white(126), lux(64 * 1.08)}, 1.4, 1.4},
		{"screen a tenth too bright", []func(*Profile){white(132)}, 1, 3},
		{"black surround", []func(*Profile){around(0)}, 1, 3},
		{"white surround on a bright screen", []func(*Profile){white(126), around(0.95)}, 2, 1},
	} {
		r := Resolve(tidemark(c.changes...), noon)
		near(t, c.name+", darker", target.patience(r.now(), toDarker), c.darker, 1e-9)
		near(t, c.name+", lighter", target.patience(r.now(), toLighter), c.lighter, 1e-9)
	}
}

// TestNoNagging: a fresh desk that moves about inside its own targets, to the very
// end of one of them, is neither warned nor doubted; outside, the model has its say.
func TestNoNagging(t *testing.T) {
	for _, w := range []Luminance{90, 95, 105, 120} {
		for _, l := range []Lux{32, 48, 64} {
			if r := evaluated(white(w), lux(l)); r.Verdict != Holds {
				t.Errorf("%g cd/m², %g lx: %s", float64(w), float64(l), r.Verdict)
			}
		}
	}
	for _, y := range []float64{0.15, 0.30} {
		if r := evaluated(around(y)); r.Verdict != Holds {
			t.Errorf("surround %g: %s", y, r.Verdict)
		}
	}
	if r := evaluated(white(140)); r.Verdict != Darker {
		t.Errorf("a sixth beyond the target: %s", r.Verdict)
	}
}

// width is the 16–84 % interval of the whole picture's shift.
func width(s Spread) float64 { return float64(s.Whole.High - s.Whole.Low) }

// TestMoreUncertaintyNeverNarrows: whichever input gets half as uncertain again.
// The allowance is what 256 points leave of a quantile (30 000 draws don't narrow
// where these do, by up to 6 % of the interval), and what the model does: both less
// light and much more of it darken the print, and around the bottom of that valley a
// wider guess of the light can narrow the interval by 0.01 stop. The panels can do
// anything here: at the limit of one, more doubt of its drift lies on one side only.
func TestMoreUncertaintyNeverNarrows(t *testing.T) {
	more := map[string]func(c *Conditions){
		"white":    func(c *Conditions) { c.white.sigma *= 1.5 },
		"room":     func(c *Conditions) { c.room.sigma *= 1.5 },
		"diffuse":  func(c *Conditions) { c.diffuse.sigma *= 1.5 },
		"contrast": func(c *Conditions) { c.contrast.sigma *= 1.5 },
		"surround": func(c *Conditions) { c.around.sigma *= 1.5 },
		"drift":    func(c *Conditions) { c.drift *= 1.5 },
		"beta":     func(c *Conditions) { c.how.unabsorbed.sigma *= 1.5 },
		"u":        func(c *Conditions) { c.how.strength.sigma *= 1.5 },
		"share":    func(c *Conditions) { c.share.sigma *= 1.5 },
	}
	r := seeded(11)
	for range 12 {
		p, pic := randomDesk(r), randomPicture(r)
		p.Displays[0].Most = MostWhite
		c := Resolve(p, noon)
		before := width(spread(&c, p.Quiet, &pic))
		allowance := 0.03 + 0.06*before
		for name, change := range more {
			wider := c
			change(&wider)
			if after := width(spread(&wider, p.Quiet, &pic)); after < before-allowance {
				t.Errorf("%s: the interval narrows from %.3f to %.3f stop (%+v)", name, before, after, c)
			}
		}
	}
}

// TestCertaintyIsCertain: without uncertainty there is no interval.
func TestCertaintyIsCertain(t *testing.T) {
	p, pic := tidemark(white(200)), quay()
	c := Resolve(p, noon)
	c.white.sigma, c.room.sigma, c.diffuse.sigma, c.contrast.sigma, c.around.sigma, c.drift = 0, 0, 0, 0, 0, 0
	c.how.unabsorbed.sigma, c.how.strength.sigma, c.share.sigma = 0, 0, 0
	got := spread(&c, p.Quiet, &pic)
	near(t, "interval", width(got), 0, 1e-9)
	near(t, "probability darker", got.Darker, 1, 1e-9)
	near(t, "probability lighter", got.Lighter, 0, 1e-9)
	want := Predict(&c, p.Papers[0], p.Viewings[0], &pic).Targets.Shift
	near(t, "median", float64(got.Whole.Median), float64(want.Whole), 0.01)
	near(t, "median of the shadows", float64(got.Shadows.Median), float64(want.Shadows), 0.02)
}

func TestAgeWidens(t *testing.T) {
	wider := func(what string, at func(step int) func(*Profile)) {
		t.Helper()
		before := 0.0
		for step := range 4 {
			got := width(*evaluated(at(step)).Prediction.Targets.Spread)
			if got <= before {
				t.Errorf("%s, step %d: %.3f stop wide after %.3f", what, step, got, before)
			}
			before = got
		}
	}
	ages := []time.Duration{0, 4 * time.Hour, 8 * time.Hour, 24 * time.Hour}
	wider("older readings", func(i int) func(*Profile) { return readAgo(48, ages[i]) })
	days := []int{0, 30, 90, 365}
	wider("older calibrations", func(i int) func(*Profile) { return measured(days[i]) })
	wider("worse meters", func(i int) func(*Profile) {
		return func(p *Profile) { p.Room.MeterUncertainty = 0.1 + 0.2*float64(i) }
	})
}

// TestMeasure: the measurement asked for is the one that would settle it.
func TestMeasure(t *testing.T) {
	guessed := func(p *Profile) {
		p.Displays[0].White, p.Displays[0].Measured = Assume[Luminance](95), Assume(time.Time{})
	}
	guessedAround := func(p *Profile) { p.Surround.RelativeY = Assume(0.9) }
	surely := func(p *Profile) { p.Room.MeterUncertainty = 0.01 }
	for _, c := range []struct {
		name    string
		changes []func(*Profile)
		want    string
	}{
		{"no reading", []func(*Profile){room()}, RoomLight},
		{"old reading", []func(*Profile){readAgo(48, 10*time.Hour)}, RoomLight},
		{"unmeasured screen", []func(*Profile){guessed, surely}, ScreenLuminance},
		{"old calibration", []func(*Profile){measured(300), surely}, ScreenLuminance},
		{"screen that people turn up in a bright room", []func(*Profile){notHeld, lux(2000), surely}, ScreenLuminance},
		{"all measured but the surround", []func(*Profile){measured(0), surely, guessedAround, lux(300)}, SurroundGrey},
	} {
		s := evaluated(c.changes...).Prediction.Targets.Spread
		if s.Measure != c.want || s.Explains < 0.3 || s.Explains > 1.05 {
			t.Errorf("%s: measure %q (%.2f of the variance), want %q", c.name, s.Measure, s.Explains, c.want)
		}
	}
}

// TestMeasureNothing: what was measured just now isn't asked for again.
func TestMeasureNothing(t *testing.T) {
	for _, changes := range [][]func(*Profile){
		{measured(0)},
		{measured(0), lux(180)},
		{measured(0), white(128)},
		{measured(0), notHeld, lux(100)},
	} {
		if s := evaluated(changes...).Prediction.Targets.Spread; s.Measure != "" || s.Explains != 0 {
			t.Errorf("asks for %q (%.2f of the variance)", s.Measure, s.Explains)
		}
	}
}

func TestInterval(t *testing.T) {
	none := math.NaN()
	got := interval([]float64{3, none, 1, 2, none, 5, 4}, 3)
	near(t, "median", float64(got.Median), 2.5, 0.51)
	if !(got.Low < got.Median && got.Median < got.High) {
		t.Errorf("interval %+v is out of order", got)
	}
	if got.Darker != 0.4 {
		t.Errorf("two of five are darker than 3, not %v", got.Darker)
	}
	if empty := interval([]float64{none, none}, 3); empty.Low.Known() || empty.Median.Known() || empty.High.Known() || empty.Darker != 0 {
		t.Errorf("interval of nothing is %+v", empty)
	}
}

// TestCoarse: the small picture that is sampled has the averages of the large,
// to 0.015 stop in ordinary pictures and to 0.06 in a night scene, where they
// are shifts of a stop.
func TestCoarse(t *testing.T) {
	for _, pic := range []Picture{large(), quay(), graded(15, 10, 200), graded(85, 8, 200)} {
		tolerance := 0.015
		if pic.MeanY < 0.05 {
			tolerance = 0.06
		}
		small := coarse(&pic)
		if len(small.Tones) > 33 || len(small.Colours) > 24 {
			t.Errorf("%d tones and %d colours are not coarse", len(small.Tones), len(small.Colours))
		}
		for _, d := range []desk{bench(200, 32, 0.0025, 0.2), bench(95, 32, 0.0025, 0.95), bench(95, 400, 0.01, 0.2)} {
			reference := bench(95, 48, 0.00225, 0.2)
			near(t, "shift of the small picture", wholeShift(d, reference, small), wholeShift(d, reference, &pic), tolerance)
		}
	}
}

// TestSampleAllocatesNothing: the loop over 256 samples leaves no garbage.
func TestSampleAllocatesNothing(t *testing.T) {
	pic := large()
	c := Resolve(offTarget(), noon)
	s, z := newSampler(&c, &pic), deviates().RawRowView(7)
	allocs := testing.AllocsPerRun(10, func() { s.effect(z) })
	if allocs != 0 {
		t.Errorf("one sample allocates %g times", allocs)
	}
}
