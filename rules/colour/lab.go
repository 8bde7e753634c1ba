package colour

import "math"

// Lab is a colour of the CIE 1976 L*a*b* space.
type Lab struct{ L, A, B float64 }

// The join of the cube root and the linear toe, in the exact fractions of
// CIE 15, 8.2.1: the rounded 0.008856 and 903.3 leave a step.
const (
	toeEnd   = 216.0 / 24389 // (6/29)³, relative luminance
	toeSlope = 24389.0 / 27  // (29/3)³, L* per relative luminance
)

// labF is the compression of CIE 15, 8.2.1:
//
//	f(t) = t^(1/3)            t > (6/29)³
//	f(t) = (κ·t + 16)/116     otherwise, κ = (29/3)³
//
// Negative t stays on the line, so the function is monotone everywhere.
func labF(t float64) float64 {
	if t > toeEnd {
		return math.Cbrt(t)
	}
	return (toeSlope*t + 16) / 116
}

// labFInverse undoes labF.
func labFInverse(f float64) float64 {
	if f > 6.0/29 {
		return f * f * f
	}
	return (116*f - 16) / toeSlope
}

// LabOf is the CIE 1976 L*a*b* of v under the given white, both on one scale
// (CIE 15, 8.2.1):
//
//	L* = 116·f(Y/Yn) − 16   a* = 500·(f(X/Xn) − f(Y/Yn))   b* = 200·(f(Y/Yn) − f(Z/Zn))
//
// Values below 0 and above the white continue the same curves.
func LabOf(v, white XYZ) Lab {
	x, y, z := labF(v.X/white.X), labF(v.Y/white.Y), labF(v.Z/white.Z)
	return Lab{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// XYZ undoes LabOf.
func (l Lab) XYZ(white XYZ) XYZ {
	y := (l.L + 16) / 116
	return XYZ{
		white.X * labFInverse(y+l.A/500),
		white.Y * labFInverse(y),
		white.Z * labFInverse(y-l.B/200),
	}
}

// Lightness is the CIE 1976 L* of relative luminance y (0 black, 1 white):
//
//	L* = 116·y^(1/3) − 16   y > (6/29)³
//	L* = (29/3)³·y          otherwise
//
// The curves continue below 0 and above 1.
func Lightness(y float64) float64 {
	if y > toeEnd {
		return 116*math.Cbrt(y) - 16
	}
	return toeSlope * y
}

// FromLightness is the relative luminance of an L*; it undoes Lightness.
func FromLightness(l float64) float64 {
	if l > 8 {
		f := (l + 16) / 116
		return f * f * f
	}
	return l / toeSlope
}

// Density is the optical density of reflectance r (0..1): D = −log10 r. A
// reflectance of 0 has infinite density, a negative one none (NaN).
func Density(r float64) float64 { return -math.Log10(r) }

// FromDensity is the reflectance of density d: r = 10^−d.
func FromDensity(d float64) float64 { return math.Pow(10, -d) }
