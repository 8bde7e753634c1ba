package rules

import (
	"math"

	"lampblack/rules/cam16"
	"lampblack/rules/colour"
	"lampblack/rules/light"
)

// screenWeight is Katoh's share of adaptation to the screen against the room
// (Katoh, Nakabayashi, Ito, Ohno 1998: 60 %; Sueeprasan & Luo 2003: 40..60 %).
const screenWeight = 0.6

// whiteCard is the reflectance of the imagined white card in the room whose
// luminance stands for the surround in the surround ratio S_R.
const whiteCard = 0.9

// desk is one state of the place where pictures are judged: the numbers that
// the appearance model needs, without their history.
type desk struct {
	screen   light.Screen
	white    colour.XY // of the screen
	lamps    colour.XY // of the room
	room     Lux       // in the room; screen.On is the same light as glare on the screen
	surround float64   // luminance relative to the screen's white
	share    float64   // the picture's share of the field
	eye      observer  // of whoever judges here
}

// wall is one place where prints are looked at, with the sheet on it.
type wall struct {
	sheet light.Sheet
	lamps colour.XY
	mat   float64 // luminous reflectance of what surrounds the print
	share float64
}

// look is a medium in its viewing conditions, ready for the question "how light
// does this tone look?". Both media are affine in Y: a black, and a gain.
type look struct {
	white   Luminance // adopted white W
	stops   float64   // log2 of it
	black   float64   // L(0)/W
	adopted colour.XY // chromaticity of the adopted white
	yb      float64   // background Yb, on the scale on which W is 100
	field   cam16.Surround
	view    cam16.View // XYZ scaled so that W is 100
	tint    colour.XY  // chromaticity of the medium's own white
	veil    colour.XYZ // XYZ of black on the scale of the view
	from    colour.Matrix
	eye     observer // of a screen: whoever judges there
}

// at is the desk's look for a picture of mean relative luminance mean.
//
//	W   = L(1)
//	S_R = (0.9·E/π)/W, and its c with the strength u
//	Yb  = 100·(share·L(mean) + (1-share)·L(surround))/W, at least 1
//	L_A = 0.2·W
func (d desk) at(mean float64) look {
	s := d.screen
	w := s.AdoptedWhite()
	room := light.Print(d.room, 1)
	yb := background(d.share, s.Luminance(mean), s.Luminance(d.surround), w)
	adopted := light.MixedWhite(d.white, w, d.lamps, room, screenWeight)
	ratio := whiteCard * float64(room) / float64(w)
	l := look{
		white:   w,
		stops:   math.Log2(float64(w)),
		black:   float64(s.Luminance(0) / w),
		adopted: adopted,
		yb:      yb,
		field:   cam16.SurroundAt(ratio).WithStrength(d.eye.surround),
		tint:    d.white,
		eye:     d.eye,
	}
	l.view = mustView(l.adopted, w, yb, l.field)
	glare := float64(s.Glare() / w)
	l.veil = d.white.XYZ(100 * (l.black - glare)).Add(d.lamps.XYZ(100 * glare))
	l.from = fromPCS(d.white)
	return l
}

// at is the print's look for a picture of mean relative luminance mean.
func (p wall) at(mean float64) look {
	w := p.sheet.AdoptedWhite()
	yb := background(p.share, p.sheet.Luminance(mean), light.Print(p.sheet.On, p.mat), w)
	black := float64(p.sheet.Luminance(0) / w)
	return look{
		white:   w,
		stops:   math.Log2(float64(w)),
		black:   black,
		adopted: p.lamps,
		yb:      yb,
		field:   cam16.Average,
		view:    mustView(p.lamps, w, yb, cam16.Average),
		tint:    p.lamps,
		veil:    p.lamps.XYZ(100 * black),
		from:    fromPCS(p.lamps),
	}
}

// on is the look with the background of another: how colourful its colours are there.
// No effect of the background on colourfulness is seen in experiments (LUTCHI: 0.92 to
// 1.02, where M has 1.11 to 1.15 for a black one and 0.84 for a white one), so both
// sides of a comparison of M get the same.
func (l *look) on(background *look) look {
	same := *l
	same.yb = background.yb
	same.view = mustView(l.adopted, l.white, same.yb, l.field)
	return same
}

// luminance is what the eye gets from a tone of relative luminance y, cd/m².
func (l *look) luminance(y float64) Luminance {
	return l.white * Luminance(l.black+(1-l.black)*y)
}

// background is Yb: the luminance around a tone, relative to white = 100. The
// picture itself fills its share of the field; without it a black surround
// would ask CIECAM16 for a Yb near 0, which it is not made for.
func background(share float64, picture, around, white Luminance) float64 {
	yb := 100 * (share*float64(picture) + (1-share)*float64(around)) / float64(white)
	return math.Min(100, math.Max(1, yb))
}

// mustView builds a view from numbers that the profile's checks have already
// bounded; a failure here is a fault of ours, not of the user's input.
func mustView(white colour.XY, w Luminance, yb float64, s cam16.Surround) cam16.View {
	v, err := cam16.New(white.XYZ(100), 0.2*float64(w), yb, s, cam16.CIE248)
	if err != nil {
		panic("rules: impossible viewing conditions: " + err.Error())
	}
	return v
}

// fromPCS adapts a colour of the profile connection space (D50) to a medium
// whose white has chromaticity xy.
func fromPCS(xy colour.XY) colour.Matrix {
	return colour.Bradford(colour.D50.XYZ(1), xy.XYZ(1))
}

// lightness is the J of a neutral tone of relative luminance y.
func (l *look) lightness(y float64) float64 {
	return l.view.NeutralJ(l.black + (1-l.black)*y)
}

// tone is the neutral tone whose lightness is j; not positive when the medium's
// black is not dark enough for it.
func (l *look) tone(j float64) float64 {
	return (l.view.NeutralY(j) - l.black) / (1 - l.black)
}

// colourfulness is the M of a picture's colour, given as XYZ relative to D50.
func (l *look) colourfulness(pcs colour.XYZ) float64 {
	return l.appearance(pcs).M
}
