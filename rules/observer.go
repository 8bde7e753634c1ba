package rules

import "math"

// observer is how whoever judges prints at a desk sees, as far as people differ in it.
type observer struct {
	unabsorbed float64 // beta: the share of a change of white luminance that is felt, stops a stop, 0..1
	surround   float64 // u: the effect of the room around the screen over CIECAM16's own
}

// Judging is how somebody judges prints, which decides how much of a change of the
// white they feel.
type Judging string

// The ways of judging that a profile can state.
const (
	JudgedUnsaid Judging = ""                  // nobody has said: in between, and as uncertain as that
	ByItself     Judging = "by itself"         // later, in its own light
	Beside       Judging = "beside the screen" // the print is held against the screen
)

// Judgings are the ways of judging that a profile can state.
func Judgings() []Judging { return []Judging{ByItself, Beside} }

// unabsorbed is beta with the standard uncertainty of its logarithm.
//
// By itself: lightness of single stimuli when the white changes, 0.06 (dark and mid
// tones) to 0.15 stop a stop (light ones) in CSAJ-Stevens (Mori and others 1991), 0 to
// 0.10 in LUTCHI (Luo and others 1991). Beside the screen: brightness, 0.62, 0.63, 0.72
// in LUTCHI. Between the two where nobody has said. testdata/evidence holds the figures.
func (j Judging) unabsorbed() estimate {
	switch j {
	case ByItself:
		return estimate{0.08, 0.6}
	case Beside:
		return estimate{0.60, 0.2}
	}
	return estimate{0.22, 1.0}
}

// strength is u with the standard uncertainty of its logarithm: the geometric mean, and
// the spread, of what four publications found over CIECAM16's own effect of a dim and a
// dark surround: 1.5 (Bartleson 1975), 1 (CIE 248:2022), 0.68 (Baek and others 2014) and
// 0.49 (Liu and Fairchild 2007). testdata/evidence holds the figures.
var strength = estimate{0.84, 0.45}

// mostUnabsorbed is the most that beta counts: nobody feels more of a change than there is.
const mostUnabsorbed = 1

// capped is beta as it counts.
func capped(beta float64) float64 { return math.Min(mostUnabsorbed, beta) }
