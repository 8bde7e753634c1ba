package scenes

import (
	"fmt"
	"math"
)

// Kind is one of the three RGB encodings that the exports are written in. Each
// has an ICC profile of our own, see [Profile].
type Kind int

const (
	Web    Kind = iota // primaries and curve of IEC 61966-2-1 (sRGB), D65
	Wide               // primaries of our own beyond sRGB's, gamma 2.2, D65
	Master             // very wide primaries, gamma 1.8 with a linear toe, D50
)

// String returns the description that the kind's profile carries.
func (k Kind) String() string {
	if k < Web || k > Master {
		return fmt.Sprintf("Kind(%d)", int(k))
	}
	return encodings[k].name
}

// XYZ returns the CIE tristimulus values of a colour of this encoding, relative
// to its white and adapted to the D50 of the ICC connection space (Y = 1 is
// white). Code values are 0..1.
func (k Kind) XYZ(code [3]float64) [3]float64 {
	e := encodings[k]
	var lin [3]float64
	for i, v := range code {
		lin[i] = e.curve.decode(v)
	}
	return e.toPCS.apply(lin)
}

// code is the inverse of XYZ; what the encoding can't hold is clipped to 0..1.
func (k Kind) code(xyz [3]float64) [3]float64 {
	e := encodings[k]
	lin := e.fromPCS.apply(xyz)
	for i, v := range lin {
		lin[i] = e.curve.encode(min(max(v, 0), 1))
	}
	return lin
}

// An encoding is what a matrix/TRC profile can say.
type encoding struct {
	name    string
	curve   curve
	white   [2]float64 // x, y of the white that the primaries belong to
	version uint32     // of the ICC profile, as its header writes it
	toPCS   matrix     // linear RGB to D50 XYZ, in the precision of the profile
	fromPCS matrix
}

// Chromaticities of the whites: CIE 15, 2° observer.
var (
	d65 = [2]float64{0.3127, 0.3290}
	d50 = [2]float64{0.3457, 0.3585}
)

// pcsWhite is the D50 of the ICC connection space, as profiles write it
// (ICC.1:2022, 7.2.16): 0.9642, 1, 0.8249 in s15Fixed16.
var pcsWhite = [3]float64{0xF6D6 / 65536.0, 1, 0xD32D / 65536.0}

var encodings = [...]encoding{
	Web: newEncoding("Tidemark web", v4, d65,
		[3][2]float64{{0.64, 0.33}, {0.30, 0.60}, {0.15, 0.06}},
		curve{gamma: 2.4, a: 1 / 1.055, b: 0.055 / 1.055, c: 1 / 12.92, d: 0.04045}),
	// 2.2 is not a multiple of 1/256, the step of a version 2 curve.
	Wide: newEncoding("Tidemark wide", v2, d65,
		[3][2]float64{{0.67, 0.32}, {0.21, 0.71}, {0.145, 0.055}},
		curve{gamma: 563.0 / 256, a: 1}),
	// The toe joins the power at 1/32, where (1/32)^1.8 = 1/32 · 1/16.
	Master: newEncoding("Tidemark master", v4, d50,
		[3][2]float64{{0.73, 0.27}, {0.16, 0.83}, {0.04, 0.005}},
		curve{gamma: 1.8, a: 1, c: 1.0 / 16, d: 1.0 / 32}),
}

func newEncoding(name string, version uint32, white [2]float64, primaries [3][2]float64, c curve) encoding {
	m := bradford(white).times(primaryMatrix(primaries, white)).toFixed()
	return encoding{name: name, curve: c.toFixed(), white: white, version: version, toPCS: m, fromPCS: m.inverse()}
}

// A curve decodes a code value x into linear light (ICC.1:2022, table 68,
// function type 3): (a·x + b)^gamma from d upwards, c·x below.
type curve struct{ gamma, a, b, c, d float64 }

func (c curve) decode(x float64) float64 {
	if x < c.d {
		return c.c * x
	}
	return math.Pow(c.a*x+c.b, c.gamma)
}

func (c curve) encode(y float64) float64 {
	if y < c.c*c.d {
		return y / c.c
	}
	return max(0, (math.Pow(y, 1/c.gamma)-c.b)/c.a)
}

// toFixed rounds to s15Fixed16, the precision in which a profile is read.
func (c curve) toFixed() curve {
	return curve{fixed(c.gamma), fixed(c.a), fixed(c.b), fixed(c.c), fixed(c.d)}
}

func fixed(v float64) float64 { return math.Round(v*65536) / 65536 }

// A matrix is row-major.
type matrix [3][3]float64

func (m matrix) apply(v [3]float64) (r [3]float64) {
	for i := range 3 {
		r[i] = m[i][0]*v[0] + m[i][1]*v[1] + m[i][2]*v[2]
	}
	return r
}

func (m matrix) times(n matrix) (r matrix) {
	for i := range 3 {
		for j := range 3 {
			r[i][j] = m[i][0]*n[0][j] + m[i][1]*n[1][j] + m[i][2]*n[2][j]
		}
	}
	return r
}

// inverse is the adjugate over the determinant; no matrix here is singular.
func (m matrix) inverse() (r matrix) {
	for i := range 3 {
		for j := range 3 {
			a, b, c, d := (j+1)%3, (j+2)%3, (i+1)%3, (i+2)%3
			r[i][j] = m[a][c]*m[b][d] - m[a][d]*m[b][c]
		}
	}
	det := m[0][0]*r[0][0] + m[0][1]*r[1][0] + m[0][2]*r[2][0]
	for i := range 3 {
		for j := range 3 {
			r[i][j] /= det
		}
	}
	return r
}

// toFixed rounds a matrix of primaries to s15Fixed16, and lets the green one
// take the rounding, so that the three still add up to the white of the
// connection space and grey stays exactly neutral.
func (m matrix) toFixed() matrix {
	for i := range 3 {
		m[i][0], m[i][2] = fixed(m[i][0]), fixed(m[i][2])
		m[i][1] = pcsWhite[i] - m[i][0] - m[i][2]
	}
	return m
}

// xyY returns XYZ of a chromaticity at Y = 1.
func xyY(c [2]float64) [3]float64 {
	return [3]float64{c[0] / c[1], 1, (1 - c[0] - c[1]) / c[1]}
}

// primaryMatrix turns linear RGB into XYZ under the encoding's own white.
func primaryMatrix(primaries [3][2]float64, white [2]float64) (m matrix) {
	for j, p := range primaries {
		for i, v := range xyY(p) {
			m[i][j] = v
		}
	}
	scale := m.inverse().apply(xyY(white))
	for i := range 3 {
		for j := range 3 {
			m[i][j] *= scale[j]
		}
	}
	return m
}

// bradford is the linear Bradford adaptation from a white to the connection
// space (ICC.1:2022, annex E).
func bradford(white [2]float64) matrix {
	cone := matrix{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}
	from, to := cone.apply(xyY(white)), cone.apply(pcsWhite)
	var gain matrix
	for i := range 3 {
		gain[i][i] = to[i] / from[i]
	}
	return cone.inverse().times(gain).times(cone)
}
