package rules

import (
	"math"

	"lampblack/rules/colour"
	"lampblack/rules/light"
)

// The edges between shadows, midtones and highlights, in L* of the file.
const (
	shadowL    = 30
	highlightL = 70
)

// The same as relative luminances, for loops that have no time for roots.
var (
	shadowY    = colour.FromLightness(shadowL)
	highlightY = colour.FromLightness(highlightL)
)

// leastTone is the relative luminance below which a tone counts as black
// (L* 0.5, density 3.3: no paper and few screens tell it from black). A black
// was not chosen by its look, so it has no shift.
const leastTone = 0.00055

// flare is the light from elsewhere on a hanging print, as a share of its
// white (common practice, no source; ICC's reference medium has 0.75 %).
const flare = 0.005

// Reflectances of mats, and of the wall around a print without one (common
// practice, no source).
var mats = map[Mat]float64{WhiteMat: 0.85, CreamMat: 0.75, GreyMat: 0.20, BlackMat: 0.03, NoMat: 0.5}

// glass is what a glazing does: it transmits on the way in and on the way out,
// and reflects the room once. Mirror is the share of E/π it adds: its
// reflectance times a wall of 0.5 that gets a quarter of the print's light
// (common practice, no source; 4 % a surface for plain glass is Fresnel's
// figure at refractive index 1.5).
type glass struct{ transmit, mirror float64 }

var glazings = map[Glazing]glass{
	NoGlazing:     {1, 0},
	GlassGlazing:  {0.92, 0.08 * 0.5 * 0.25},
	CoatedGlazing: {0.985, 0.01 * 0.5 * 0.25},
}

// hanging is the print on its paper in its light.
func hanging(p Paper, v Viewing, share float64) wall {
	g := glazings[v.Glazing.Value]
	return wall{
		sheet: light.Sheet{
			On:       v.Light.Value,
			White:    p.White.Value,
			Black:    colour.FromDensity(p.DMax.Value),
			Flare:    flare,
			Transmit: g.transmit,
			Mirror:   g.mirror,
		},
		lamps: lampColour(v.Lamps.Value),
		mat:   mats[v.Mat.Value],
		share: share,
	}
}

// Predict computes what the conditions do to a picture that will be printed on
// paper and seen at viewing, at the central values of every condition.
func Predict(c *Conditions, paper Paper, viewing Viewing, pic *Picture) Prediction {
	desk, reference, print := c.now(), c.reference(), hanging(paper, viewing, c.share.value)
	now, should, there := desk.at(pic.MeanY), reference.at(pic.MeanY), print.at(pic.MeanY)
	s := subjectOf(pic)
	return Prediction{
		Targets: s.compare(&now, &should),
		Viewing: s.compare(&now, &there),
		Steps:   s.shadowSteps(desk, reference, print),
		Match:   matching(desk, reference, paper, viewing),
	}
}

// subject is a picture with what the model asks of it again and again, which is the same
// at every desk.
type subject struct {
	pic     *Picture
	colours []chosen
	endTones
}

func subjectOf(pic *Picture) subject { return subject{pic, coloursOf(pic), endTonesOf(pic.Tones)} }

// compare asks of every tone and colour of the picture: had I judged it under
// r instead of a, what would I have chosen?
func (s subject) compare(a, r *look) Against {
	sum := summarise(a, r, s.pic.Tones)
	return Against{
		Shift:         sum.shift(),
		Curve:         curve(a, r, s.pic.CurveAt),
		WhiteChange:   Figure(sum.white),
		Unabsorbed:    Figure(sum.unabsorbed),
		Colourfulness: Figure(colourfulnessRatio(a, r, s.colours)),
		Contrast:      Figure(s.contrastRatio(a, r)),
		LostShare:     Figure(lostShare(a, r, s.pic.Tones)),
		Cast:          castBetween(a, r, s.colours),
	}
}

// matching is the light that makes the paper's white as bright as the screen's,
// E = π·L/R, with nothing of the room in either.
func matching(now, should desk, paper Paper, viewing Viewing) Match {
	lux := func(d desk) Figure { return Figure(light.MatchingLux(d.screen.White, paper.White.Value)) }
	return Match{Targets: lux(should), Now: lux(now), There: Figure(viewing.Light.Value)}
}

// whiteChange is log2(W_a/W_r), the change of the white's luminance in stops.
func whiteChange(a, r *look) float64 { return a.stops - r.stops }

// unabsorbed is the part of every shift that comes from the change of the white,
// beta·log2(W_a/W_r), in stops.
func unabsorbed(a, r *look) float64 { return a.eye.unabsorbed * whiteChange(a, r) }

// toneShift is the tone's own part of its shift, in stops, positive darker:
//
//	tone(Y) = log2(Y'/Y)
//
// where Y' under r has the lightness J that Y has under a. kept is min(1, 8·Y'/Y),
// and runs down to 0 as Y' nears r's black: below it there is no Y', the tone comes
// out lighter than it was seen, and tone is the least there is.
func toneShift(a, r *look, y float64) (tone, kept float64) {
	other := r.tone(a.lightness(y))
	if other <= 0 {
		return -mostTone, 0
	}
	return math.Log2(other / y), math.Min(1, other/y*nearlyBlack)
}

const (
	// mostTone bounds what one tone says, in stops. Glare would give +5.7 at Y 0.0006,
	// and a night picture's tones under the paper's black would drown its midtones.
	mostTone = 2

	// nearlyBlack is how many times darker than chosen a tone gets before it begins to
	// count as one below r's black (3 stops).
	nearlyBlack = 8

	// belowBlack is what a tone below r's black counts in an average: it comes out
	// lighter, but nobody sees how much.
	belowBlack = -0.5
)

// counted is what a tone counts in an average, without the white's part:
//
//	k·min(2, max(−2, tone)) + (1−k)·(−0.5)
func counted(tone, kept float64) float64 {
	return kept*math.Min(mostTone, math.Max(-mostTone, tone)) + (1-kept)*belowBlack
}

// shiftOf is the shift of one tone judged under a and delivered under r,
//
//	shift(Y) = tone(Y) + beta·log2(W_a/W_r)
//
// in stops, positive darker, with a tone of at least −2 also where it has no Y'.
func shiftOf(a, r *look, y float64) float64 {
	tone, _ := toneShift(a, r, y)
	return math.Max(-mostTone, tone) + unabsorbed(a, r)
}

// zone sums the tones' own shifts over a part of the picture.
type zone struct{ shift, weight float64 }

func (z *zone) add(shift, weight float64) {
	z.shift += weight * shift
	z.weight += weight
}

func (z zone) mean() float64 { return z.shift / z.weight } // NaN when empty

// summary holds the shift by zones of tone, its two parts apart.
type summary struct {
	shadows, midtones, highlights, whole zone    // the tones' own part
	white                                float64 // log2(W_a/W_r), stops
	unabsorbed                           float64 // what of that is felt, the same for every zone
}

// of is the mean shift of a zone; NaN when the picture has none of it.
func (s summary) of(z zone) float64 { return z.mean() + s.unabsorbed }

// wholeShift is the mean shift of the whole picture, in stops.
func (s summary) wholeShift() float64 { return s.of(s.whole) }

func (s summary) shift() Shift {
	return Shift{
		Shadows:    Figure(s.of(s.shadows)),
		Midtones:   Figure(s.of(s.midtones)),
		Highlights: Figure(s.of(s.highlights)),
		Whole:      Figure(s.of(s.whole)),
	}
}

func summarise(a, r *look, tones []Tone) summary {
	s := summary{white: whiteChange(a, r), unabsorbed: unabsorbed(a, r)}
	for _, t := range tones {
		if t.Y < leastTone {
			continue
		}
		s.add(t, counted(toneShift(a, r, t.Y)))
	}
	return s
}

// add takes what one tone is shifted by into its zone, and into the whole.
func (s *summary) add(t Tone, shift float64) {
	s.zone(t.Y).add(shift, t.Share)
	s.whole.add(shift, t.Share)
}

func (s *summary) zone(y float64) *zone {
	switch {
	case y < shadowY:
		return &s.shadows
	case y >= highlightY:
		return &s.highlights
	default:
		return &s.midtones
	}
}

// curve is the shift at each of the tones ys, or where it can be drawn well.
func curve(a, r *look, ys []float64) []CurvePoint {
	if ys == nil {
		ys = curveTones
	}
	points := make([]CurvePoint, len(ys))
	for i, y := range ys {
		shift := math.NaN()
		if y > 0 {
			shift = shiftOf(a, r, y)
		}
		points[i] = CurvePoint{Y: y, Shift: Figure(shift)}
	}
	return points
}

// curveTones are at every 2.5 L*.
var curveTones = func() []float64 {
	var ys []float64
	for l := 2.5; l <= 100; l += 2.5 {
		ys = append(ys, colour.FromLightness(l))
	}
	return ys
}()

// chosen is a colour of the picture ready for the model: XYZ relative to D50.
type chosen struct {
	xyz   colour.XYZ
	share float64
	grey  bool // as good as neutral in the file
}

// greyChroma is the C*ab below which a colour of the file counts as grey (common
// practice, no source). The model gives greys some M, too, in light of mixed
// colours; but nobody misses the colour of a grey.
const greyChroma = 6

func coloursOf(pic *Picture) []chosen {
	cs := make([]chosen, len(pic.Colours))
	for i, c := range pic.Colours {
		cs[i] = chosen{c.Lab.XYZ(colour.D50.XYZ(1)), c.Share, math.Hypot(c.Lab.A, c.Lab.B) < greyChroma}
	}
	return cs
}

// leastColourful is the M below which a colour counts as grey: a picture of
// such greys has no colourfulness to lose.
const leastColourful = 2

// colourfulnessRatio is the mean M of the picture's colours under r over their
// mean under a, on r's background (see look.on); NaN for a picture without colours.
func colourfulnessRatio(a, r *look, cs []chosen) float64 {
	seen := a.on(r)
	var before, after, weight float64
	for _, c := range cs {
		if c.grey {
			continue
		}
		before += c.share * seen.colourfulness(c.xyz)
		after += c.share * r.colourfulness(c.xyz)
		weight += c.share
	}
	if before < leastColourful*weight || weight == 0 {
		return math.NaN()
	}
	return after / before
}

// The tones between which a picture's contrast is told, in percentiles of its pixels.
const (
	contrastFrom = 0.10
	contrastTo   = 0.90
)

// endTones are the tones of a picture, in relative luminance, between which its contrast is
// told, and its shadow steps are counted.
type endTones struct{ low, high, darkest, shade float64 }

func endTonesOf(tones []Tone) endTones {
	return endTones{
		low: percentile(tones, contrastFrom), high: percentile(tones, contrastTo),
		darkest: percentile(tones, shadowFrom), shade: percentile(tones, shadowTo),
	}
}

func (e endTones) contrastRatio(a, r *look) float64 { return contrastRatio(a, r, e.low, e.high) }

// stepsOn is the number of shadow steps on the medium with luminance l.
func (e endTones) stepsOn(l func(float64) Luminance) float64 {
	return shadowStepsBetween(l, e.darkest, e.shade)
}

// stepsLost is the share of the shadow steps on the screen now that wouldn't be there
// at another desk.
func (e endTones) stepsLost(now, should desk) float64 {
	return stepsLost(e.stepsOn(now.screen.Luminance), e.stepsOn(should.screen.Luminance))
}

// leastContrastLeft bounds how far apart the two tones would have had to be chosen,
// as a share of what they are.
const leastContrastLeft = 0.1

// contrastRatio is how much of the picture's contrast is left under r,
//
//	r/(r + shift(hi) − shift(lo)),  r = log2(hi/lo)
//
// of its 10th and 90th percentile lo and hi: below 1 the print is flatter than the
// picture looked. NaN where the picture has no contrast.
func contrastRatio(a, r *look, lo, hi float64) float64 {
	lo = math.Max(leastTone, lo)
	seen := math.Log2(hi / lo)
	if !(seen > 0) {
		return math.NaN()
	}
	return seen / math.Max(leastContrastLeft*seen, seen+shiftOf(a, r, hi)-shiftOf(a, r, lo))
}

// The picture's shadow range, in percentiles of its pixels.
const (
	shadowFrom = 0.005
	shadowTo   = 0.25
)

// shadowSteps counts the just-noticeable steps between the ends of the
// picture's shadow range: j(L(high)) - j(L(low)), DICOM PS3.14. In brighter light
// there are more of them, for the finest detail; but the print can't hold what nobody
// saw, so it has no more than the screen.
func (e endTones) shadowSteps(now, should desk, print wall) ShadowSteps {
	screen := e.stepsOn(now.screen.Luminance)
	return ShadowSteps{
		Screen:    Figure(screen),
		AtTargets: Figure(e.stepsOn(should.screen.Luminance)),
		Print:     Figure(math.Min(screen, e.stepsOn(print.sheet.Luminance))),
	}
}

// shadowStepsBetween is j(L(high)) - j(L(low)) on the medium with luminance l.
func shadowStepsBetween(l func(float64) Luminance, low, high float64) float64 {
	return light.JND(l(high)) - light.JND(l(low))
}

// percentile is the relative luminance below which the share p of the picture
// lies; NaN without tones.
func percentile(tones []Tone, p float64) float64 {
	sum, y := 0.0, math.NaN()
	for _, t := range tones {
		sum, y = sum+t.Share, t.Y
		if sum >= p {
			break
		}
	}
	return y
}

// tonesBetween are the tones that are not black, of lightness low ≤ L* < high.
func tonesBetween(tones []Tone, low, high float64) []Tone {
	var out []Tone
	for _, t := range tones {
		if l := colour.Lightness(t.Y); t.Y >= leastTone && low <= l && l < high {
			out = append(out, t)
		}
	}
	return out
}

// shareBelow is the share of the picture in tones below lightness l.
func shareBelow(tones []Tone, l float64) float64 {
	var sum float64
	for _, t := range tonesBetween(tones, 0, l) {
		sum += t.Share
	}
	return sum
}
