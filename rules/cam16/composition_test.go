package cam16

import (
	"math"
	"testing"

	"lampblack/rules/colour"
)

// unique are the angles and eccentricities of the unique hues.
var unique = [...]struct{ h, e float64 }{{20.14, 0.8}, {90, 0.7}, {164.25, 1}, {237.53, 1.2}, {380.14, 0.8}}

// hueComposition is the hue composition H, 0..400, of hue angle h in degrees: 0 for
// red, 100 for yellow, 200 for green, 300 for blue and between two of these
//
//	H = Hi + 100·p/(p + q),  p = (h' − hi)·ei+1,  q = (hi+1 − h')·ei
//
// (CIE 248:2022, step 5). The model gives it for describing hues in words, which
// nothing here does; the benchmark works it out because the other side's does.
func hueComposition(h float64) float64 {
	if h < unique[0].h {
		h += 360
	}
	i := 0
	for i < 3 && h >= unique[i+1].h {
		i++
	}
	this, next := &unique[i], &unique[i+1]
	p := (h - this.h) * next.e
	q := (next.h - h) * this.e
	return 100 * (float64(i) + p/(p+q))
}

// At the unique hues by definition, elsewhere what colorjs.io 0.7.1 gives.
func TestHueComposition(t *testing.T) {
	for _, c := range []struct{ h, want float64 }{
		{20.14, 0}, {90, 100}, {164.25, 200}, {237.53, 300}, {20.1399999, 400},
		{10, 389.7007043}, {57.9145, 50.7424120}, {217.0679597, 275.5949861},
	} {
		if got := hueComposition(c.h); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("hue composition of %g° = %.7f, want %.7f", c.h, got, c.want)
		}
	}
}

// BenchmarkSameWork does what .ci/bench/cam16.mjs does: its view, its thousand
// colours, and H besides the correlates.
func BenchmarkSameWork(b *testing.B) {
	white := colour.XYZ{X: 100 * 0.3127 / 0.329, Y: 100, Z: 100 * (1 - 0.3127 - 0.329) / 0.329}
	v := mustView(b, white, 24, 20, Average, CIE248)
	colours := make([]colour.XYZ, 1000)
	for i := range colours {
		y := float64(i+1) / 1000
		colours[i] = colour.XYZ{X: 95 * y, Y: 100 * y, Z: 100 * (0.6 + 0.5*y) * y}
	}
	b.ReportAllocs()
	for b.Loop() {
		sum := 0.0
		for _, xyz := range colours {
			seen := v.Forward(xyz)
			sum += seen.J + hueComposition(seen.H)
		}
		sink = sum
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(colours)), "ns/colour")
}
