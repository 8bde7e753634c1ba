// Package light turns what can be measured at a desk (lux, exposures, the white
// of a screen) into what the eye gets: luminances of tones on screen and sheet,
// steps it can tell apart, and the white it is adapted to.
package light

import "math"

type (
	Lux       float64 // illuminance, lx
	Luminance float64 // luminance, cd/m²
	Stops     float64 // ratio of luminances as log2
)

// Print is the luminance of a matt surface of luminous reflectance r (0..1)
// under illuminance e (Lambert's law):
//
//	L = E·R/π
func Print(e Lux, r float64) Luminance {
	return Luminance(float64(e) * r / math.Pi)
}

// MatchingLux is the illuminance at which a matt surface of luminous reflectance
// r has luminance l: E = π·L/R. It undoes Print; for r = 0 it is infinite.
func MatchingLux(l Luminance, r float64) Lux {
	return Lux(math.Pi * float64(l) / r)
}

// Screen is a self-luminous display in a lit room.
type Screen struct {
	White    Luminance // its white in a dark room, Lw
	Contrast float64   // white over black in a dark room; +Inf for a perfect black
	Diffuse  float64   // diffuse reflection coefficient Rd, cd·m⁻²·lx⁻¹, a hood's help included
	On       Lux       // light on the screen face, Es
}

// Luminance is what the eye gets from a tone of relative luminance y (0 the
// picture's black, 1 its white):
//
//	L(Y) = Lk + (Lw − Lk)·Y + Lg,   Lk = Lw/contrast,   Lg = Rd·Es
//
// (DICOM PS3.14 adds ambient light in the same way.) The panel reflects diffusely;
// the mirror image of a lamp is not in it. Tones outside 0..1 continue the line.
func (s Screen) Luminance(y float64) Luminance {
	black := float64(s.White) / s.Contrast
	return Luminance(black+(float64(s.White)-black)*y) + s.Glare()
}

// AdoptedWhite is the white an eye adapts to: the screen's own, glare included.
func (s Screen) AdoptedWhite() Luminance { return s.Luminance(1) }

// Glare is the veil that the room lays over every tone: Lg = Rd·Es.
func (s Screen) Glare() Luminance { return Luminance(s.Diffuse * float64(s.On)) }

// Sheet is a print in its light, bare or behind glass.
type Sheet struct {
	On           Lux     // light on the print, E
	White, Black float64 // luminous reflectance of the paper and of its deepest black
	Flare        float64 // light that surface and room scatter into every tone, as a share of White
	Transmit     float64 // luminous transmittance T of the glazing, one pass; 1 for none
	Mirror       float64 // share of E/π that the glazing adds by reflection; 0 for none
}

// Luminance is what the eye gets from a tone of relative luminance y (0 the
// deepest black, 1 the paper):
//
//	L(Y) = E/π·(T²·(Rk + (Rw − Rk)·Y + flare·Rw) + mirror)
//
// which is relative colorimetry with black point scaling in XYZ; light passes
// the glass twice. Tones outside 0..1 continue the line.
func (s Sheet) Luminance(y float64) Luminance {
	tone := s.Black + (s.White-s.Black)*y + s.Flare*s.White
	return Print(s.On, s.Transmit*s.Transmit*tone+s.Mirror)
}

// AdoptedWhite is the white an eye adapts to: the paper in its light, flare and
// glass included.
func (s Sheet) AdoptedWhite() Luminance { return s.Luminance(1) }
