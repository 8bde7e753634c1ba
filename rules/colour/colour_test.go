package colour

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestMatrixInverse(t *testing.T) {
	for name, m := range map[string]Matrix{
		"CAT16": CAT16, "Bradford": bradford,
		"sRGB": SRGB.ToXYZ(), "Adobe RGB": AdobeRGB.ToXYZ(), "ROMM": ROMM.ToXYZ(),
	} {
		for what, product := range map[string]Matrix{"m·m⁻¹": m.Mul(m.Inverse()), "m⁻¹·m": m.Inverse().Mul(m)} {
			for i := range product {
				for j := range product[i] {
					want := 0.0
					if i == j {
						want = 1
					}
					within(t, fmt.Sprintf("%s %s [%d][%d]", name, what, i, j), product[i][j], want, 1e-14)
				}
			}
		}
	}
}

func TestMulAppliesRightFirst(t *testing.T) {
	v := XYZ{0.3, 0.5, 0.7}
	nearXYZ(t, "(m·n)·v", CAT16.Mul(bradford).Apply(v), CAT16.Apply(bradford.Apply(v)), 1e-15)
}

// The matrices as their specifications print them, to half the last digit. That
// of ROMM starts from a white rounded to .9642 1 .8249, which moves its last
// column more.
func TestPublishedMatrices(t *testing.T) {
	for name, c := range map[string]struct {
		e         Encoding
		want      Matrix
		tolerance float64
	}{
		"sRGB, IEC 61966-2-1": {SRGB, Matrix{{.4124, .3576, .1805}, {.2126, .7152, .0722}, {.0193, .1192, .9505}}, 5.1e-5},
		"Adobe RGB (1998)":    {AdobeRGB, Matrix{{.57667, .18556, .18823}, {.29734, .62736, .07529}, {.02703, .07069, .99134}}, 5.1e-6},
		"ROMM, ISO 22028-2":   {ROMM, Matrix{{.7977, .1352, .0313}, {.2880, .7119, .0001}, {0, 0, .8249}}, 2.5e-4},
	} {
		got := c.e.ToXYZ()
		for i := range got {
			for j := range got[i] {
				within(t, fmt.Sprintf("%s [%d][%d]", name, i, j), got[i][j], c.want[i][j], c.tolerance)
			}
		}
	}
}

func TestEncodings(t *testing.T) {
	for name, e := range map[string]Encoding{"sRGB": SRGB, "Adobe RGB": AdobeRGB, "ROMM": ROMM} {
		white := e.ToXYZ().Apply(XYZ{e.Decode(1), e.Decode(1), e.Decode(1)})
		nearXYZ(t, name+" white", white, e.White().XYZ(1), 1e-14)
		if e.Decode(0) != 0 || e.Encode(0) != 0 {
			t.Errorf("%s: black isn't 0", name)
		}
		last := math.Inf(-1)
		for v := -0.5; v < 1.5; v += 1.0 / 1024 {
			linear := e.Decode(v)
			if linear <= last {
				t.Fatalf("%s: Decode(%g) doesn't rise", name, v)
			}
			last = linear
			within(t, fmt.Sprintf("%s Encode(Decode(%g))", name, v), e.Encode(linear), v, 1e-7)
			within(t, fmt.Sprintf("%s Decode(%g) mirrored", name, v), e.Decode(-v), -linear, 0)
		}
	}
	within(t, "end of ROMM's toe", ROMM.Decode(16.0/512), 1.0/512, 1e-15)
}

// Grey code values of sRGB in percent, typed from a table of editors' greys made
// with an independent script.
func TestGreysOfEditors(t *testing.T) {
	for code, percent := range map[int]float64{26: 1.03, 38: 1.94, 51: 3.31, 64: 5.13, 96: 11.70, 118: 18.12, 128: 21.59} {
		within(t, fmt.Sprintf("grey %d", code), 100*SRGB.Decode(float64(code)/255), percent, 0.006)
	}
}

// Published temperatures of the standard illuminants (CIE 15): nominal ones times
// 1.4388/1.4380, the correction of Planck's constant since 1964.
func TestPublishedTemperatures(t *testing.T) {
	for name, c := range map[string]struct {
		white     XY
		want      float64
		tolerance float64
	}{
		// D50 has xy rounded to four places: 5001 K for the light of 5003 K.
		"D50": {D50, 5003, 3}, "D65": {D65, 6504, 1}, "A": {XY{0.44758, 0.40745}, 2856, 1},
	} {
		got, _, err := CCT(c.white)
		if err != nil {
			t.Fatal(err)
		}
		within(t, name, float64(got), c.want, c.tolerance)
	}
	for name, c := range map[string]struct {
		t    Kelvin
		want XY
	}{"D50": {5002.8, D50}, "D65": {6503.6, D65}, "D55": {5503.1, XY{0.33243, 0.34744}}} {
		got, err := Daylight(c.t)
		if err != nil {
			t.Fatal(err)
		}
		within(t, name+" x", got.X, c.want.X, 1e-4)
		within(t, name+" y", got.Y, c.want.Y, 2e-4)
	}
}

// CCT finds the way back from everywhere around the locus.
func TestCCTThereAndBack(t *testing.T) {
	for m := 40.0; m <= 599; m += 3.7 {
		p, along := blackBody(m)
		length := math.Hypot(along.u, along.v)
		for _, duv := range []float64{-0.049, -0.02, -1e-4, 1e-4, 0.02, 0.049} {
			c := uv{p.u - duv*along.v/length, p.v + duv*along.u/length}.xy()
			cct, gotDuv, err := CCT(c)
			if err != nil {
				t.Errorf("%g mired, duv %g: %v", m, duv, err)
				continue
			}
			within(t, fmt.Sprintf("mired at duv %g", duv), 1e6/float64(cct), m, 1e-8)
			within(t, fmt.Sprintf("duv at %g mired", m), gotDuv, duv, 1e-12)
		}
	}
}

func TestCCTRefuses(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]XY{
		"green": {0.30, 0.60}, "purple": {0.30, 0.10}, "red": {0.70, 0.30}, "deep blue": {0.15, 0.06},
		"embers of 1600 K": chromaticity(blackBody(1e6 / 1600)), "hotter than any sky": {0.2450, 0.2420}, "NaN": {nan, nan},
	} {
		if cct, duv, err := CCT(c); err == nil {
			t.Errorf("%s: %g K, duv %g; want an error", name, cct, duv)
		}
	}
}

func chromaticity(p, _ uv) XY { return p.xy() }

func TestLociRefuse(t *testing.T) {
	for name, c := range map[string]struct {
		locus func(Kelvin) (XY, error)
		t     []Kelvin
	}{
		"daylight": {Daylight, []Kelvin{3999, 25001, Kelvin(math.NaN())}},
		"Planck":   {Planck, []Kelvin{1666, 25001, 0, Kelvin(math.NaN())}},
		"lamp":     {Lamp, []Kelvin{1666, 25001, Kelvin(math.NaN())}},
	} {
		for _, k := range c.t {
			if _, err := c.locus(k); err == nil || !strings.Contains(err.Error(), "25000 K") {
				t.Errorf("%s at %g K: error %v, want one that states the range", name, k, err)
			}
		}
	}
}

// A lamp's white moves smoothly with its temperature, is a black body when warm,
// daylight when cool, and keeps its correlated colour temperature.
func TestLamp(t *testing.T) {
	warm, _ := Planck(2700)
	cool, _ := Daylight(6500)
	if got, err := Lamp(2700); err != nil || got != warm {
		t.Errorf("2700 K: %v %v, want %v", got, err, warm)
	}
	if got, err := Lamp(6500); err != nil || got != cool {
		t.Errorf("6500 K: %v %v, want %v", got, err, cool)
	}
	last, err := Lamp(planckLow)
	if err != nil {
		t.Fatal(err)
	}
	for k := planckLow; k <= planckHigh; k += 0.5 {
		c, err := Lamp(k)
		if err != nil {
			t.Fatal(err)
		}
		if step := math.Hypot(c.X-last.X, c.Y-last.Y); step > 1.2e-4 {
			t.Fatalf("%g K: chromaticity jumps by %.1e", k, step)
		}
		last = c
		if math.Mod(float64(k), 50) != 0 {
			continue
		}
		cct, _, err := CCT(c)
		if err != nil {
			t.Fatal(err)
		}
		within(t, fmt.Sprintf("CCT of a lamp of %g K", k), float64(cct), float64(k), max(3, 0.005*float64(k-5000)))
	}
}

func TestLabThereAndBack(t *testing.T) {
	white := D50.XYZ(100)
	for _, v := range []XYZ{{0, 0, 0}, {0.1, 0.2, 0.05}, {18, 20, 15}, {0.5, 0.9, 60}, white, {120, 130, 90}} {
		nearXYZ(t, fmt.Sprint(v), LabOf(v, white).XYZ(white), v, 1e-13)
	}
	if got := LabOf(white, white); got != (Lab{L: 100}) {
		t.Errorf("Lab of white = %v", got)
	}
	for y := -0.1; y < 1.5; y += 0.001 {
		near(t, "FromLightness(Lightness)", FromLightness(Lightness(y)), y, 1e-14)
		near(t, "L* of Lab", LabOf(XYZ{y, y, y}, XYZ{1, 1, 1}).L, Lightness(y), 1e-13)
	}
	within(t, "step at the end of the toe", Lightness(math.Nextafter(toeEnd, 1)), Lightness(toeEnd), 1e-13)
}

func TestDensityEnds(t *testing.T) {
	if d := Density(0); !math.IsInf(d, 1) {
		t.Errorf("Density(0) = %g, want infinite", d)
	}
	if d := Density(-0.1); !math.IsNaN(d) {
		t.Errorf("Density(−0.1) = %g, want NaN", d)
	}
	if r := FromDensity(math.Inf(1)); r != 0 {
		t.Errorf("FromDensity(∞) = %g, want 0", r)
	}
}

func TestBradford(t *testing.T) {
	from, to := D65.XYZ(100), D50.XYZ(80)
	nearXYZ(t, "white", Bradford(from, to).Apply(from), to, 1e-14)
	v := XYZ{38, 34, 24}
	nearXYZ(t, "there and back", Bradford(to, from).Apply(Bradford(from, to).Apply(v)), v, 1e-14)
	// D65 to D50 as profiles of sRGB carry it in their chad tag (from memory).
	want := Matrix{{1.047886, 0.022919, -0.050216}, {0.029582, 0.990484, -0.017079}, {-0.009252, 0.015073, 0.751678}}
	got := Bradford(D65.XYZ(1), XYZ{0.9642, 1, 0.8249})
	for i := range got {
		for j := range got[i] {
			within(t, fmt.Sprintf("[%d][%d]", i, j), got[i][j], want[i][j], 1e-4)
		}
	}
}

func TestBlackHasNoChromaticity(t *testing.T) {
	if c := (XYZ{}).XY(); !math.IsNaN(c.X) || !math.IsNaN(c.Y) {
		t.Errorf("chromaticity of black = %v, want NaN", c)
	}
}

func TestDeltaE2000OfEquals(t *testing.T) {
	for _, c := range []Lab{{}, {L: 50}, {L: 50, A: 20, B: -70}, {L: 100, A: 1e-9}} {
		if d := DeltaE2000(c, c); d != 0 {
			t.Errorf("ΔE00(%v, itself) = %g", c, d)
		}
	}
}

func BenchmarkCCT(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := CCT(D65); err != nil {
			b.Fatal(err)
		}
	}
}
