package light

import (
	"math"

	"lampblack/rules/colour"
)

// MixedWhite is the white point of an eye that looks at a display in a lit
// room and is adapted to a bit of each (S-LMS model: Katoh, Nakabayashi, Ito and
// Ohno, J. Electronic Imaging 7 (1998) 794; equations from memory, steps 2 and 3):
//
//	Yadp^(1/3) = r·Yd^(1/3) + (1 − r)·Ya^(1/3)
//	L″ = r·(Yd/Yadp)^(1/3)·Ld + (1 − r)·(Ya/Yadp)^(1/3)·La      M″, S″ likewise
//
// with Yd, Ya the luminances of the display's and the room's white in cd/m² and
// r the share of the display (0.6 by Katoh's experiments, clamped to 0..1). The
// two weights sum to 1. Cone responses are those of CAT16, of whites scaled to
// equal luminance; step 1, incomplete adaptation to either white, is left to the
// appearance model.
//
// A display that is off (or a luminance below 0) has no weight, and so has a
// dark room. When neither has any, the display's chromaticity is returned.
func MixedWhite(display colour.XY, ld Luminance, ambient colour.XY, la Luminance, r float64) colour.XY {
	r = min(max(r, 0), 1)
	wd := r * math.Cbrt(float64(max(ld, 0)))
	wa := (1 - r) * math.Cbrt(float64(max(la, 0)))
	switch {
	case wa == 0:
		return display
	case wd == 0:
		return ambient
	}
	toXYZ := colour.CAT16.Inverse()
	d, a := colour.CAT16.Apply(display.XYZ(1)), colour.CAT16.Apply(ambient.XYZ(1))
	mixed := d.Scale(wd / (wd + wa)).Add(a.Scale(wa / (wd + wa)))
	return toXYZ.Apply(mixed).XY()
}
