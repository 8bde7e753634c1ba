package rules

import (
	"math"
	"testing"

	"lampblack/rules/colour"
)

// castOf is the cast against the targets of the quay, judged on a white of this
// chromaticity.
func castOf(xy colour.XY) Cast {
	return evaluated(func(p *Profile) { p.Displays[0].WhitePoint = Stated(xy) }).Prediction.Targets.Cast
}

// TestCastAtTheTargets: judged on the white that it should be, nothing is tinted.
func TestCastAtTheTargets(t *testing.T) {
	c := evaluated(white(200), lux(20)).Prediction.Targets.Cast
	near(t, "a'", float64(c.A), 0, 0.5) // more of the lamps' 4000 K in the adapted white
	if c := evaluated().Prediction.Targets.Cast; math.Hypot(float64(c.A), float64(c.B)) > 1e-9 || c.Word != castNone {
		t.Errorf("cast %+v", c)
	}
}

// TestCastOfTheWhitePoint: who judges on a bluer white makes yellower prints, the
// more the bluer, and the other way round (common practice, no source).
func TestCastOfTheWhitePoint(t *testing.T) {
	before := math.Inf(-1)
	for _, k := range []Kelvin{4500, 5000, 5600, 6000, 6500, 7500, 9000, 12000} {
		c := castOf(daylight(k))
		if float64(c.B) <= before {
			t.Errorf("%g K: b' %+.2f after %+.2f", float64(k), float64(c.B), before)
		}
		before = float64(c.B)
	}
	for k, want := range map[Kelvin]string{5000: "cooler", 5600: castNone, 6000: castNone, 6500: castNone, 9000: "warmer"} {
		if c := castOf(daylight(k)); c.Word != want {
			t.Errorf("%g K against 6000 K: %+v, want %q", float64(k), c, want)
		}
	}
}

// TestD65IsNotABlackBody: D65 and a black body of 6500 K have one temperature and
// two colours; the black body is pinker (CIE 15: the daylight locus lies above the
// Planckian one), so what was judged on it prints greener.
func TestD65IsNotABlackBody(t *testing.T) {
	body, err := colour.Planck(6500)
	if err != nil {
		t.Fatal(err)
	}
	d65, planck := castOf(colour.D65), castOf(body)
	if gap := math.Hypot(float64(d65.A-planck.A), float64(d65.B-planck.B)); gap < 0.5 || planck.A >= d65.A {
		t.Errorf("D65 %+v, black body %+v, %.2f apart", d65, planck, gap)
	}
	p := func(xy colour.XY) float64 {
		c := Resolve(tidemark(func(p *Profile) { p.Displays[0].WhitePoint = Stated(xy) }), noon)
		return float64(c.Get(WhitePoint).Value)
	}
	near(t, "temperature of D65", p(colour.D65), 6504, 2)
	near(t, "temperature of the black body", p(body), 6500, 2)
}

// TestCastOfGreenAndPink: whites off the loci.
func TestCastOfGreenAndPink(t *testing.T) {
	if c := castOf(colour.XY{X: 0.320, Y: 0.360}); c.Word != "pinker" {
		t.Errorf("judged on a green white: %+v", c)
	}
	if c := castOf(colour.XY{X: 0.320, Y: 0.300}); c.Word != "greener" {
		t.Errorf("judged on a pink white: %+v", c)
	}
}

// TestCastOfTheHall: adaptation to lamps is not complete; in light of 2900 K a
// print looks warm, and the less so the cooler the light.
func TestCastOfTheHall(t *testing.T) {
	hall := func(k Kelvin) Cast {
		return evaluated(func(p *Profile) { p.Viewings[0].Lamps = Stated(k) }).Prediction.Viewing.Cast
	}
	if c := hall(2900); c.Word != "warmer" || math.Hypot(float64(c.A), float64(c.B)) < clearCast {
		t.Errorf("2900 K: %+v, want clearly warmer", c)
	}
	before := math.Inf(1)
	for _, k := range []Kelvin{2700, 2900, 3500, 4000, 5000, 6500} {
		if b := float64(hall(k).B); b >= before {
			t.Errorf("%g K: b' %+.2f after %+.2f", float64(k), b, before)
		} else {
			before = b
		}
	}
}

func TestCastWord(t *testing.T) {
	for _, c := range []struct {
		a, b float64
		want string
	}{
		{0, 0, castNone}, {1.3, -1.3, castNone}, {0, 2, "warmer"}, {0, -2, "cooler"}, {2, 0, "pinker"}, {-2, 0, "greener"},
		{3, 4, "warmer"}, {-3, -4, "cooler"}, {4, -3, "pinker"}, {-4, 3, "greener"}, {2, 2, "warmer"}, {math.NaN(), 0, castNone},
	} {
		if got := castWord(c.a, c.b); got != c.want {
			t.Errorf("a' %+g, b' %+g: %q, want %q", c.a, c.b, got, c.want)
		}
	}
}

// TestMeanNeutral: colours that are no neutrals, and blacks, have no say.
func TestMeanNeutral(t *testing.T) {
	white := colour.D50.XYZ(1)
	of := func(cs ...Colour) colour.Lab {
		return colour.LabOf(meanNeutral(coloursOf(&Picture{Colours: cs})), white)
	}
	grey := Colour{colour.Lab{L: 60, A: 3, B: -4}, 0.2}
	if got := of(grey, Colour{colour.Lab{L: 50, A: 60, B: 40}, 0.7}, Colour{colour.Lab{L: 5}, 0.1}); math.Abs(got.L-60) > 1e-9 || math.Abs(got.A-3) > 1e-9 {
		t.Errorf("one near-neutral: %+v", got)
	}
	if got := of(Colour{colour.Lab{L: 50, A: 60, B: 40}, 1}); math.Abs(got.L-50) > 1e-9 || math.Hypot(got.A, got.B) > 1e-9 {
		t.Errorf("no neutral: %+v, want a middle grey", got)
	}
	if got := of(grey, Colour{colour.Lab{L: 60, A: -3, B: 4}, 0.2}); math.Hypot(got.A, got.B) > 0.5 {
		t.Errorf("two that cancel: %+v", got)
	}
}

// TestUCSPublished: M' = ln(1 + 0.0228·M)/0.0228 (Li et al. 2017, CAM16-UCS): its
// length by hand for the model's own M and h.
func TestUCSPublished(t *testing.T) {
	l := bench(95, 48, 0.00225, 0.20).at(0.18)
	xyz := colour.Lab{L: 50, A: 40, B: 30}.XYZ(colour.D50.XYZ(1))
	k, u := l.appearance(xyz), l.ucs(xyz)
	near(t, "length", math.Hypot(u.a, u.b), math.Log(1+0.0228*k.M)/0.0228, 1e-9)
	near(t, "direction", math.Mod(math.Atan2(u.b, u.a)*180/math.Pi+360, 360), k.H, 1e-9)
}
