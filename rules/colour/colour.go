// Package colour holds the plain colorimetry that the rules stand on:
// tristimulus values and chromaticities, the loci of daylight and of the black
// body, CIE L*a*b*, and the RGB encodings of the usual picture profiles.
//
// Everything is for the CIE 1931 2° observer. Nothing here knows of displays,
// papers or rooms.
package colour

import "math"

// XYZ is a tristimulus value. Its scale is the caller's: relative to a white
// of 1, of 100, or absolute in cd/m².
type XYZ struct{ X, Y, Z float64 }

// XY is a chromaticity of the CIE 1931 diagram.
type XY struct{ X, Y float64 }

// Kelvin is a temperature of a light's colour, K.
type Kelvin float64

// The two whites that print and screen are made for, as ICC.1:2022 and
// IEC 61966-2-1 round them.
var (
	D50 = XY{0.3457, 0.3585}
	D65 = XY{0.3127, 0.3290}
)

// XYZ is the tristimulus value of chromaticity c and luminance Y:
//
//	X = Y·x/y   Z = Y·(1 − x − y)/y
//
// y must not be 0: no light has that chromaticity.
func (c XY) XYZ(Y float64) XYZ {
	return XYZ{Y * c.X / c.Y, Y, Y * (1 - c.X - c.Y) / c.Y}
}

// XY is the chromaticity of v. Black has none: both coordinates are then NaN.
func (v XYZ) XY() XY {
	sum := v.X + v.Y + v.Z
	if sum == 0 {
		return XY{math.NaN(), math.NaN()}
	}
	return XY{v.X / sum, v.Y / sum}
}

// Scale is v with its luminance multiplied by k.
func (v XYZ) Scale(k float64) XYZ { return XYZ{k * v.X, k * v.Y, k * v.Z} }

// Add is the additive mixture of two lights.
func (v XYZ) Add(w XYZ) XYZ { return XYZ{v.X + w.X, v.Y + w.Y, v.Z + w.Z} }
