package cam16

import "math"

// A neutral of relative luminance y has the adopted white's cone responses times
// y, so the power needs one y^0.42 for all three:
//
//	x_R = (FL·y·Rw/100)^0.42 = p_R·s,   p_R = (FL·Rw/100)^0.42,   s = y^0.42
//
// (Rw the white's adapted response), and the response that lightness is made of is
//
//	g(y) = 2·f(y·Rw) + f(y·Gw) + f(y·Bw)/20
//
// g rises everywhere and is concave in y, and in s where all three responses are
// on the power. Newton's method, started left of a root of such a function, walks
// up to it and never beyond.

// neutral is what New works out for neutrals.
type neutral struct {
	p    cone    // p_R, p_G, p_B
	mean float64 // of p, with the weights of g

	// The relative luminances up to which all three responses are in the toe,
	// from which none is, and up to which none is beyond the power; and g there.
	toe, low, high       float64
	toeAt, lowAt, highAt float64
	white                float64 // g(1)
	toeSlope             float64 // of g in the toe
}

// weightSum is 2 + 1 + 1/20.
const weightSum = 3.05

// weigh is the sum of three responses with the weights of g.
func weigh(c cone) float64 { return 2*c.r + c.g + c.b/20 }

// setNeutral works out the neutrals; white and compression must be there.
func (v *View) setNeutral() {
	w, n := v.white, &v.neutral
	n.p = cone{v.flShare * pow(w.r, exponent), v.flShare * pow(w.g, exponent), v.flShare * pow(w.b, exponent)}
	n.mean = weigh(n.p) / weightSum
	n.toeSlope = v.toeSlope * weigh(w)

	strongest, weakest := max(w.r, w.g, w.b), min(w.r, w.g, w.b)
	n.toe, n.low, n.high = v.low/strongest, v.low/weakest, v.high/strongest
	n.toeAt, _ = v.neutralResponse(n.toe)
	n.lowAt, _ = v.neutralResponse(n.low)
	n.highAt = ceiling * weightSum
	if v.form == CIE248 {
		n.highAt, _ = v.neutralResponse(n.high)
	}
	n.white, _ = v.neutralResponse(1)
}

// NeutralJ is the lightness J of a neutral that has the adopted white's
// chromaticity and y times its luminance: Forward of white·y, only faster.
// J(1) is exactly 100, J rises strictly with y, and y may exceed 1. Luminances
// of 0 and below have J = 0.
func (v *View) NeutralJ(y float64) float64 {
	if y <= 0 {
		return 0
	}
	g, _ := v.neutralResponse(y)
	return 100 * pow(g/v.neutral.white, v.cz)
}

// NeutralY is the relative luminance of the neutral of lightness j; it undoes
// NeutralJ to 1e-12. Lightnesses of 0 and below give 0. In the form of 2017 very
// high ones have no luminance: the result is infinite.
func (v *View) NeutralY(j float64) float64 {
	if j <= 0 {
		return 0
	}
	n := &v.neutral
	g := n.white * pow(j/100, 1/v.cz)
	switch {
	case g < n.toeAt:
		return g / n.toeSlope
	case g < n.lowAt:
		return v.climb(g, n.toe)
	case g < n.highAt:
		return pow(v.climbPower(g), 1/exponent)
	case g >= n.highAt && v.form == Li2017:
		return math.Inf(1)
	}
	return v.climb(g, n.high)
}

// climbPower solves g(s) = g where all responses are on the power. It starts
// from the root for three equal responses of the mean p, which lies left of the
// true one because f is concave in p, and close to it.
func (v *View) climbPower(g float64) (s float64) {
	const enough = 1e-9 // the step after it would be its square
	n := &v.neutral
	f := g / weightSum
	s = half * f / (n.mean * (ceiling - f))
	for range 20 {
		r, b := n.p.r*s+half, n.p.b*s+half
		gr := n.p.g*s + half
		at := ceiling * s * weigh(cone{n.p.r / r, n.p.g / gr, n.p.b / b})
		slope := ceiling * half * weigh(cone{n.p.r / (r * r), n.p.g / (gr * gr), n.p.b / (b * b)})
		step := (g - at) / slope
		s += step
		if !(math.Abs(step) > enough*s) {
			break
		}
	}
	return s
}

// climb solves g(y) = g from a y left of the root, across the kinks of g: for
// the sliver in which only some responses are in the toe, and for highlights
// beyond the power.
func (v *View) climb(g, y float64) float64 {
	const enough = 1e-13
	for range 50 {
		at, slope := v.neutralResponse(y)
		step := (g - at) / slope
		y += step
		if !(step > enough*y) {
			break
		}
	}
	return y
}

// neutralResponse is g(y) and its slope, for y > 0.
func (v *View) neutralResponse(y float64) (g, slope float64) {
	s := adaptationPower.of(y)
	w, p := v.white, v.neutral.p
	r, dr := v.scaled(y, w.r, p.r*s)
	gr, dg := v.scaled(y, w.g, p.g*s)
	b, db := v.scaled(y, w.b, p.b*s)
	return weigh(cone{r, gr, b}), weigh(cone{dr, dg, db})
}

// scaled is compress(y·w) and its slope by y, given x of that response.
func (v *View) scaled(y, w, x float64) (f, slope float64) {
	switch q := y * w; {
	case q > v.high:
		return v.fTop + v.topSlope*(q-v.high), v.topSlope * w
	case q < v.low:
		return v.toeSlope * q, v.toeSlope * w
	}
	return saturate(x), ceiling * half * exponent * x / (y * (x + half) * (x + half))
}
