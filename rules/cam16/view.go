// Package cam16 is the colour appearance model CIECAM16 of CIE 248:2022, and
// its elder form CAM16 of Li et al., Color Res. Appl. 42 (2017) 703: tristimulus
// values in, correlates of appearance out, and back.
//
// Steps and symbols are those of Li et al., appendix A, which CIE 248:2022 keeps
// but for step 3.
package cam16

import (
	"fmt"
	"math"

	"lampblack/rules/colour"
)

// Surround is what the model knows of the field around the picture: the factor
// of adaptation F, the impact c on lightness and the chromatic induction Nc.
type Surround struct{ F, C, Nc float64 }

// The surrounds of CIE 248:2022 (the same as in CIE 159:2004).
var (
	Average = Surround{F: 1.0, C: 0.69, Nc: 1.0}
	Dim     = Surround{F: 0.9, C: 0.59, Nc: 0.9}
	Dark    = Surround{F: 0.8, C: 0.525, Nc: 0.8}
)

// Surround ratios at which the named surrounds hold. The standard puts dark at
// 0, dim below 0.2 and average from there, which makes lightness jump by six
// units when a lamp is nudged; these nodes are our choice.
const (
	darkRatio    = 0.01
	dimRatio     = 0.05
	averageRatio = 0.2
)

// SurroundAt is the surround of ratio S_R, the luminance of a white in the room
// over that of the picture's white: F, c and Nc linear in log S_R between the
// nodes 0.01 dark, 0.05 dim and 0.2 average, constant outside, continuous
// everywhere. A ratio that is NaN gives factors that New refuses.
func SurroundAt(ratio float64) Surround {
	switch {
	case ratio <= darkRatio:
		return Dark
	case ratio <= dimRatio:
		return between(Dark, Dim, logShare(ratio, darkRatio, dimRatio))
	case ratio >= averageRatio:
		return Average
	}
	return between(Dim, Average, logShare(ratio, dimRatio, averageRatio))
}

// WithStrength is the surround with its effect on lightness, that of c over an average
// surround's, raised to the power u > 0:
//
//	c' = c_average·(c/c_average)^u
//
// u = 1 is the standard's own effect, u = 0 none. F and Nc stay: published
// experiments differ about contrast, not about these.
func (s Surround) WithStrength(u float64) Surround {
	s.C = Average.C * math.Pow(s.C/Average.C, u)
	return s
}

// logShare is 0 at low, 1 at high and linear in the logarithm between them.
func logShare(x, low, high float64) float64 { return math.Log(x/low) / math.Log(high/low) }

// between is a for t = 0, b for t = 1, exactly.
func between(a, b Surround, t float64) Surround {
	mix := func(a, b float64) float64 { return (1-t)*a + t*b }
	return Surround{F: mix(a.F, b.F), C: mix(a.C, b.C), Nc: mix(a.Nc, b.Nc)}
}

// Form chooses between the two published forms of the compression. They differ
// for the cone responses of blacks below about 0.26 % of white and of highlights
// far above it.
type Form int

const (
	CIE248 Form = iota // straight below q = 0.26 and above qU
	Li2017             // a power throughout
)

// Constants of the compression, step 3.
const (
	exponent  = 0.42
	ceiling   = 400.0 // the compressed response never gets there
	half      = 27.13 // of (FL·q/100)^0.42 at which half the ceiling is reached
	toeEnd    = 0.26  // qL
	kneeFloor = 150.0 // qU is at least this
)

// toXYZ undoes colour.CAT16.
var toXYZ = colour.CAT16.Inverse()

// cone is a triple of cone responses R, G, B.
type cone struct{ r, g, b float64 }

func coneOf(v colour.XYZ) cone {
	w := colour.CAT16.Apply(v)
	return cone{w.X, w.Y, w.Z}
}

// rows is a matrix that leads from XYZ to cone responses, kept by its rows so that
// apply is small enough for the compiler to put in place.
type rows struct{ r, g, b colour.XYZ }

// adaptedRows is colour.CAT16 with each response times its gain.
func adaptedRows(gain cone) rows {
	row := func(i int, gain float64) colour.XYZ {
		m := colour.CAT16[i]
		return colour.XYZ{X: gain * m[0], Y: gain * m[1], Z: gain * m[2]}
	}
	return rows{row(0, gain.r), row(1, gain.g), row(2, gain.b)}
}

func (m *rows) apply(v colour.XYZ) cone {
	return cone{
		m.r.X*v.X + m.r.Y*v.Y + m.r.Z*v.Z,
		m.g.X*v.X + m.g.Y*v.Y + m.g.Z*v.Z,
		m.b.X*v.X + m.b.Y*v.Y + m.b.Z*v.Z,
	}
}

// View is a set of viewing conditions with everything worked out that does not
// depend on the colour seen. Make one with New; it is never changed after that,
// so goroutines may share it.
type View struct {
	fl, flRoot float64 // luminance level adaptation factor FL, and its fourth root
	nbb        float64 // background induction factor Nbb = Ncb
	cz         float64 // exponent of lightness, c·z
	c          float64 // impact of the surround
	aw         float64 // achromatic response Aw of the adopted white
	induction  float64 // 50000/13·Nc·Ncb
	chroma     float64 // (1.64 − 0.29^n)^0.73

	brightness float64 // 4/c·(Aw + 4)·FL^¼, which is Q/√(J/100)
	saturation float64 // 50·√(c·(1.64 − 0.29^n)^0.73/(Aw + 4)), which is s/t^0.45

	gain      cone // D_R, D_G, D_B
	toAdapted rows // from XYZ to adapted cone responses
	white     cone // adapted cone responses of the adopted white, 0..~100

	form                Form
	flShare             float64 // (FL/100)^0.42
	low, high           float64 // qL, qU: the ends of the power
	fLow, fTop          float64 // responses there
	powerLow, powerHigh float64 // these ends, as far as the tables of the power reach
	toeSlope            float64 // response per q below qL
	topSlope            float64 // response per q above qU
	neutral             neutral
}

// New works out the viewing conditions (steps 0 and 2):
//
//	white   adopted white, scaled so that Y = 100
//	la      luminance of the adapting field LA, cd/m², > 0
//	yb      luminance factor of the background Yb, white = 100, > 0
//	s       surround
//
//	k = 1/(5·LA + 1)        FL = 0.2·k⁴·5LA + 0.1·(1 − k⁴)²·(5LA)^(1/3)
//	n = Yb/Yw               z = 1.48 + √n       Nbb = Ncb = 0.725·(1/n)^0.2
//	D = F·(1 − exp(−(LA + 42)/92)/3.6), clipped to 0..1
//	D_R = D·Yw/Rw + 1 − D   and so for G, B
//
// Anything else is an error. The published versions disagree for Yw ≠ 100, so
// such a white is refused rather than guessed at.
func New(white colour.XYZ, la, yb float64, s Surround, form Form) (View, error) {
	rgb := coneOf(white)
	switch {
	case !(math.Abs(white.Y-100) <= 1e-6):
		return View{}, fmt.Errorf("adopted white has Y = %g: it must be scaled to 100", white.Y)
	case !(positive(rgb.r) && positive(rgb.g) && positive(rgb.b)):
		return View{}, fmt.Errorf("adopted white %g, %g, %g is not the colour of a light", white.X, white.Y, white.Z)
	case !positive(la):
		return View{}, fmt.Errorf("adapting luminance is %g cd/m²: it must be above 0", la)
	case !positive(yb):
		return View{}, fmt.Errorf("background luminance factor is %g: it must be above 0", yb)
	case !(positive(s.F) && positive(s.C) && positive(s.Nc)):
		return View{}, fmt.Errorf("surround factors are F %g, c %g, Nc %g: they must be above 0", s.F, s.C, s.Nc)
	case form != CIE248 && form != Li2017:
		return View{}, fmt.Errorf("unknown form %d of the model", form)
	}

	k4 := math.Pow(1/(5*la+1), 4)
	n := yb / 100
	v := View{
		fl:     0.2*k4*5*la + 0.1*(1-k4)*(1-k4)*math.Cbrt(5*la),
		nbb:    0.725 * math.Pow(1/n, 0.2),
		cz:     s.C * (1.48 + math.Sqrt(n)),
		c:      s.C,
		chroma: math.Pow(1.64-math.Pow(0.29, n), 0.73),
		form:   form,
	}
	v.flRoot = math.Sqrt(math.Sqrt(v.fl))
	v.induction = 50000.0 / 13 * s.Nc * v.nbb

	d := min(max(s.F*(1-math.Exp(-(la+42)/92)/3.6), 0), 1)
	v.gain = cone{d*100/rgb.r + 1 - d, d*100/rgb.g + 1 - d, d*100/rgb.b + 1 - d}
	v.toAdapted = adaptedRows(v.gain)
	v.white = cone{v.gain.r * rgb.r, v.gain.g * rgb.g, v.gain.b * rgb.b}
	v.settle()
	return v, nil
}

// settle works out what follows from the adapted white (steps 3 and 5 for it).
func (v *View) settle() {
	v.setCompression()
	v.setNeutral()
	v.aw = v.nbb * v.neutral.white
	v.brightness = 4 / v.c * (v.aw + 4) * v.flRoot
	v.saturation = 50 * math.Sqrt(v.c*v.chroma/(v.aw+4))
}

func positive(x float64) bool { return x > 0 && !math.IsInf(x, 1) }
