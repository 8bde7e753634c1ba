package rules

import (
	"math"

	"lampblack/rules/cam16"
	"lampblack/rules/colour"
)

// Cast is how differently the picture's near-neutrals are coloured: as the
// reference shows them, less as they were judged, in a' and b' of CAM16-UCS.
// Positive a' is towards pink, positive b' towards yellow.
type Cast struct {
	A    Figure `json:"a"`
	B    Figure `json:"b"`
	Word string `json:"word"` // "none", "warmer", "cooler", "pinker" or "greener"
}

// castNone is the word for a cast that nobody would notice.
const castNone = "none"

// noticeableCast is the distance in a'b' below which a cast is called none: two
// to three just-noticeable differences, for nobody sees both at once (common
// practice, no source).
const noticeableCast = 2

// nearNeutral is the chroma C*ab up to which a colour of the picture counts as
// a near-neutral.
const nearNeutral = 15

// castBetween is the cast of the picture's mean near-neutral, on r's background (see
// look.on).
func castBetween(a, r *look, cs []chosen) Cast {
	grey, seen := meanNeutral(cs), a.on(r)
	before, after := seen.ucs(grey), r.ucs(grey)
	c := Cast{A: Figure(after.a - before.a), B: Figure(after.b - before.b)}
	c.Word = castWord(float64(c.A), float64(c.B))
	return c
}

func castWord(a, b float64) string {
	switch {
	case !(math.Hypot(a, b) >= noticeableCast):
		return castNone
	case math.Abs(b) >= math.Abs(a) && b > 0:
		return "warmer"
	case math.Abs(b) >= math.Abs(a):
		return "cooler"
	case a > 0:
		return "pinker"
	default:
		return "greener"
	}
}

// meanNeutral is the mean of the picture's near-neutrals; of a picture without
// any, a grey of L* 50.
func meanNeutral(cs []chosen) colour.XYZ {
	white := colour.D50.XYZ(1)
	var sum colour.XYZ
	var share float64
	for _, c := range cs {
		lab := colour.LabOf(c.xyz, white)
		if math.Hypot(lab.A, lab.B) <= nearNeutral && lab.L >= 20 {
			sum = sum.Add(c.xyz.Scale(c.share))
			share += c.share
		}
	}
	if share == 0 {
		return colour.Lab{L: 50}.XYZ(white)
	}
	return sum.Scale(1 / share)
}

// uniform is a colour's place in the a'b' plane of CAM16-UCS.
type uniform struct{ a, b float64 }

// ucs is where a picture's colour, given as XYZ relative to D50, appears:
//
//	M' = ln(1 + 0.0228·M)/0.0228,  a' = M'·cos h,  b' = M'·sin h
//
// (CAM16-UCS, Li et al. 2017).
func (l *look) ucs(pcs colour.XYZ) uniform {
	const c2 = 0.0228
	k := l.appearance(pcs)
	m := math.Log1p(c2*k.M) / c2
	sin, cos := math.Sincos(k.H * math.Pi / 180)
	return uniform{m * cos, m * sin}
}

// appearance is how a picture's colour, given as XYZ relative to D50, appears.
func (l *look) appearance(pcs colour.XYZ) cam16.Correlates {
	return l.view.Forward(l.from.Apply(pcs).Scale(100 * (1 - l.black)).Add(l.veil))
}
