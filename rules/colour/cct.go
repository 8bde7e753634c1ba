package colour

import (
	"fmt"
	"math"
)

// McCamy is the correlated colour temperature of c by the cubic of McCamy, Color
// Res. Appl. 17 (1992) 142:
//
//	CCT = 449·n³ + 3525·n² + 6823.3·n + 5520.33,   n = (x − 0.3320)/(0.1858 − y)
//
// Good to 10 K near the loci from 3500 to 7500 K, worse beyond (−70 K at 9300 K);
// use CCT where a wrong answer should be an error.
func McCamy(c XY) Kelvin {
	n := (c.X - 0.3320) / (0.1858 - c.Y)
	return Kelvin(((449*n+3525)*n+6823.3)*n + 5520.33)
}

// farthest is the greatest distance from the locus at which a correlated colour
// temperature means anything (CIE 15, 9.5; from memory).
const farthest = 0.05

// CCT is the correlated colour temperature of c: that of the black body nearest
// in the CIE 1960 u, v diagram (CIE 15, 9.5), and duv, the distance to it:
// positive above the locus (greenish), negative below (pinkish).
//
// It is an error when |duv| exceeds 0.05 or the temperature lies outside
// 1667..25000 K. Accuracy as for Planck.
func CCT(c XY) (t Kelvin, duv float64, err error) {
	p := c.uv()
	m := nearestBlackBody(p)
	q, along := blackBody(m)
	du, dv := p.u-q.u, p.v-q.v
	duv = math.Copysign(math.Hypot(du, dv), along.u*dv-along.v*du)
	t = Kelvin(1e6 / m)

	const rounding = 1e-6 // so that the ends of the locus are within it
	switch {
	case !(t >= planckLow*(1-rounding) && t <= planckHigh*(1+rounding)):
		return 0, 0, fmt.Errorf("chromaticity %.4f, %.4f has no colour temperature from %g to %g K", c.X, c.Y, planckLow, planckHigh)
	case !(math.Abs(duv) <= farthest):
		return 0, 0, fmt.Errorf("chromaticity %.4f, %.4f is %.3f away from any black body; beyond %g colour temperature means nothing", c.X, c.Y, math.Abs(duv), farthest)
	}
	return min(max(t, planckLow), planckHigh), duv, nil
}

// nearestBlackBody is the mired value of the point of the locus nearest to p, by
// bisection on the sign of the derivative of the distance. A p that has no
// foot on the locus (or is NaN) gives an end of the range.
func nearestBlackBody(p uv) float64 {
	low, high := locusLow, locusHigh
	for range 50 { // 605 mired halved to 5e-13
		mid := (low + high) / 2
		q, along := blackBody(mid)
		if (p.u-q.u)*along.u+(p.v-q.v)*along.v > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// uv is a chromaticity of the CIE 1960 diagram, in which colour temperature is
// defined, or a direction in it.
type uv struct{ u, v float64 }

// uv is u = 4x/(−2x + 12y + 3), v = 6y/(−2x + 12y + 3).
func (c XY) uv() uv {
	d := -2*c.X + 12*c.Y + 3
	return uv{4 * c.X / d, 6 * c.Y / d}
}

// xy undoes XY.uv: x = 3u/(2u − 8v + 4), y = 2v/(2u − 8v + 4).
func (p uv) xy() XY {
	d := 2*p.u - 8*p.v + 4
	return XY{3 * p.u / d, 2 * p.v / d}
}

// The range of the fit in mired, a little wider than 25000..1667 K so that the
// nearest point can be sought beyond the ends.
const locusLow, locusHigh = 35.0, 640.0

// locusU and locusV are the coefficients of the fit, first kind, from T0 up.
var (
	locusU = [...]float64{0.258536822, 0.08681742, 0.007162785, -0.003261374, 0.000476594, 3.6843e-05,
		-5.6506e-05, 2.5218e-05, -7.314e-06, 7.33e-07, 7.3e-07, -5.77e-07}
	locusV = [...]float64{0.331437573, 0.042909915, -0.015933205, 0.00158013, 0.000885778, -0.000534496,
		0.000166223, -2.8495e-05, -4.628e-06, 6.965e-06, -3.699e-06, 1.228e-06}
)

// mired is reciprocal temperature, 1e6/T.
func mired(t Kelvin) float64 { return 1e6 / float64(t) }

// blackBody is the point of the Planckian locus at m mired, 35..640, and the
// derivative by the fit's own variable:
//
//	u(m) = Σ aᵢ·Tᵢ(s),   s = (2m − low − high)/(high − low)      v likewise
//
// Tᵢ being Chebyshev polynomials. The coefficients were fitted for this package
// to Planck's law (c₂ = 1.4388e-2 m·K) summed over the CIE 1931 2° observer at
// 1 nm from 360 to 830 nm. Sums that stop at 780 nm, as some libraries' do, come
// out 7e-6 lower in u at 1667 K, that is 0.1 K.
func blackBody(m float64) (p, slope uv) {
	s := (2*m - locusLow - locusHigh) / (locusHigh - locusLow)
	p.u, slope.u = chebyshev(locusU[:], s)
	p.v, slope.v = chebyshev(locusV[:], s)
	return p, slope
}

// chebyshev is the sum Σ cᵢ·Tᵢ(x) and its derivative, by the recurrence
// Tᵢ₊₁ = 2x·Tᵢ − Tᵢ₋₁.
func chebyshev(c []float64, x float64) (sum, slope float64) {
	before, now := 1.0, x
	slopeBefore, slopeNow := 0.0, 1.0
	sum = c[0]
	for _, a := range c[1:] {
		sum += a * now
		slope += a * slopeNow
		before, now, slopeBefore, slopeNow = now, 2*x*now-before,
			slopeNow, 2*now+2*x*slopeNow-slopeBefore
	}
	return sum, slope
}
