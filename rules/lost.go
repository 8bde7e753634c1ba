package rules

import (
	"math"

	"lampblack/rules/colour"
	"lampblack/rules/light"
)

// What is lost on the way to the print is what can be told from black where a picture
// was judged, and can't where it is looked at.

// seenSteps is how many just-noticeable steps a tone must lie above black before a
// person at a desk tells it from black (common practice, no source: one step is the
// threshold of an observer who looks for nothing else).
const seenSteps = 3

// ToneWidth is the most that a group of a picture's tones spans, in L*.
const ToneWidth = 0.5

// lostShare is the share of the picture in tones that lie less than seenSteps above r's
// black and at least as many above a's. Of a group of tones across one of these
// edges it is the part between them; what counts as black was never seen.
func lostShare(a, r *look, tones []Tone) float64 {
	from, to := leastSeen(a), leastSeen(r)
	if from >= to {
		return 0
	}
	var lost float64
	for _, t := range tones {
		if t.Y < leastTone {
			continue
		}
		if t.Y > 2*to {
			break // far above the edge, and so are all that follow
		}
		lost += t.Share * partBetween(t.Y, from, to)
	}
	return lost
}

// partBetween is the part of a group of tones around y that lies between two edges.
func partBetween(y, from, to float64) float64 {
	l := colour.Lightness(y)
	low, high := colour.FromLightness(math.Max(0, l-ToneWidth/2)), colour.FromLightness(l+ToneWidth/2)
	return math.Max(0, math.Min(high, to)-math.Max(low, from)) / (high - low)
}

// leastSeen is the tone that lies seenSteps above the medium's black,
//
//	j(L(Y)) = j(L(0)) + 3,  j of DICOM PS3.14,
//
// by bisection: j(L) and L(j) are two fits, and only the first is asked everywhere. 1
// where not even white lies that far above.
func leastSeen(l *look) float64 {
	edge := light.JND(l.luminance(0)) + seenSteps
	unseen := func(y float64) bool { return light.JND(l.luminance(y)) < edge }
	if unseen(1) {
		return 1
	}
	_, seen := bisect(0, 1, unseen)
	return seen
}
