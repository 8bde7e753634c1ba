package cam16

import (
	"math"
	"math/rand/v2"
	"testing"
)

// checkHueAngle holds the hue angle of a, b against math.Atan2.
func checkHueAngle(t *testing.T, a, b float64) {
	t.Helper()
	got, want := hueAngle(a, b, math.Sqrt(a*a+b*b)), math.Atan2(b, a)/degree
	if off := math.Abs(math.Remainder(got-want, 360)); !(off <= 1.2e-13) || !(got >= 0 && got < 360) {
		t.Errorf("hue angle of %g, %g = %.17g°, want %.17g°: off by %.2g", a, b, got, want, off)
	}
}

func TestHueAngle(t *testing.T) {
	rng := rand.New(rand.NewPCG(16, 4))
	for range 300_000 {
		sin, cos := math.Sincos(rng.Float64() * 2 * math.Pi)
		size := math.Exp2(rng.Float64()*120 - 80)
		checkHueAngle(t, size*cos, size*sin)
	}
	// On, and next to, the axes and diagonals where the octants meet.
	for i := range 8 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 4)
		a, b := math.Round(2*cos), math.Round(2*sin)
		for _, nudge := range []float64{0, 1e-300, 1e-17, 1e-16, 1e-12, 1e-3} {
			checkHueAngle(t, a+nudge, b)
			checkHueAngle(t, a-nudge, b)
			checkHueAngle(t, a, b+nudge)
			checkHueAngle(t, a, b-nudge)
		}
	}
}

// A thousand steps for each degree: every step is as wide as the others.
func TestHueAngleIsContinuous(t *testing.T) {
	const step = 1e-3
	last := -step
	for i := range 360_000 {
		sin, cos := math.Sincos(float64(i) * step * degree)
		h := hueAngle(30*cos, 30*sin, 30)
		if !(math.Abs(h-last-step) <= 3e-13) {
			t.Fatalf("from %.15g° to %.15g°: not a step of %g°", last, h, step)
		}
		last = h
	}
}

func TestHueAngleEnds(t *testing.T) {
	const tiny = 5e-324
	minus0 := math.Copysign(0, -1)
	for _, c := range []struct{ a, b, want float64 }{
		{0, 0, 0}, {minus0, 0, 180}, {1, minus0, 0}, {1, -1e-300, 0}, {-1, minus0, 180}, {0, -3, 270},
		{tiny, tiny, 45}, {1e-161, 1e-161, 45}, {-1e-150, 0, 180}, {0, 1e-200, 90}, {1e-150, -1e-150, 315},
	} {
		if got := hueAngle(c.a, c.b, math.Sqrt(c.a*c.a+c.b*c.b)); math.Abs(got-c.want) > 1e-13 {
			t.Errorf("hue angle of %g, %g = %g, want %g", c.a, c.b, got, c.want)
		}
	}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, h := range []float64{hueAngle(x, 1, math.Abs(x)), hueAngle(1, x, math.Abs(x)), hueAngle(x, x, math.Abs(x))} {
			if !math.IsNaN(h) && !(h >= 0 && h < 360) {
				t.Errorf("hue angle of %g = %g", x, h)
			}
		}
	}
}
