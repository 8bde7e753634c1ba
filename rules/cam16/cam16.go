package cam16

import (
	"math"

	"lampblack/rules/colour"
)

// Correlates are the model's numbers for how a colour appears.
type Correlates struct {
	J float64 // lightness, 100 for the adopted white
	C float64 // chroma
	H float64 // hue angle, degrees, 0..360; noise for near-neutrals
	Q float64 // brightness
	M float64 // colourfulness
	S float64 // saturation
}

// Constants of the hue and chroma steps.
const (
	degree = math.Pi / 180
	// offset is what the constant 0.1, which the standard adds to each response,
	// comes to in the denominator of t: 0.1·(1 + 1 + 21/20). In the achromatic
	// response it cancels against the −0.305 there.
	offset = 0.305
)

// Rotation of the eccentricity factor, cos 2 and sin 2 (radians).
var sin2, cos2 = math.Sincos(2)

// Forward is the appearance of xyz, on the scale where the adopted white has
// Y = 100 (steps 1 to 9):
//
//	a = Ra − 12·Ga/11 + Ba/11     b = (Ra + Ga − 2·Ba)/9     h = atan2(b, a)
//	et = (cos(h + 2) + 3.8)/4
//	A = (2·Ra + Ga + Ba/20 − 0.305)·Nbb
//	J = 100·(A/Aw)^(c·z)          Q = 4/c·√(J/100)·(Aw + 4)·FL^¼
//	t = 50000/13·Nc·Ncb·et·√(a² + b²)/(Ra + Ga + 21·Ba/20)
//	C = t^0.9·√(J/100)·(1.64 − 0.29^n)^0.73
//	M = C·FL^¼                    s = 100·√(M/Q)
//
// Of these, √(J/100) is worked out as (A/Aw)^(c·z/2) and √(M/Q) as t^0.45 times
// what the view knows.
//
// Stimuli that no light has can have A ≤ 0; they appear black: only H is then
// not 0.
func (v *View) Forward(xyz colour.XYZ) Correlates {
	response := v.compressAll(v.toAdapted.apply(xyz))
	r, g, b := response.r, response.g, response.b

	ca := r - g*(12./11) + b*(1./11)
	cb := (r + g - 2*b) * (1. / 9)
	radius := math.Sqrt(ca*ca + cb*cb)
	h := hueAngle(ca, cb, radius)
	achromatic := (2*r + g + b*(1./20)) * v.nbb
	if achromatic <= 0 {
		return Correlates{H: h}
	}
	rootJ := pow(achromatic/v.aw, v.cz/2)
	t045 := v.rootChroma(ca, cb, radius, r+g+b*(21./20)+offset)
	c := t045 * t045 * v.chroma * rootJ
	return Correlates{
		J: 100 * rootJ * rootJ,
		C: c,
		H: h,
		Q: v.brightness * rootJ,
		M: c * v.flRoot,
		S: v.saturation * t045,
	}
}

// rootChroma is t^0.45 of opponent responses a, b. The eccentricity needs no
// hue angle: its factor in t, et·√(a² + b²), is (a·cos 2 − b·sin 2 + 3.8·√(a² + b²))/4.
func (v *View) rootChroma(a, b, radius, sum float64) float64 {
	if sum <= 0 {
		return 0
	}
	return chromaPower.of(v.induction / 4 * (a*cos2 - b*sin2 + 3.8*radius) / sum)
}

// eccentricity is et = (cos(h + 2) + 3.8)/4.
func eccentricity(cosH, sinH float64) float64 {
	return (cosH*cos2 - sinH*sin2 + 3.8) / 4
}

// Inverse is the stimulus of lightness j, chroma c and hue angle h in degrees,
// Y = 100 for the adopted white (Li et al., appendix B, rearranged so
// that nothing is divided by sin h or cos h):
//
//	t  = (C/(√(J/100)·(1.64 − 0.29^n)^0.73))^(1/0.9)
//	p1 = 50000/13·Nc·Ncb·et       p2 = Aw·(J/100)^(1/(c·z))/Nbb
//	ρ  = 23·(p2 + 0.305)·t/(23·p1 + t·(11·cos h + 108·sin h))
//	a  = ρ·cos h                  b  = ρ·sin h
//	1403·Ra = 460·p2 + 451·a + 288·b
//	1403·Ga = 460·p2 − 891·a − 261·b
//	1403·Ba = 460·p2 − 220·a − 6300·b
//
// (Ra, Ga, Ba without the constant 0.1), then the compression undone. Lightness
// 0 or less is black; negative chroma counts as none. Far more chroma than any
// light has can give stimuli with negative components.
func (v *View) Inverse(j, c, h float64) colour.XYZ {
	if j <= 0 {
		return colour.XYZ{}
	}
	p2 := v.aw * pow(j/100, 1/v.cz) / v.nbb
	var a, b float64
	if c > 0 {
		a, b = v.opponent(p2, c/(math.Sqrt(j/100)*v.chroma), h*degree)
	}
	return toXYZ.Apply(colour.XYZ{
		X: v.expand((460*p2+451*a+288*b)/1403) / v.gain.r,
		Y: v.expand((460*p2-891*a-261*b)/1403) / v.gain.g,
		Z: v.expand((460*p2-220*a-6300*b)/1403) / v.gain.b,
	})
}

// opponent undoes rootChroma: the responses a and b of t^0.9 at hue h in radians.
func (v *View) opponent(p2, t09, h float64) (a, b float64) {
	sinH, cosH := math.Sincos(h)
	t := pow(t09, 1/0.9)
	p1 := v.induction * eccentricity(cosH, sinH)
	radius := 23 * (p2 + offset) * t / (23*p1 + t*(11*cosH+108*sinH))
	return radius * cosH, radius * sinH
}
