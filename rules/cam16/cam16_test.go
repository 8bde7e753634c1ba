package cam16

import (
	"math"
	"math/rand/v2"
	"testing"

	"lampblack/rules/colour"
)

// eachView calls f with views that span desks and prints: both forms, all
// surrounds, dim and bright, on black and on white, in blue and in yellow light.
func eachView(t *testing.T, f func(t *testing.T, v View, white colour.XYZ)) {
	t.Helper()
	whites := []colour.XYZ{whiteD65, whiteD50, {X: 109.85, Y: 100, Z: 35.58}}
	for _, white := range whites {
		for _, s := range []Surround{Average, Dim, Dark, SurroundAt(0.1)} {
			for _, la := range []float64{0.5, 20, 300} {
				for _, yb := range []float64{1, 20, 90} {
					for _, form := range []Form{CIE248, Li2017} {
						f(t, mustView(t, white, la, yb, s, form), white)
					}
				}
			}
		}
	}
}

func TestWhiteIsHundred(t *testing.T) {
	eachView(t, func(t *testing.T, v View, white colour.XYZ) {
		if j := v.NeutralJ(1); j != 100 {
			t.Errorf("NeutralJ(1) = %v, want exactly 100", j)
		}
		near(t, "J of white", v.Forward(white).J, 100, 1e-13)
		near(t, "NeutralY(100)", v.NeutralY(100), 1, 1e-13)
	})
}

// Neutrals from far below any black to far above white, in small steps, across
// the joins of the compression.
func TestNeutrals(t *testing.T) {
	eachView(t, func(t *testing.T, v View, white colour.XYZ) {
		last := 0.0
		for y := 1e-9; y < 20; y *= 1.07 {
			j := v.NeutralJ(y)
			near(t, "NeutralJ against Forward", j, v.Forward(white.Scale(y)).J, 1e-12)
			if !(j > last) {
				t.Fatalf("J(%g) = %g doesn't rise above %g", y, j, last)
			}
			last = j
			if back := v.NeutralY(j); !(math.Abs(back-y) <= 1e-12*y) {
				t.Errorf("NeutralY(NeutralJ(%g)) = %g, off by %.1e", y, back, back/y-1)
			}
		}
	})
}

func TestNeutralEnds(t *testing.T) {
	eachView(t, func(t *testing.T, v View, _ colour.XYZ) {
		for _, x := range []float64{0, -1, math.Inf(-1)} {
			if j, y := v.NeutralJ(x), v.NeutralY(x); j != 0 || y != 0 {
				t.Errorf("at %g: J = %g, Y = %g, want 0", x, j, y)
			}
		}
		if y := v.NeutralY(1e9); y < 20 {
			t.Errorf("NeutralY(1e9) = %g", y)
		}
		if y := v.NeutralY(math.NaN()); !math.IsNaN(y) {
			t.Errorf("NeutralY(NaN) = %g", y)
		}
	})
}

// Colours of the sRGB gamut survive the way there and back.
func TestThereAndBack(t *testing.T) {
	random := rand.New(rand.NewPCG(16, 248))
	eachView(t, func(t *testing.T, v View, white colour.XYZ) {
		adapt := colour.Bradford(colour.D65.XYZ(1), white).Mul(colour.SRGB.ToXYZ())
		for range 20 {
			xyz := adapt.Apply(colour.XYZ{X: random.Float64(), Y: random.Float64(), Z: random.Float64()})
			checkThereAndBack(t, v, xyz)
		}
	})
}

func checkThereAndBack(t *testing.T, v View, xyz colour.XYZ) {
	t.Helper()
	seen := v.Forward(xyz)
	back := v.Inverse(seen.J, seen.C, seen.H)
	near(t, "X", back.X, xyz.X, 1e-11)
	near(t, "Y", back.Y, xyz.Y, 1e-11)
	near(t, "Z", back.Z, xyz.Z, 1e-11)
}

func TestInverseEnds(t *testing.T) {
	eachView(t, func(t *testing.T, v View, white colour.XYZ) {
		if got := v.Inverse(0, 50, 30); got != (colour.XYZ{}) {
			t.Errorf("J = 0 is %v, want black", got)
		}
		if got := v.Inverse(-5, 0, 0); got != (colour.XYZ{}) {
			t.Errorf("J < 0 is %v, want black", got)
		}
		if got := v.Forward(colour.XYZ{}); got.J != 0 || got.C != 0 || got.M != 0 || got.Q != 0 || got.S != 0 {
			t.Errorf("black appears as %v", got)
		}
	})
}

// The joins of the CIE 248 compression: value at both, slope at the upper one.
func TestCompressionJoins(t *testing.T) {
	v := mustView(t, whiteD65, 24, 20, Dim, CIE248)
	for _, q := range []float64{v.low, v.high} {
		near(t, "step at a join", v.compress(math.Nextafter(q, 0)), v.compress(math.Nextafter(q, 1e3)), 1e-14)
	}
	const h = 1e-4
	below := (v.compress(v.high) - v.compress(v.high-h)) / h
	above := (v.compress(v.high+h) - v.compress(v.high)) / h
	near(t, "slope at qU", below, above, 1e-5)
	for _, q := range []float64{-5, -0.1, 0, 0.1, 0.26, 0.3, 50, 149, 151, 400} {
		near(t, "expand(compress(q))", v.expand(v.compress(q)), q, 1e-12)
	}
}

// Three responses at once are what they are one by one.
func TestCompressAll(t *testing.T) {
	some := []float64{-5, -1e-30, 0, 1e-30, 0.1, 0.26, 0.3, 50, 149, 151, 400, 1e30}
	eachView(t, func(t *testing.T, v View, _ colour.XYZ) {
		for _, q := range some {
			for _, p := range some {
				got, want := v.compressAll(cone{q, p, 20}), cone{v.compress(q), v.compress(p), v.compress(20)}
				near(t, "R", got.r, want.r, 1e-15)
				near(t, "G", got.g, want.g, 1e-15)
				near(t, "B", got.b, want.b, 1e-15)
			}
		}
	})
}

// No number makes the model panic, and what is none has no lightness.
func TestForwardOfNonsense(t *testing.T) {
	nan := math.NaN()
	some := []float64{nan, math.Inf(1), math.Inf(-1), math.MaxFloat64, 5e-324, -1e300, 0, 18}
	eachView(t, func(t *testing.T, v View, _ colour.XYZ) {
		for _, x := range some {
			for _, y := range some {
				v.Forward(colour.XYZ{X: x, Y: y, Z: 18})
				v.Forward(colour.XYZ{X: 18, Y: x, Z: y})
			}
			for _, xyz := range []colour.XYZ{{X: nan, Y: x, Z: x}, {X: x, Y: nan, Z: x}, {X: x, Y: x, Z: nan}} {
				if got := v.Forward(xyz); !math.IsNaN(got.J) {
					t.Errorf("J of %v = %g", xyz, got.J)
				}
			}
		}
	})
}

// A stimulus of responses 8, 1 and −20 has A > 0, but the denominator of t is
// negative: it has lightness and no chroma.
func TestNoChromaBelowNone(t *testing.T) {
	eachView(t, func(t *testing.T, v View, _ colour.XYZ) {
		xyz := toXYZ.Apply(colour.XYZ{
			X: v.expand(8) / v.gain.r, Y: v.expand(1) / v.gain.g, Z: v.expand(-20) / v.gain.b,
		})
		if got := v.Forward(xyz); !(got.J > 0) || got.C != 0 || got.M != 0 || got.S != 0 {
			t.Errorf("%v appears as %v, want lightness only", xyz, got)
		}
	})
}

// CIECAM16 and CAM16 differ for display blacks only: figures of a plain
// script from the equations, noted to two decimals of inputs
// rounded themselves.
func TestFormsDifferInBlacks(t *testing.T) {
	for _, c := range []struct{ y, li, cie float64 }{
		{0.0005, 1.49, 0.42}, {0.001, 2.19, 1.05}, {0.002, 3.22, 2.63}, {0.003, 4.03, 4.03},
	} {
		li := mustView(t, whiteD65, 32, 20, Average, Li2017)
		cie := mustView(t, whiteD65, 32, 20, Average, CIE248)
		if got := li.NeutralJ(c.y); math.Abs(got-c.li) > 0.006 {
			t.Errorf("2017: J(%g) = %.3f, want %.2f", c.y, got, c.li)
		}
		if got := cie.NeutralJ(c.y); math.Abs(got-c.cie) > 0.006 {
			t.Errorf("CIE 248: J(%g) = %.3f, want %.2f", c.y, got, c.cie)
		}
	}
}

func TestNewRefuses(t *testing.T) {
	nan := math.NaN()
	for name, build := range map[string]func() (View, error){
		"white of 1":     func() (View, error) { return New(whiteD65.Scale(0.01), 20, 20, Average, CIE248) },
		"white of NaN":   func() (View, error) { return New(colour.XYZ{X: nan, Y: 100, Z: 100}, 20, 20, Average, CIE248) },
		"no light":       func() (View, error) { return New(colour.XYZ{X: -200, Y: 100, Z: 100}, 20, 20, Average, CIE248) },
		"la 0":           func() (View, error) { return New(whiteD65, 0, 20, Average, CIE248) },
		"la NaN":         func() (View, error) { return New(whiteD65, nan, 20, Average, CIE248) },
		"yb −1":          func() (View, error) { return New(whiteD65, 20, -1, Average, CIE248) },
		"yb infinite":    func() (View, error) { return New(whiteD65, 20, math.Inf(1), Average, CIE248) },
		"empty surround": func() (View, error) { return New(whiteD65, 20, 20, Surround{}, CIE248) },
		"NaN surround":   func() (View, error) { return New(whiteD65, 20, 20, SurroundAt(nan), CIE248) },
		"unknown form":   func() (View, error) { return New(whiteD65, 20, 20, Average, Form(7)) },
	} {
		if _, err := build(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func FuzzThereAndBack(f *testing.F) {
	f.Add(18.42, 18.42, 20.05, 24.0, 20.0, 0.08)
	f.Add(0.05, 0.04, 0.06, 2.0, 1.0, 0.0)      // a display's black
	f.Add(190.0, 200.0, 210.0, 60.0, 90.0, 1.0) // above white
	f.Add(60.70, 49.60, 10.29, 40.0, 16.0, 0.3)
	f.Add(3.13, 0.01, 82.5, 30.0, 20.0, 0.15) // the blue of ROMM RGB
	f.Fuzz(func(t *testing.T, x, y, z, la, yb, ratio float64) {
		inside := func(v, low, high float64) bool { return v >= low && v <= high }
		if !inside(x, 0, 300) || !inside(y, 0, 300) || !inside(z, 0, 300) ||
			!inside(la, 0.1, 1e4) || !inside(yb, 0.1, 100) || math.IsNaN(ratio) {
			return // outside the model's domain
		}
		for _, form := range []Form{CIE248, Li2017} {
			v := mustView(t, whiteD65, la, yb, SurroundAt(ratio), form)
			got := v.Forward(colour.XYZ{X: x, Y: y, Z: z})
			for name, value := range map[string]float64{"J": got.J, "C": got.C, "H": got.H, "Q": got.Q, "M": got.M, "S": got.S} {
				if !(value >= 0) || math.IsInf(value, 1) {
					t.Errorf("%s = %g", name, value)
				}
			}
			if !reversible(v, colour.XYZ{X: x, Y: y, Z: z}) {
				continue
			}
			checkThereAndBack(t, v, colour.XYZ{X: x, Y: y, Z: z})
		}
	})
}

// reversible is false for stimuli that no surface has: some cone response is
// negative or the colour is darker than any black. They have no way back.
func reversible(v View, xyz colour.XYZ) bool {
	rgb := coneOf(xyz)
	return min(rgb.r, rgb.g, rgb.b) > 1e-6 && v.Forward(xyz).J > 1e-3
}

var sink float64

func benchView(b *testing.B) View {
	return mustView(b, whiteD65, 24, 20, Dim, CIE248)
}

func BenchmarkForward(b *testing.B) {
	v := benchView(b)
	b.ReportAllocs()
	xyz := skin
	for b.Loop() {
		sink = v.Forward(xyz).J
	}
}

func BenchmarkInverse(b *testing.B) {
	v := benchView(b)
	seen := v.Forward(skin)
	b.ReportAllocs()
	for b.Loop() {
		sink = v.Inverse(seen.J, seen.C, seen.H).Y
	}
}

func BenchmarkNeutral(b *testing.B) {
	v := benchView(b)
	b.Run("J", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			sink = v.NeutralJ(0.18)
		}
	})
	for _, tone := range []struct {
		name string
		y    float64
	}{{"black", 0.001}, {"joint", 0.0026}, {"grey", 0.18}, {"highlight", 3}} {
		j := v.NeutralJ(tone.y)
		b.Run("Y/"+tone.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				sink = v.NeutralY(j)
			}
		})
	}
}

func BenchmarkNew(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		v := mustView(b, whiteD65, 24, 20, Dim, CIE248)
		sink = v.aw
	}
}
