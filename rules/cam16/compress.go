package cam16

import "math"

// The compression of an adapted cone response q (step 3, without the constant
// 0.1, which cancels where it matters):
//
//	f(q) = 400·x/(x + 27.13),   x = (FL·q/100)^0.42
//
// CIE 248:2022 keeps it between qL = 0.26 and qU = max(150, Rw, Gw, Bw) and
// continues it by straight lines:
//
//	q < qL:  f(qL)·q/qL              (joins in value, not in slope)
//	q > qU:  f(qU) + f'(qU)·(q − qU)
//
// The form of 2017 is f throughout, and mirrored below 0: f(−q) = −f(q).

// setCompression works out the ends of the power for the form. The form of 2017
// is the same curve with its ends at 0 and infinity.
func (v *View) setCompression() {
	v.flShare = pow(v.fl/100, exponent)
	v.low, v.high = 0, math.Inf(1)
	v.fLow, v.fTop = 0, ceiling
	v.powerLow, v.powerHigh = lowestBase, highestBase
	if v.form == Li2017 {
		return
	}
	v.low = toeEnd
	v.high = max(kneeFloor, v.white.r, v.white.g, v.white.b)
	v.fLow, v.fTop = v.power(v.low), v.power(v.high)
	v.powerLow, v.powerHigh = max(v.low, lowestBase), min(v.high, highestBase)
	v.toeSlope = v.fLow / v.low
	x := v.flShare * pow(v.high, exponent)
	v.topSlope = ceiling * half * exponent * x / (v.high * (x + half) * (x + half))
}

// power is f(q) for q ≥ 0.
func (v *View) power(q float64) float64 { return saturate(v.flShare * adaptationPower.of(q)) }

// saturate is f(q) as a function of x.
func saturate(x float64) float64 { return ceiling * x / (x + half) }

// compress is the response to q, any q.
func (v *View) compress(q float64) float64 {
	switch {
	case q > v.high:
		return v.fTop + v.topSlope*(q-v.high)
	case q >= v.low:
		return v.power(q)
	case v.form == Li2017:
		return -v.power(-q)
	}
	return v.toeSlope * q
}

// compressAll is compress for three responses. Those of photographs are nearly
// all on the power; its pieces then stand here side by side, for the processor to
// work on at once.
func (v *View) compressAll(q cone) cone {
	low, high := v.powerLow, v.powerHigh
	if !(q.r >= low && q.r <= high && q.g >= low && q.g <= high && q.b >= low && q.b <= high) {
		return cone{v.compress(q.r), v.compress(q.g), v.compress(q.b)}
	}
	p := adaptationPower
	rStart, r := p.begin(q.r)
	gStart, g := p.begin(q.g)
	bStart, b := p.begin(q.b)
	return cone{
		saturate(v.flShare * rStart * p.series(r)),
		saturate(v.flShare * gStart * p.series(g)),
		saturate(v.flShare * bStart * p.series(b)),
	}
}

// expand undoes compress:
//
//	q = 100/FL·(27.13·|f|/(400 − |f|))^(1/0.42)
//
// In the form of 2017 no q has a response of 400 or more: it is infinite.
func (v *View) expand(f float64) float64 {
	switch {
	case f > v.fTop && v.form == CIE248:
		return v.high + (f-v.fTop)/v.topSlope
	case f >= v.fLow:
		return v.unpower(f)
	case v.form == Li2017:
		return -v.unpower(-f)
	}
	return f / v.toeSlope
}

// unpower undoes power, for f ≥ 0.
func (v *View) unpower(f float64) float64 {
	if f >= ceiling {
		return math.Inf(1)
	}
	return 100 / v.fl * pow(half*f/(ceiling-f), 1/exponent)
}
