package rules

import (
	"math"

	"lampblack/rules/colour"
)

// What was done: a file that was raised after its notice. The person judged the picture as
// it was before, at the desk that makes it print dark, and raised it because it was said
// to: what is predicted is the picture as it was judged, and what the print comes out by
// is that less the raise. Somebody who put the desk right and judged the file anew has
// raised it by eye, and nothing is taken off.

// raise is how the tones of a picture lie above those that it was judged with.
type raise struct {
	from Gist                    // of the picture as it was judged
	up   func(l float64) float64 // L* as it was judged to L* as it is now; rises, from 0 to at most 100
	mid  float64                 // stops, at a relative luminance of 0.18
}

const (
	// leastRaise is the raise from which it is one, in stops at mid grey (common practice,
	// no source): half of what is noticeable, and some four times what the estimate is off.
	leastRaise = 0.075

	// mostRecognised is the raise up to which it is one: nobody is advised more than a stop.
	mostRecognised = 1.5

	// gistTolerance is how far a tone may be from where the raise would have it, in L*, and
	// gistScatter how far all are on average (common practice, no source): sharpening,
	// another profile and the noise of a JPEG move less, another picture moves more.
	gistTolerance = 3
	gistScatter   = 1.5
)

// raises are the ways in which a picture is raised, by their strength: by curves that keep
// black and white, in L* with their height at mid grey or below it, or as powers of L* or
// of the light, as editors' curves through one point are; and by exposure, which clips.
var raises = []struct {
	most float64
	up   func(l, strength float64) float64
}{
	{24, func(l, d float64) float64 { return l + d*bump(l) }},
	{30, func(l, d float64) float64 { return l + 6.75*d*(l/100)*(1-l/100)*(1-l/100) }},
	{0.5, func(l, g float64) float64 { return 100 * math.Pow(l/100, 1-g) }},
	{0.6, func(l, g float64) float64 {
		return colour.Lightness(math.Pow(colour.FromLightness(l), 1-g))
	}},
	{mostRecognised, func(l, stops float64) float64 {
		return colour.Lightness(math.Min(1, colour.FromLightness(l)*math.Exp2(stops)))
	}},
}

// raiseOf recognises a picture as one that was predicted dark, raised since. It is not where
// the shape is another, the tones are as they were or lower, or no raise explains them.
func raiseOf(before *Gist, pic *Picture) (r raise, is bool) {
	after := gistOf(pic)
	if before == nil || after == nil || !before.Dark || before.Width != after.Width || before.Height != after.Height {
		return raise{}, false
	}
	least := math.Inf(1)
	for _, way := range raises {
		up := func(strength float64) func(float64) float64 {
			return func(l float64) float64 { return way.up(l, strength) }
		}
		strength := leastAt(func(s float64) float64 { return before.misfit(after, up(s)) }, way.most)
		if misfit := before.misfit(after, up(strength)); misfit < least {
			least = misfit
			r = raise{from: *before, up: up(strength)}
		}
	}
	if r.up == nil {
		return raise{}, false // a gist without figures
	}
	grey := colour.Lightness(midGrey)
	r.mid = math.Log2(colour.FromLightness(r.up(grey)) / midGrey)
	return r, least <= gistScatter && before.furthest(after, r.up) <= gistTolerance && r.mid >= leastRaise && r.mid <= mostRecognised
}

// gistWeights are how much each tone says: sharpening moves those at the ends.
var gistWeights = [9]float64{0.25, 0.5, 1, 1, 1, 1, 1, 0.5, 0.25}

// misfit is how far the tones of a picture are from where a raise of this one would have
// them, the root of the weighted mean square in L*.
func (g *Gist) misfit(after *Gist, up func(float64) float64) float64 {
	var sum, weights float64
	for i, l := range g.Lightness {
		sum += gistWeights[i] * math.Pow(after.Lightness[i]-up(l), 2)
		weights += gistWeights[i]
	}
	return math.Sqrt(sum / weights)
}

// furthest is the same for the tone that is furthest.
func (g *Gist) furthest(after *Gist, up func(float64) float64) (most float64) {
	for i, l := range g.Lightness {
		most = math.Max(most, math.Abs(after.Lightness[i]-up(l)))
	}
	return most
}

// down is the tone that a raise has brought to L* l: the inverse of up, by bisection. Of
// white, where an exposure has clipped many, it is the darkest.
func (r raise) down(l float64) float64 {
	low, high := bisect(0, l, func(was float64) bool { return r.up(was) < l }) // a raise lowers none
	return (low + high) / 2
}

// takenOff is the picture with the raise taken off, as it was judged, and by how much each
// part of it was raised.
func (r raise) takenOff(pic Picture) (judged Picture, by raised) {
	judged = pic
	judged.Tones, judged.MeanY = nil, 0
	var parts summary
	for _, t := range pic.Tones {
		was := Tone{colour.FromLightness(r.down(colour.Lightness(t.Y))), t.Share}
		judged.Tones = append(judged.Tones, was)
		judged.MeanY += was.Y * was.Share
		if was.Y >= leastTone {
			parts.add(was, math.Min(mostTone, math.Log2(t.Y/was.Y)))
		}
	}
	judged.Colours = r.coloursTakenOff(pic.Colours)
	return judged, raised{parts.shadows.orNothing(), parts.midtones.orNothing(), parts.highlights.orNothing(), parts.whole.orNothing()}
}

// coloursTakenOff are the colours of a picture with the raise taken off: darker, and as
// saturated as they are.
func (r raise) coloursTakenOff(colours []Colour) []Colour {
	judged := make([]Colour, len(colours))
	for i, c := range colours {
		judged[i] = c
		if c.Lab.L > 0 {
			l := r.down(c.Lab.L)
			judged[i].Lab = colour.Lab{L: l, A: c.Lab.A * l / c.Lab.L, B: c.Lab.B * l / c.Lab.L}
		}
	}
	return judged
}

// raised is by how much the parts of a picture were raised since it was judged, in stops;
// the zero value: it was not.
type raised struct{ shadows, midtones, highlights, whole float64 }

// orNothing is the mean of a zone; 0 when the picture has none of it.
func (z zone) orNothing() float64 {
	if z.weight == 0 {
		return 0
	}
	return z.mean()
}

// left is what is left of a shift that a file was raised against.
func (by raised) left(s Shift) *Shift {
	return &Shift{
		Shadows: s.Shadows - Figure(by.shadows), Midtones: s.Midtones - Figure(by.midtones),
		Highlights: s.Highlights - Figure(by.highlights), Whole: s.Whole - Figure(by.whole),
	}
}

// printsDark tells that a picture prints dark, or that this is what makes it close: then
// raising it is an answer.
func (r *Report) printsDark() bool {
	s := r.Prediction.Targets.Spread
	return r.Verdict == Darker || r.Verdict == Unsure && s.leaning() == Darker && s.Darker >= 0.5
}
