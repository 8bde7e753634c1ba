package rules

import (
	"math"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

// judgeNoise is the standard deviation of one judgement, in stops.
var judgeNoise = judgeScale * math.Sqrt(judgeFreedom/(judgeFreedom-2.))

// leastSurprise is how many prints have to come out darker than expected before
// they count against the screen (common practice, no source): one may be a slip,
// or the last sheet of another paper.
const leastSurprise = 2

// surprise is what the prints say against a screen since it was last measured.
type surprise struct {
	prints int
	darker float64 // their mean distance from what was expected, stops, positive darker
}

// surprise holds the prints made from measured to now against the line learnt from
// those before. It is that of no prints unless they are more than noticeable darker
// with at least the probability at which the profile speaks:
//
//	P = Φ((d̄ − noticeable)/s),  s² = σ² + noise²/n
//
// where d̄ is the mean of n prints, σ the standard uncertainty of the line at their
// predictions, and noise that of one judgement, scale·√(ν/(ν−2)) of its Student-t.
// With no print from before, the line is its prior: who has never told of a print
// may have a printer that is dark.
func (l Learnt) surprise(measured, now time.Time, q Quiet) surprise {
	before, since := l.toldBetween(time.Time{}, measured), l.toldBetween(measured, now)
	n := float64(len(since))
	if n < leastSurprise {
		return surprise{}
	}
	line := fit(before, l.way)
	var darker, tone, white float64
	for _, j := range since {
		darker += (j.found() - line.at(float64(j.Tone), float64(j.White))) / n
		tone += float64(j.Tone) / n
		white += float64(j.White) / n
	}
	s := math.Hypot(line.sigmaAt(tone, white), judgeNoise/math.Sqrt(n))
	if distuv.UnitNormal.CDF((darker-float64(q.Noticeable))/s) < q.Probability {
		return surprise{}
	}
	return surprise{len(since), darker}
}

// toldBetween are the prints made from one moment until before another.
func (l Learnt) toldBetween(from, until time.Time) []Judged {
	var out []Judged
	for _, j := range l.told {
		if !j.At.Before(from) && j.At.Before(until) {
			out = append(out, j)
		}
	}
	return out
}

// doubtOfWhite is what the prints say against the display's white, in plain words;
// empty when they say nothing, and when there is no figure that they could be
// held against.
func doubtOfWhite(l Learnt, d Display, now time.Time, q Quiet) string {
	since := d.whiteKnown()
	if since.IsZero() {
		return ""
	}
	s := l.surprise(since, now, q)
	if s.prints == 0 {
		return ""
	}
	return fillIn("your last {prints} prints came out {stops} darker than predicted", "prints", s.prints, "stops", roughly(s.darker))
}
