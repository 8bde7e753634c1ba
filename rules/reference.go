package rules

import "math"

// What the desk should be, for one folder's exports.

// A print held beside the screen is compared with its white, so the white has to be as
// bright as the sheet; but no screen for prints is set outside of these (common practice,
// no source; ISO 12646 asks for at least 80 cd/m², ICC's practice for 160 beside P2).
var besideWhites = Range{80, 160}

// besideRange is how far the white may be from the sheet's, in stops, either way (common
// practice, no source).
const besideRange = 0.25

// targetFor is the profile's target for exports into a folder. Who judges prints beside
// the screen in a proof light that is known needs a white that matches that light,
// E·R/π, unless the profile states what the white should be.
func (p *Profile) targetFor(f Folder) Target {
	t := p.Target
	if p.Judged != Beside || t.WhiteStated || f.Proof == "" {
		return t
	}
	proof, known := p.viewing(f.Proof)
	if !known {
		return t
	}
	paper, _ := paperOf(p, f)
	sheet := float64(proof.Light.Value) * paper.White.Value / math.Pi
	within := func(w float64) float64 { return math.Min(besideWhites.High, math.Max(besideWhites.Low, w)) }
	reference := within(sheet)
	t.ReferenceWhite = Luminance(reference)
	t.White = Range{within(reference * math.Exp2(-besideRange)), within(reference * math.Exp2(besideRange))}
	return t
}

// firstForPrint is the first folder for prints; the zero Folder when there is none.
func (p *Profile) firstForPrint() Folder {
	for _, f := range p.Folders {
		if f.Purpose == ForPrint {
			return f
		}
	}
	return Folder{}
}

// viewing is the viewing place of that name, of the profile or of a standard.
func (p *Profile) viewing(name string) (v Viewing, known bool) {
	for _, v := range p.Viewings {
		if v.Name == name && name != "" {
			return v, true
		}
	}
	return StandardViewing(name)
}
