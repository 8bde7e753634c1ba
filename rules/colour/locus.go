package colour

import "fmt"

// The ranges of the two loci, K.
const (
	planckLow, planckHigh     Kelvin = 1667, 25000
	daylightLow, daylightHigh Kelvin = 4000, 25000
)

// inRange complains about a temperature outside a locus, NaN included.
func inRange(locus string, t, low, high Kelvin) error {
	if t >= low && t <= high {
		return nil
	}
	return fmt.Errorf("%g K: %s is defined from %g to %g K", t, locus, low, high)
}

// Daylight is the chromaticity of the CIE daylight illuminant of correlated
// colour temperature t (CIE 15, from memory; equal
// to a library's to all its digits):
//
//	xD = −4.6070e9/T³ + 2.9678e6/T² + 0.09911e3/T + 0.244063   4000 K ≤ T ≤ 7000 K
//	xD = −2.0064e9/T³ + 1.9018e6/T² + 0.24748e3/T + 0.237040   7000 K < T ≤ 25000 K
//	yD = −3.000·xD² + 2.870·xD − 0.275
//
// Outside 4000..25000 K it is an error. The equations predate a correction of
// Planck's constant: D65 lies at T = 6504 K, D50 at 5003 K.
func Daylight(t Kelvin) (XY, error) {
	if err := inRange("daylight", t, daylightLow, daylightHigh); err != nil {
		return XY{}, err
	}
	k := 1e3 / float64(t)
	x := ((-4.6070*k+2.9678)*k+0.09911)*k + 0.244063
	if t > 7000 {
		x = ((-2.0064*k+1.9018)*k+0.24748)*k + 0.237040
	}
	return XY{x, (-3.000*x+2.870)*x - 0.275}, nil
}

// Planck is the chromaticity of a black body of temperature t, for
// 1667..25000 K; outside it is an error. The definition is the
// integral over the observer of
//
//	M(λ, T) ∝ λ⁻⁵/(exp(c₂/(λT)) − 1),   c₂ = 1.4388e-2 m·K
//
// which blackBody approximates to 3e-7 in u and v: 0.05 K at 6500 K, 4 K at
// 25000 K.
func Planck(t Kelvin) (XY, error) {
	if err := inRange("the black body", t, planckLow, planckHigh); err != nil {
		return XY{}, err
	}
	p, _ := blackBody(mired(t))
	return p.xy(), nil
}

// Lamp is the chromaticity assumed for a light of which only the correlated
// colour temperature t is known, 1667..25000 K: the reference illuminant of
// CIE 224:2017, which is a black body up to 4000 K, daylight from 5000 K,
// and between them the mixture of both at equal luminance,
//
//	S = (5000 − T)/1000·Planck(T) + (T − 4000)/1000·Daylight(T)
//
// so that nothing jumps when a lamp is dimmed. Outside it is an error.
func Lamp(t Kelvin) (XY, error) {
	switch {
	case t >= 5000:
		return Daylight(t)
	case !(t > 4000): // NaN goes to Planck, which refuses it
		return Planck(t)
	}
	black, err := Planck(t)
	if err != nil {
		return XY{}, err
	}
	day, err := Daylight(t)
	if err != nil {
		return XY{}, err
	}
	share := float64(t-4000) / 1000
	return black.XYZ(1 - share).Add(day.XYZ(share)).XY(), nil
}
