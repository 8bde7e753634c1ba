package colour

import "math"

// DeltaE2000 is the CIEDE2000 colour difference of two colours, with all
// parametric factors 1 (ISO/CIE 11664-6; steps and names as in Sharma, Wu and
// Dalal, Color Res. Appl. 30 (2005) 21, equations 2 to 22):
//
//	ΔE00² = (ΔL'/SL)² + (ΔC'/SC)² + (ΔH'/SH)² + RT·(ΔC'/SC)·(ΔH'/SH)
//
// It is symmetric, 0 for equal colours, and meant for differences up to about 5.
func DeltaE2000(a, b Lab) float64 {
	c1, h1, c2, h2 := chromaAndHue(a, b)
	dL, dC := b.L-a.L, c2-c1
	dh, hMean := hueStep(h1, h2, c1*c2)
	dH := 2 * math.Sqrt(c1*c2) * sinDeg(dh/2)

	lMean, cMean := (a.L+b.L)/2, (c1+c2)/2
	sL, sC, sH, rT := weights(lMean, cMean, hMean)
	l, c, h := dL/sL, dC/sC, dH/sH
	return math.Sqrt(max(0, l*l+c*c+h*h+rT*c*h))
}

// chromaAndHue is step 1: chroma C' and hue h' (degrees, 0..360) of both
// colours after a* has been stretched by 1+G near the neutral axis.
func chromaAndHue(a, b Lab) (c1, h1, c2, h2 float64) {
	mean := (math.Hypot(a.A, a.B) + math.Hypot(b.A, b.B)) / 2
	stretch := 1 + 0.5*(1-math.Sqrt(pow7Share(mean)))
	c1, h1 = polar(a.A*stretch, a.B)
	c2, h2 = polar(b.A*stretch, b.B)
	return c1, h1, c2, h2
}

// polar is radius and angle of (x, y), the angle in degrees, 0..360, and 0 for
// the neutral point.
func polar(x, y float64) (r, degrees float64) {
	degrees = math.Atan2(y, x) * (180 / math.Pi)
	if degrees < 0 {
		degrees += 360
	}
	return math.Hypot(x, y), degrees
}

// hueStep is the hue difference h2−h1 brought to −180..180 and the mean hue,
// degrees. Without chroma (the product of both chromas is 0) hue means nothing:
// the difference is 0 and the "mean" the sum.
//
// Opposite hues sit on a jump, where rounding decides the branch; the slack
// makes them take the one of the published pairs 10 and 14.
func hueStep(h1, h2, chromas float64) (step, mean float64) {
	const slack = 1e-9
	step = h2 - h1
	switch {
	case chromas == 0:
		return 0, h1 + h2
	case math.Abs(step) <= 180+slack:
		return step, (h1 + h2) / 2
	case h1+h2 < 360:
		mean = (h1 + h2 + 360) / 2
	default:
		mean = (h1 + h2 - 360) / 2
	}
	return step - math.Copysign(360, step), mean
}

// weights is step 3: the weighting functions of lightness, chroma and hue and
// the rotation term that tilts the ellipses of blue. hMean in degrees.
func weights(lMean, cMean, hMean float64) (sL, sC, sH, rT float64) {
	t := 1 - 0.17*cosDeg(hMean-30) + 0.24*cosDeg(2*hMean) +
		0.32*cosDeg(3*hMean+6) - 0.20*cosDeg(4*hMean-63)
	l50 := (lMean - 50) * (lMean - 50)
	blue := (hMean - 275) / 25
	sL = 1 + 0.015*l50/math.Sqrt(20+l50)
	sC = 1 + 0.045*cMean
	sH = 1 + 0.015*cMean*t
	rT = -sinDeg(60*math.Exp(-blue*blue)) * 2 * math.Sqrt(pow7Share(cMean))
	return sL, sC, sH, rT
}

// pow7Share is C⁷/(C⁷ + 25⁷), which tells near-neutrals from colours.
func pow7Share(c float64) float64 {
	c7 := c * c * c * c * c * c * c
	return c7 / (c7 + 25*25*25*25*25*25*25)
}

func sinDeg(d float64) float64 { return math.Sin(d * (math.Pi / 180)) }
func cosDeg(d float64) float64 { return math.Cos(d * (math.Pi / 180)) }
