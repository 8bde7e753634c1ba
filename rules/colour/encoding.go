package colour

import "math"

// Encoding is an RGB picture encoding: three primaries, a white, and a curve
// of one shape, a power with an optional straight toe:
//
//	V = slope·L                     L < cut
//	V = (1 + offset)·L^(1/γ) − offset   otherwise
//
// where L is the linear value and V the code value, both 0..1.
type Encoding struct {
	gamma, offset float64
	slope         float64 // of the toe
	cut, cutV     float64 // where the toe ends, as a linear and as a code value
	white         XY
	toXYZ         Matrix
}

// The encodings that pictures for print and screen come in. The matrices are
// derived from primaries and white, not typed from rounded tables.
var (
	// SRGB is IEC 61966-2-1.
	SRGB = Encoding{
		gamma: 2.4, offset: 0.055, slope: 12.92, cut: 0.0031308, cutV: 0.04045,
		white: D65, toXYZ: rgbToXYZ(XY{0.64, 0.33}, XY{0.30, 0.60}, XY{0.15, 0.06}, D65),
	}
	// AdobeRGB is Adobe RGB (1998), specification of May 2005: a pure power
	// of 563/256 = 2 51/256.
	AdobeRGB = Encoding{
		gamma: 563.0 / 256,
		white: D65, toXYZ: rgbToXYZ(XY{0.64, 0.33}, XY{0.21, 0.71}, XY{0.15, 0.06}, D65),
	}
	// ROMM is ROMM RGB of ISO 22028-2: γ 1.8, below 1/512 a toe of slope 16.
	ROMM = Encoding{
		gamma: 1.8, slope: 16, cut: 1.0 / 512, cutV: 16.0 / 512,
		white: D50, toXYZ: rgbToXYZ(XY{0.7347, 0.2653}, XY{0.1596, 0.8404}, XY{0.0366, 0.0001}, D50),
	}
)

// rgbToXYZ is the matrix from linear RGB to XYZ (Y of white = 1): the columns
// are the primaries, each as strong as it takes for their sum to be the white
// (SMPTE RP 177).
func rgbToXYZ(red, green, blue, white XY) Matrix {
	r, g, b := red.XYZ(1), green.XYZ(1), blue.XYZ(1)
	m := Matrix{{r.X, g.X, b.X}, {r.Y, g.Y, b.Y}, {r.Z, g.Z, b.Z}}
	return m.Mul(scaling(m.Inverse().Apply(white.XYZ(1))))
}

// Decode is the linear value of code value v, 0..1. Outside that range the
// curve continues, and mirrors itself below 0: Decode(−v) = −Decode(v).
func (e Encoding) Decode(v float64) float64 {
	switch {
	case v < 0:
		return -e.Decode(-v)
	case v < e.cutV:
		return v / e.slope
	}
	return math.Pow((v+e.offset)/(1+e.offset), e.gamma)
}

// Encode is the code value of a linear value; it undoes Decode. (IEC 61966-2-1
// rounds the two ends of its toe differently, which leaves 5e-8 between them.)
func (e Encoding) Encode(linear float64) float64 {
	switch {
	case linear < 0:
		return -e.Encode(-linear)
	case linear < e.cut:
		return e.slope * linear
	}
	return (1+e.offset)*math.Pow(linear, 1/e.gamma) - e.offset
}

// ToXYZ leads from linear RGB, held in an XYZ in the order R, G, B, to XYZ
// relative to the encoding's own white, whose Y is 1.
func (e Encoding) ToXYZ() Matrix { return e.toXYZ }

// White is the chromaticity of R = G = B.
func (e Encoding) White() XY { return e.white }
