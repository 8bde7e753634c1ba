package rules

import (
	"math"
	"testing"

	"lampblack/rules/colour"
	"lampblack/rules/light"
)

// bench is a desk of D65 white and lamps with a contrast of 900, as the table
// below was computed for; prints are judged by themselves.
func bench(white Luminance, on Lux, diffuse, surround float64) desk {
	return desk{
		screen:   light.Screen{White: white, Contrast: 900, Diffuse: diffuse, On: on},
		white:    colour.D65,
		lamps:    colour.D65,
		room:     on,
		surround: surround,
		share:    0.6,
		eye:      seer(ByItself),
	}
}

// seer is whoever judges prints in that way, at the central values.
func seer(j Judging) observer {
	return observer{unabsorbed: j.unabsorbed().value, surround: strength.value}
}

// TestCorrespondingTones holds the shift against figures from an independent
// sketch of the same model (plain Python, not this code), at a reference of
// 95 cd/m², 48 lx, a surround of 20 %, a hooded screen (0.00225 cd·m⁻²·lx⁻¹)
// and a picture mean of 0.18, for prints judged by themselves, not said how, and
// beside the screen. The directions are common practice, no source.
func TestCorrespondingTones(t *testing.T) {
	tones := [4]float64{0.01, 0.05, 0.18, 0.7}
	ways := [3]Judging{ByItself, JudgedUnsaid, Beside}
	for _, c := range []struct {
		name string
		desk desk
		want [4][]float64 // a row a tone; one figure, for prints judged by themselves, where the white stays
	}{
		{"120 cd/m², 48 lx", bench(120, 48, 0.00225, 0.20), [4][]float64{{0.16, 0.21, 0.34}, {0.12, 0.16, 0.29}, {0.08, 0.13, 0.25}, {0.04, 0.09, 0.21}}},
		{"160 cd/m², 48 lx", bench(160, 48, 0.00225, 0.20), [4][]float64{{0.37, 0.47, 0.76}, {0.26, 0.37, 0.65}, {0.18, 0.28, 0.57}, {0.09, 0.19, 0.48}}},
		{"200 cd/m², 32 lx", bench(200, 32, 0.00225, 0.20), [4][]float64{{0.76, 0.91, 1.31}, {0.52, 0.67, 1.08}, {0.34, 0.49, 0.90}, {0.14, 0.29, 0.70}}},
		{"200 cd/m², 250 lx, black surround", bench(200, 250, 0.00225, 0.003), [4][]float64{{0.49, 0.64, 1.05}, {0.24, 0.40, 0.80}, {0.16, 0.31, 0.72}, {0.10, 0.25, 0.66}}},
		{"95 cd/m², 8 lx", bench(95, 8, 0.00225, 0.20), [4][]float64{{0.88}, {0.57}, {0.33}, {0.07}}},
		{"95 cd/m², 400 lx on a reflecting screen", bench(95, 400, 0.01, 0.20), [4][]float64{{1.95}, {0.58}, {0.11}, {0}}},
		{"95 cd/m², 48 lx, black surround", bench(95, 48, 0.00225, 0.003), [4][]float64{{0.40}, {0.24}, {0.13}, {0.03}}},
		{"95 cd/m², 48 lx, white surround", bench(95, 48, 0.00225, 0.95), [4][]float64{{-1.16}, {-0.61}, {-0.34}, {-0.07}}},
	} {
		should := bench(95, 48, c.desk.screen.Diffuse, 0.20).at(0.18)
		for i, y := range tones {
			for k, want := range c.want[i] {
				now := c.desk
				now.eye = seer(ways[k])
				if got := shiftOf(ptr(now.at(0.18)), &should, y); math.Abs(got-want) > 0.011 {
					t.Errorf("%s, judged %q, Y %.2f: shift %+.3f, want %+.2f", c.name, ways[k], y, got, want)
				}
			}
		}
	}
}

// TestTargetsAgainstThemselves: a desk at its reference prints what it shows.
func TestTargetsAgainstThemselves(t *testing.T) {
	p, pic := tidemark(), quay()
	c := Resolve(p, noon)
	got := Predict(&c, p.Papers[0], p.Viewings[0], &pic)
	for _, point := range got.Targets.Curve {
		near(t, "shift", float64(point.Shift), 0, 1e-9)
	}
	s := got.Targets.Shift
	for _, zone := range []Figure{s.Shadows, s.Midtones, s.Highlights, s.Whole} {
		near(t, "shift", float64(zone), 0, 1e-9)
	}
	near(t, "colourfulness", float64(got.Targets.Colourfulness), 1, 1e-12)
	near(t, "lost share", float64(got.Targets.LostShare), 0, 1e-12)
	near(t, "steps at targets", float64(got.Steps.AtTargets), float64(got.Steps.Screen), 1e-9)
}

// onPaper is a bare sheet of white reflectance 0.88 and density 2 in a grey mat.
func onPaper(on Lux) (Paper, Viewing) {
	return Paper{White: Stated(0.88), DMax: Stated(2.0)},
		Viewing{Light: Stated(on), Lamps: Stated[Kelvin](5000), Mat: Stated(GreyMat), Glazing: Stated(NoGlazing)}
}

// TestMatchingLight: a sheet of reflectance 0.88 is as bright as a screen of
// 96 cd/m² at 343 lx, and as one of 95 cd/m² at 339 (E = π·L/R); flare aside.
func TestMatchingLight(t *testing.T) {
	near(t, "light for 96 cd/m²", float64(light.MatchingLux(96, 0.88)), 343, 0.5)
	near(t, "light for 95 cd/m²", float64(light.MatchingLux(95, 0.88)), 339, 0.5)
	paper, viewing := onPaper(339)
	sheet := hanging(paper, viewing, 0.6).sheet
	near(t, "white of the sheet", float64(sheet.AdoptedWhite()), 95*(1+flare), 0.1)
}

// TestLostTones: tones under a paper's black are counted, bounded, and nothing jumps
// as they get there; what can't be told from black any more is lost.
func TestLostTones(t *testing.T) {
	desk := bench(95, 48, 0.00225, 0.20)
	pic := graded(15, 12, 200)
	now := desk.at(pic.MeanY)
	paper, viewing := onPaper(300)
	before, lostAtLeast := math.NaN(), 0.0
	for d := 2.6; d > 1.2; d -= 0.0005 { // ever poorer blacks, 0.1 % a step
		paper.DMax = Stated(d)
		there := hanging(paper, viewing, 0.6).at(pic.MeanY)
		whole, lost := summarise(&now, &there, pic.Tones).wholeShift(), lostShare(&now, &there, pic.Tones)
		if whole < -mostTone || lost < lostAtLeast-1e-12 || lost > 1 {
			t.Fatalf("density %.2f: shift %+.2f, %.3f lost after %.3f", d, whole, lost, lostAtLeast)
		}
		if math.Abs(whole-before) > 0.02 {
			t.Errorf("density %.4f: shift jumps from %+.3f to %+.3f", d, before, whole)
		}
		before, lostAtLeast = whole, lost
	}
	if lostAtLeast < 0.02 {
		t.Errorf("at density 1.2 only %.3f of a dark picture is lost", lostAtLeast)
	}
	there := hanging(paper, viewing, 0.6).at(pic.MeanY)
	tone, kept := toneShift(&now, &there, 0.001)
	if kept != 0 || tone != -2 || counted(tone, kept) != -0.5 {
		t.Errorf("a tone below the paper's black is %+.2f, kept %.2f, and counts %+.2f", tone, kept, counted(tone, kept))
	}
	near(t, "its shift in the curve", shiftOf(&now, &there, 0.001), -2+unabsorbed(&now, &there), 1e-12)
}

// What a tone counts is bounded on both sides, and runs over into what counts below the
// black without a step.
func TestCounted(t *testing.T) {
	for _, c := range []struct{ tone, kept, want float64 }{
		{0.3, 1, 0.3}, {5.7, 1, 2}, {-2.4, 1, -2}, {-3, 1, -2}, {-4, 0.5, -1.25}, {-9, 0, -0.5},
	} {
		near(t, "counted", counted(c.tone, c.kept), c.want, 1e-12)
	}
}

// TestLeastSeen: three steps of the grayscale function above black, and a group of
// tones across the edge counts by its part.
func TestLeastSeen(t *testing.T) {
	l := bench(95, 48, 0.00225, 0.20).at(0.18)
	y := leastSeen(&l)
	near(t, "steps", light.JND(l.luminance(y))-light.JND(l.luminance(0)), 3, 1e-6)
	dark := look{white: 0.05, black: 0.9}
	near(t, "where not even white is seen", leastSeen(&dark), 1, 0)
	edge := colour.FromLightness(10)
	near(t, "below", partBetween(colour.FromLightness(9.7), 0, edge), 1, 1e-9)
	near(t, "above", partBetween(colour.FromLightness(10.3), 0, edge), 0, 1e-9)
	if part := partBetween(edge, 0, edge); part < 0.45 || part > 0.55 {
		t.Errorf("%.2f of a group that straddles the edge lies below it", part)
	}
}

func ptr[T any](v T) *T { return &v }

// TestOneToneBeingLost: what a single tone counts changes without a step as it sinks
// under the paper's black.
func TestOneToneBeingLost(t *testing.T) {
	now := bench(95, 48, 0.00225, 0.20).at(0.18)
	paper, viewing := onPaper(300)
	paper.DMax = Stated(1.5)
	there := hanging(paper, viewing, 0.6).at(0.18)
	before := counted(toneShift(&now, &there, 0.2))
	for y := 0.2; y > leastTone; y /= 1.002 {
		shift := counted(toneShift(&now, &there, y))
		if math.Abs(before-shift) > 0.08 {
			t.Fatalf("Y %.5f: it counts %.3f after %.3f", y, shift, before)
		}
		before = shift
	}
	near(t, "the darkest tone", before, belowBlack, 0)
}

// TestContrastRatio is by hand: a print whose lights come out a stop darker than its
// darks has lost that stop, and a picture of one tone has none.
func TestContrastRatio(t *testing.T) {
	a, r := bench(95, 48, 0.00225, 0.95).at(0.18), bench(95, 48, 0.00225, 0.20).at(0.18)
	lo, hi := 0.02, 0.64 // five stops
	want := 5 / (5 + shiftOf(&a, &r, hi) - shiftOf(&a, &r, lo))
	near(t, "white surround", contrastRatio(&a, &r, lo, hi), want, 1e-12)
	if want > 0.9 || want < 0.8 {
		t.Errorf("a white surround leaves %.2f of the contrast; 0.86 was expected", want)
	}
	if got := contrastRatio(&a, &r, 0.2, 0.2); !math.IsNaN(got) {
		t.Errorf("a picture of one tone has a contrast ratio of %g", got)
	}
	near(t, "at the reference", contrastRatio(&r, &r, lo, hi), 1, 1e-12)
	near(t, "from black", contrastRatio(&a, &r, 0, hi), contrastRatio(&a, &r, 0.00055, hi), 1e-12)
}

func TestZones(t *testing.T) {
	y := colour.FromLightness
	for _, c := range []struct {
		l    float64
		want string
	}{{2, "shadows"}, {29.9, "shadows"}, {30.1, "midtones"}, {69.9, "midtones"}, {70.1, "highlights"}, {100, "highlights"}} {
		var s summary
		s.zone(y(c.l)).add(1, 1)
		got := map[zone]string{s.shadows: "shadows", s.midtones: "midtones", s.highlights: "highlights"}[zone{1, 1}]
		if got != c.want {
			t.Errorf("L* %.1f is in the %s, want %s", c.l, got, c.want)
		}
	}
	now, should := bench(200, 32, 0.0025, 0.2).at(0.18), bench(95, 48, 0.00225, 0.2).at(0.18)
	tones := []Tone{{0, 0.1}, {y(20), 0.3}, {y(50), 0.4}, {y(80), 0.2}}
	s := summarise(&now, &should, tones).shift()
	var mean float64
	for i, zone := range []Figure{s.Shadows, s.Midtones, s.Highlights} {
		shift := shiftOf(&now, &should, tones[i+1].Y)
		near(t, "zone of one tone", float64(zone), shift, 1e-12)
		mean += shift * tones[i+1].Share / 0.9 // black was not chosen by its look
	}
	near(t, "whole", float64(s.Whole), mean, 1e-12)
}

func TestPercentile(t *testing.T) {
	tones := []Tone{{0.01, 0.1}, {0.1, 0.2}, {0.5, 0.7}}
	for _, c := range []struct{ p, want float64 }{{0.005, 0.01}, {0.1, 0.01}, {0.11, 0.1}, {0.25, 0.1}, {0.5, 0.5}, {1, 0.5}, {1.1, 0.5}} {
		if got := percentile(tones, c.p); got != c.want {
			t.Errorf("percentile %.3f is %g, want %g", c.p, got, c.want)
		}
	}
	if got := percentile(nil, 0.5); !math.IsNaN(got) {
		t.Errorf("percentile of nothing is %g", got)
	}
}

// midtones is the midtones' shift of a picture judged at the reference, on this
// sheet.
func midtones(paper Paper, v Viewing) float64 {
	pic := graded(45, 20, 40)
	now := bench(95, 48, 0.00225, 0.20).at(pic.MeanY)
	there := hanging(paper, v, 0.6).at(pic.MeanY)
	return summarise(&now, &there, pic.Tones).midtones.mean()
}

// TestAroundThePrint: a lighter mat makes a print look darker (simultaneous
// contrast), less light does, and so does glass.
func TestAroundThePrint(t *testing.T) {
	paper, v := onPaper(300)
	rising := func(what string, set func(i int), n int) {
		t.Helper()
		before := math.Inf(-1)
		for i := range n {
			set(i)
			got := midtones(paper, v)
			if got <= before {
				t.Errorf("%s, step %d: shift %+.3f after %+.3f", what, i, got, before)
			}
			before = got
		}
		paper, v = onPaper(300)
	}
	order := []Mat{BlackMat, GreyMat, NoMat, CreamMat, WhiteMat}
	rising("lighter mats", func(i int) { v.Mat = Stated(order[i]) }, len(order))
	lights := []Lux{2000, 1000, 500, 200, 100, 50}
	rising("less light", func(i int) { v.Light = Stated(lights[i]) }, len(lights))

	shadows := func(g Glazing) float64 { return float64(hangingBlack(g)) }
	if !(shadows(NoGlazing) < shadows(CoatedGlazing) && shadows(CoatedGlazing) < shadows(GlassGlazing)) {
		t.Error("blacks don't get lighter from no glass over coated to plain glass")
	}
	bare := midtones(paper, v)
	v.Glazing = Stated(GlassGlazing)
	if glazed := midtones(paper, v); !(glazed < bare+0.1 && glazed > bare-0.5) {
		t.Errorf("glass moves the midtones from %+.2f to %+.2f", bare, glazed)
	}
}

// hangingBlack is black relative to white, of a sheet behind glass.
func hangingBlack(g Glazing) float64 {
	paper, v := onPaper(300)
	v.Glazing = Stated(g)
	s := hanging(paper, v, 0.6).sheet
	return float64(s.Luminance(0) / s.AdoptedWhite())
}
