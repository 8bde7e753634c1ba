package rules

import (
	"math"
	"time"

	"lampblack/rules/colour"
)

// PageGrey is the luminance, relative to the screen's white, of the grey around
// pictures that are shown with a Likeness: the same around each of them.
const PageGrey = 0.20

// Sight puts a judged export before the eye again, on the screen as it is now.
type Sight struct {
	Screen Likeness // as it looked where it was judged
	Print  Likeness // as its print will look on its paper in its light
	Tones  ToneCurve
}

// SightOf is the sight of a report's picture on the editing display at the moment
// now, on PageGrey. Where both pictures can't be shown as bright as they would
// look, both are dimmed alike.
func SightOf(p *Profile, r *Report, now time.Time) Sight {
	shown, judged := Resolve(p, now), judgedIn(p, r)
	paper, _ := paperOf(p, Folder{Paper: r.Paper})
	viewing, _ := viewingOf(p, Folder{Viewing: r.Viewing})
	page := shown.now()
	page.surround = PageGrey
	mean := r.Picture.MeanY
	here := page.at(mean)
	a, b := judged.now().at(mean), hanging(paper, viewing, judged.share.value).at(mean)
	s := Sight{Screen: likeness(a, here), Print: likeness(b, here), Tones: toneCurve(&a, &b)}
	dim := 1 / max(1, s.Screen.brightest(), s.Print.brightest())
	s.Screen.gain *= dim
	s.Print.gain *= dim
	return s
}

// judgedIn are the conditions under which a report was made, as far as it kept
// them; what no condition of theirs tells is as the profile has it.
func judgedIn(p *Profile, r *Report) Conditions {
	c := Resolve(p, r.At)
	c.held = true // what the report says of the screen has drift in it
	for _, k := range r.Conditions {
		v := float64(k.Value)
		if !(v >= 0) || math.IsInf(v, 0) {
			continue
		}
		if of, _ := kindOf(k.Name); of.remember != nil {
			of.remember(&c, v)
		}
	}
	return c
}

// Likeness leads from a picture's colours to the colours that look on this
// screen, in its present conditions, as the picture's look somewhere else:
//
//	J as CIECAM16 has it there, C and h as it has them there on the background of here
//	(see look.on); the stimulus that has them here; times 2^(beta·log2(W_there/W_here)),
//	the change of white that adaptation does not absorb
type Likeness struct {
	there, here look
	coloured    look // there, on the background of here
	gain        float64
	out         colour.Matrix // from the screen's own white to linear sRGB
}

func likeness(there, here look) Likeness {
	toD50 := here.from.Inverse()
	toD65 := colour.Bradford(colour.D50.XYZ(1), colour.D65.XYZ(1))
	return Likeness{
		there: there, here: here, coloured: there.on(&here),
		gain: math.Exp2(here.eye.unabsorbed * whiteChange(&there, &here)),
		out:  colour.SRGB.ToXYZ().Inverse().Mul(toD65).Mul(toD50),
	}
}

// RGB is a colour in linear sRGB. A colour that sRGB lacks has channels outside of
// 0..1.
type RGB struct{ R, G, B float64 }

// Show is the colour that shows a colour of the picture, given as XYZ relative to
// D50, whether sRGB has it or not.
func (l *Likeness) Show(pcs colour.XYZ) RGB {
	light, colours := l.there.appearance(pcs), l.coloured.appearance(pcs)
	seen := l.here.view.Inverse(light.J, colours.C, colours.H).Add(l.here.veil.Scale(-1))
	v := l.out.Apply(seen.Scale(l.gain / (100 * (1 - l.here.black))))
	return RGB{v.X, v.Y, v.Z}
}

// brightest is the largest channel of the picture's white.
func (l *Likeness) brightest() float64 {
	v := l.Show(colour.D50.XYZ(1))
	return max(v.R, v.G, v.B)
}

// InGamut is the colour mixed with the grey of its luminance, no more than it
// takes to bring every channel into 0..1.
func (c RGB) InGamut() RGB {
	w := colour.SRGB.ToXYZ()[1]
	grey := math.Min(1, math.Max(0, w[0]*c.R+w[1]*c.G+w[2]*c.B))
	keep := 1.0
	for _, v := range [3]float64{c.R, c.G, c.B} {
		switch {
		case v > 1:
			keep = math.Min(keep, (1-grey)/(v-grey))
		case v < 0:
			keep = math.Min(keep, grey/(grey-v))
		}
	}
	mix := func(v float64) float64 { return math.Min(1, math.Max(0, grey+keep*(v-grey))) }
	return RGB{mix(c.R), mix(c.G), mix(c.B)}
}

// ToneCurve is what a print does to the tones of a picture, in terms of the
// screen on which it was judged. All are L* of the file, 0..100.
type ToneCurve struct {
	Points []TonePoint // in rising order
	Lost   float64     // tones below this one looked darker than the paper's black
}

// TonePoint is one tone: Print is the tone that looked on the screen as this one
// will look on the print.
type TonePoint struct{ File, Print float64 }

// toneCurve compares the screen a with the print b at every second L*.
func toneCurve(a, b *look) ToneCurve {
	gain := math.Exp2(-unabsorbed(a, b))
	screen := func(y float64) float64 { return math.Max(0, a.tone(b.lightness(y))) }
	c := ToneCurve{Lost: colour.Lightness(screen(0))}
	for l := 0.0; l <= 100; l += 2 {
		print := colour.Lightness(gain * screen(colour.FromLightness(l)))
		c.Points = append(c.Points, TonePoint{File: l, Print: print})
	}
	return c
}

// RoomLight is the light at the screen's face as it was read between two moments,
// in order of time. What was read on the desk counts as it does for a verdict; a
// reading at a print says nothing about the screen.
func (p *Profile) RoomLight(from, to time.Time) []Reading {
	var out []Reading
	for _, r := range p.Readings {
		if r.Place == AtPrint || r.At.Before(from) || r.At.After(to) {
			continue
		}
		if r.Place == OnDesk {
			r.Light *= fromDesk
		}
		out = append(out, r)
	}
	return out
}
