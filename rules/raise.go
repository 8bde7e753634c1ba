package rules

import (
	"math"

	"lampblack/rules/colour"
)

// What is advised: a file whose print will come out wrong can be raised, or lowered, by a
// curve that keeps black and white where they are. Plain exposure would clip what is light.
// How a file is recognised that somebody has raised is in raised.go.

const (
	midGrey     = 0.18 // where a raise is told
	mostAdvised = 1    // stop: beyond, a picture has to be judged again
	fewMidtones = 0.05 // of the picture; with fewer a raise is solved on the whole
)

// advisedRaise is a raise of a file by a curve, and what would be left of its shift.
type advisedRaise struct {
	stops          float64 // at Y 0.18; negative: lowered
	whole, shadows float64 // shift as the person finds it then, in stops
	reached        bool    // a stop is enough
}

// bend is the strength d of the curve
//
//	L' = L + 4d·(L/100)·(1 − L/100)
//
// in L* of the file that raises Y 0.18 by so many stops. It rises everywhere for
// |d| < 25; a stop takes 17.
func bend(stops float64) float64 {
	l := colour.Lightness(midGrey)
	return (colour.Lightness(midGrey*math.Exp2(stops)) - l) / bump(l)
}

// bump is how far a curve of strength 1 raises the lightness l.
func bump(l float64) float64 { return 4 * (l / 100) * (1 - l/100) }

// offersRaise tells a raise that is worth a word, no more than a stop, the way the verdict
// has it, and that leaves at most half of the whole.
func (f *fault) offersRaise() bool {
	up, now := f.up, math.Abs(f.wholeNow)
	halves := math.Abs(up.whole) <= now/2 && now-math.Abs(up.whole) >= leastChange
	return up.reached && halves && math.Abs(up.stops) >= leastChange && up.stops > 0 == f.darker
}

// solveRaise is the raise, within a stop either way, that leaves nothing of the midtones'
// mean shift, or of the whole's in a picture that hardly has any.
func (f *fault) solveRaise() advisedRaise {
	const enough = 0.02
	lights := make([]float64, len(f.pic.Tones))
	middle := 0.0
	for i, t := range f.pic.Tones {
		lights[i] = colour.Lightness(t.Y)
		if t.Y >= shadowY && t.Y < highlightY {
			middle += t.Share
		}
	}
	a := f.c.now().at(f.pic.MeanY)
	var last advisedRaise
	left := func(stops float64) float64 {
		var midtones float64
		last, midtones = f.onceRaised(&a, lights, stops)
		if middle < fewMidtones {
			return last.whole
		}
		return midtones
	}
	s := nearestToZero(left, Range{-mostAdvised, mostAdvised}, 0)
	left(s.value)
	last.reached = math.Abs(s.left) < enough
	return last
}

// onceRaised is what is left of the shift of a file whose tones, of these lightnesses, are
// raised by so many stops at Y 0.18: each tone's shift less its own raise, in front of the
// background that the raised picture is.
func (f *fault) onceRaised(a *look, lights []float64, stops float64) (up advisedRaise, midtones float64) {
	d := bend(stops)
	tones := make([]float64, len(lights))
	mean := 0.0
	for i, l := range lights {
		tones[i] = colour.FromLightness(math.Min(100, math.Max(0, l+d*bump(l))))
		mean += tones[i] * f.pic.Tones[i].Share
	}
	r := f.should.at(math.Min(1, mean))
	s := summarise(a, &r, f.pic.Tones)
	var by summary // how far each zone is raised
	for i, t := range f.pic.Tones {
		if t.Y < leastTone {
			continue
		}
		by.add(t, math.Log2(tones[i]/t.Y))
	}
	earlier := f.c.how.raised
	found := func(z, by zone, earlier float64) float64 { return f.find(&s, z, earlier).found - by.mean() }
	up = advisedRaise{stops: stops, whole: found(s.whole, by.whole, earlier.whole), shadows: math.NaN()}
	if f.shadows {
		up.shadows = found(s.shadows, by.shadows, earlier.shadows)
	}
	return up, found(s.midtones, by.midtones, earlier.midtones)
}
