package light

import (
	"fmt"
	"math"
	"testing"

	"lampblack/rules/colour"
)

// Figures that are in print, typed to the digits printed.
func TestPublishedFigures(t *testing.T) {
	// ISO 2720 with K = 12.5 and C = 250: L = 0.125·2^EV, E = 2.5·2^EV.
	for _, r := range []struct{ ev, l, e float64 }{
		{0, 0.125, 2.5}, {3, 1, 20}, {5, 4, 80}, {6, 8, 160}, {7, 16, 320}, {8, 32, 640},
		{9, 64, 1280}, {10, 128, 2560}, {12, 512, 10240}, {15, 4096, 81920},
	} {
		x := Exposure{Aperture: math.Pow(2, r.ev/2), Seconds: 1, ISO: 100}
		near(t, fmt.Sprintf("L at EV %g", r.ev), x.Luminance(K125), r.l, 1e-12)
		near(t, fmt.Sprintf("E at EV %g", r.ev), x.Illuminance(CFlat), r.e, 1e-12)
	}
	// A rule older than meters: in full sun f/16 and one over the film speed.
	sunny := Exposure{Aperture: 16, Seconds: 1.0 / 100, ISO: 100}
	near(t, "sunny f/16, E", sunny.Illuminance(CFlat), 64000, 1e-12)
	near(t, "sunny f/16, L", sunny.Luminance(K125), 3200, 1e-12)
	within(t, "stops between the two K", math.Log2(K14/K125), 0.16, 0.005)

	// Five hundred lux, the practical appraisal level of ISO 3664, on a perfect
	// diffuser, on the reference medium of ICC.1 and on L* 95.
	within(t, "500 lx on 1", Print(500, 1), 159.2, 0.05)
	within(t, "500 lx on 0.89", Print(500, 0.89), 141.6, 0.05)
	within(t, "500 lx on L* 95", Print(500, colour.FromLightness(95)), 139.45, 0.05)
	within(t, "lux to match 96 cd/m² on 0.88", MatchingLux(96, 0.88), 343, 0.5)

	// Surround ratios of CIE 248:2022 table 1 (illuminances and whites from memory).
	for name, r := range map[string]struct {
		e    Lux
		w    Luminance
		want float64
	}{"booth": {1000, 318.3, 1.0}, "screen at home": {38, 80, 0.15}, "projection": {0, 150, 0}, "office": {500, 80, 1.99}} {
		within(t, name, Print(r.e, 1)/r.w, r.want, 0.005)
	}

	// DICOM PS3.14: ends of table B-1 and the annexes' example indices.
	for _, r := range []struct{ j, l, tolerance float64 }{{1, 0.0500, 5e-5}, {1023, 3993.4040, 0.08}} {
		l, err := LuminanceOfJND(r.j)
		if err != nil {
			t.Fatal(err)
		}
		within(t, fmt.Sprintf("L(%g)", r.j), l, r.l, r.tolerance)
	}
	within(t, "j(12.0)", JND(12.0), 233.32, 0.005)
}

// The effective black of desks: 120 cd/m², 1000:1.
func TestGlareEatsContrast(t *testing.T) {
	for _, r := range []struct {
		refl float64
		on   Lux
		want float64
	}{{0.005, 64, 541}, {0.01, 200, 159}, {0.02, 500, 37}} {
		s := Screen{White: 120, Contrast: 1000, Diffuse: r.refl / math.Pi, On: r.on}
		within(t, fmt.Sprintf("contrast at %g lx", r.on), s.AdoptedWhite()/s.Luminance(0), r.want, 0.5)
	}
}

// Seen contrast of papers of reflectance 0.88 against flare.
func TestFlareEatsDmax(t *testing.T) {
	for _, r := range []struct{ dmax, flare, want float64 }{
		{1.7, 0, 44}, {1.7, 0.01, 31}, {2.0, 0, 88}, {2.0, 0.01, 47}, {2.3, 0.0075, 76}, {2.3, 0.02, 40},
	} {
		s := Sheet{On: 500, White: 0.88, Black: colour.FromDensity(r.dmax), Flare: r.flare, Transmit: 1}
		within(t, fmt.Sprintf("D %g, flare %g", r.dmax, r.flare), s.AdoptedWhite()/s.Luminance(0), r.want, 0.6)
	}
}

func TestScreenWithPerfectBlack(t *testing.T) {
	s := Screen{White: 100, Contrast: math.Inf(1)}
	if l := s.Luminance(0); l != 0 {
		t.Errorf("black = %g, want 0", l)
	}
	if l := s.Luminance(0.25); l != 25 {
		t.Errorf("quarter = %g, want 25", l)
	}
}

func TestGlazing(t *testing.T) {
	bare := Sheet{On: 300, White: 0.9, Black: 0.01, Transmit: 1}
	glazed := bare
	glazed.Transmit, glazed.Mirror = 0.9, 0.02
	for _, y := range []float64{0, 0.18, 1} {
		want := 0.81*float64(bare.Luminance(y)) + 0.02*300/math.Pi
		near(t, fmt.Sprintf("behind glass at %g", y), glazed.Luminance(y), want, 1e-14)
	}
	within(t, "middle of the tones", bare.Luminance(0.5), float64(bare.Luminance(0)+bare.Luminance(1))/2, 1e-12)
	if got := glazed.AdoptedWhite(); got != glazed.Luminance(1) {
		t.Errorf("adopted white %g isn't the paper's %g", got, glazed.Luminance(1))
	}
}

// JND rises with luminance, is the inverse of LuminanceOfJND as far as the
// standard's two fits agree, and is clamped where they end.
func TestJND(t *testing.T) {
	last := 0.0
	for l := Luminance(0.05); l <= 3990; l *= 1.01 {
		j := JND(l)
		if j <= last {
			t.Fatalf("j(%g) = %g doesn't rise", l, j)
		}
		last = j
		back, err := LuminanceOfJND(j)
		if err != nil {
			t.Fatal(err)
		}
		tolerance := 0.002
		if l < 0.1 {
			tolerance = 0.006
		}
		near(t, fmt.Sprintf("L(j(%g))", l), back, float64(l), tolerance)
	}
	for _, l := range []Luminance{0, -1, 0.01, Luminance(math.Inf(-1))} {
		if JND(l) != JND(0.05) {
			t.Errorf("j(%g) = %g, want that of 0.05", l, JND(l))
		}
	}
	if JND(4000) != lastJND || JND(1e6) != lastJND {
		t.Errorf("j(4000) = %g, j(1e6) = %g, want %g", JND(4000), JND(1e6), lastJND)
	}
}

func TestLuminanceOfJNDRefuses(t *testing.T) {
	for _, j := range []float64{0.99, 0, -5, 1023.01, math.NaN(), math.Inf(1)} {
		if l, err := LuminanceOfJND(j); err == nil {
			t.Errorf("L(%g) = %g, want an error", j, l)
		}
	}
}

// Check values at r 0.6, and the ends at which one white has no say.
func TestMixedWhite(t *testing.T) {
	d65, d50 := colour.D65, colour.D50
	got := MixedWhite(d65, 120, d50, 142, 0.6)
	within(t, "x", got.X, 0.3257, 5e-5)
	within(t, "y", got.Y, 0.3406, 5e-5)
	for name, c := range map[string]struct {
		ld, la Luminance
		r      float64
		want   colour.XY
	}{
		"dark room":        {120, 0, 0.6, d65},
		"dark room, r 0":   {120, 0, 0, d65},
		"negative room":    {120, -3, 0.6, d65},
		"screen off":       {0, 50, 0.6, d50},
		"nothing lit":      {0, 0, 0.6, d65},
		"only the display": {120, 50, 1, d65},
		"only the room":    {120, 50, 0, d50},
		"r above 1":        {120, 50, 1.5, d65},
		"r below 0":        {120, 50, -0.5, d50},
	} {
		if got := MixedWhite(d65, c.ld, d50, c.la, c.r); got != c.want {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
	// The room draws the white over without a jump when its light comes up.
	last := d65.X
	for la := Luminance(1e-6); la < 1e4; la *= 2 {
		x := MixedWhite(d65, 120, d50, la, 0.6).X
		if x <= last {
			t.Errorf("room of %g cd/m²: x = %g doesn't move to the room's", la, x)
		}
		last = x
	}
}
