package rules

import (
	"math"

	"lampblack/rules/colour"
)

// hung is the print where it hangs, and how the picture was judged.
type hung struct {
	c       *Conditions
	paper   Paper
	viewing Viewing
	judged  bool // prints are judged there, too
}

// Light fades prints, so no lamp is asked for beyond these: displayed prints are kept at
// 50 to 200 lx (common practice, no source), and of the lights in which prints are judged
// ISO 3664 has 500 lx (P2) and 2000 lx (P1).
const (
	mostHung    = 300  // lx, where prints hang
	mostJudged  = 1000 // lx, where they are judged
	fadingLight = 200  // lx, above which it has to be said
)

// light is the remedy of another light where the print hangs: that in which the paper's
// white is as bright as the screen's, E = π·L/R, where a lamp may be asked for it and it
// at least halves what is off there. How much more light a person would need to feel
// a shift made up for is no answer: of a print judged by itself hardly anything of a
// change of the white is felt, and that light would be without measure.
func (h hung) light(r *Report) (m Remedy, ok bool) {
	_, standard := StandardViewing(h.viewing.Name)
	now, lux := float64(r.Prediction.Viewing.Shift.Whole), float64(r.Prediction.Match.Now)
	most := float64(mostHung)
	if h.judged {
		most = mostJudged
	}
	if standard || r.Purpose == ForScreen || r.Verdict == Unsure || !(math.Abs(now) >= leastAtWall) || !(lux <= most) {
		return m, false
	}
	there := h.shift(&r.Picture, lux)
	if !(math.Abs(there) <= math.Abs(now)/2) {
		return m, false
	}
	m = single(ViewingLight, lux, "lx").saying(viewingSteps(h.viewing.Name, lux, there)...)
	m.Caution = true
	m.Left = Figure(there)
	return m, true
}

// shift is the whole picture's shift against the print there, lit by so many lx.
func (h hung) shift(pic *Picture, lux float64) float64 {
	there := h.viewing
	there.Light.Value = Lux(lux)
	a, r := h.c.now().at(pic.MeanY), hanging(h.paper, there, h.c.share.value).at(pic.MeanY)
	return summarise(&a, &r, pic.Tones).wholeShift()
}

// asMat is how near a surround and a mat have to be to agree, in L* (common practice, no
// source).
const asMat = 10

// agrees tells a surround that is out of its target as the mat is in which the print will
// hang: white and white, say. Against the mat the midtones will look as they did against
// the surround.
func (h hung) agrees() bool {
	reflectance, known := mats[h.viewing.Mat.Value]
	if !known || h.viewing.Mat.Value == NoMat || h.c.Get(SurroundGrey).InTarget {
		return false
	}
	mat := colour.Lightness(math.Min(1, reflectance/h.paper.White.Value))
	return math.Abs(mat-colour.Lightness(h.c.around.value)) <= asMat
}

// onlyAsMat tells a verdict that is owed to such a surround alone: with it as its own
// reference there would be nothing to warn of.
func (h hung) onlyAsMat(v Verdict, q Quiet, pic *Picture) bool {
	if v == Holds || !h.agrees() {
		return false
	}
	forgiven, own := *h.c, h.c.around.value
	t := &forgiven.target
	t.ReferenceSurround, t.Surround = own, Range{math.Min(t.Surround.Low, own), math.Max(t.Surround.High, own)}
	return judge(spread(&forgiven, q, pic), h.c.far, q) == Holds
}
