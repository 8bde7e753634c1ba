package rules

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

// The priors of the learnt line, in stops: a person whom the model knows
// nothing of is neither darker nor lighter than it, and judges one print to a
// quarter of a stop. All are common practice, no source.
const (
	priorBias  = 0.25 // standard deviation of a around 0
	priorGain  = 0.3  // standard deviation of b around 1
	judgeNoise = 0.25 // standard deviation of one judgement
)

// MostStops bounds what an outcome can mean. Beyond it somebody slipped, or the
// journal is damaged: such a pair teaches nothing.
const MostStops = 4

// Outcome is how a print really came out, as the person judged it.
type Outcome string

// The outcomes that can be picked from a list. A test strip gives a number of
// stops instead. All compare the print with the screen.
const (
	AsJudged     Outcome = "as judged"
	BitDarker    Outcome = "a bit darker"
	MuchDarker   Outcome = "much darker"
	BitLighter   Outcome = "a bit lighter"
	FlatterPrint Outcome = "flatter"
)

// Outcomes are the outcomes in the order in which they are offered.
var Outcomes = []Outcome{AsJudged, BitDarker, MuchDarker, BitLighter, FlatterPrint}

// outcomeStops is what the words mean in stops, positive darker (common
// practice, no source). Flatter says nothing about lightness.
var outcomeStops = map[Outcome]Stops{AsJudged: 0, BitDarker: 0.25, MuchDarker: 0.7, BitLighter: -0.25}

// Words is the outcome as it is said. Beside a verdict, "as judged" alone would be as
// the verdict had it, and teach the opposite of what was meant.
func (o Outcome) Words() string {
	if o == AsJudged {
		return "as judged on the screen"
	}
	return string(o)
}

// Found is what the outcome says of the print's lightness, in stops, positive
// darker; NaN when it says nothing of that.
func (o Outcome) Found() Figure {
	if s, says := outcomeStops[o]; says {
		return Figure(s)
	}
	return Unknown
}

// Judged is one print that was predicted and then judged: when its file was
// written, the predicted shift of the whole picture against the targets, and the
// shift found, in stops.
type Judged struct {
	At        time.Time
	Predicted Stops
	Found     Stops
}

// teaches tells whether the pair can be meant.
func (j Judged) teaches() bool {
	return math.Abs(float64(j.Predicted)) <= MostStops && math.Abs(float64(j.Found)) <= MostStops
}

// Learnt is what the prints so far have taught of this person and this printer:
//
//	found = a + b·predicted + e,  a ~ N(0, 0.25²), b ~ N(1, 0.3²), e ~ N(0, 0.25²)
//
// by Bayesian linear regression. The zero value has learnt nothing.
type Learnt struct {
	Prints int     `json:"prints"` // how many prints stand behind it
	Bias   float64 `json:"bias"`   // a, the posterior mean, stops
	Gain   float64 `json:"gain"`   // b, the posterior mean; 0 while Prints is 0

	varBias, varGain, covar float64
	told                    []Judged // the prints behind it
}

// Learn fits the line to the prints. Pairs that can't be meant are left out.
func Learn(prints []Judged) Learnt {
	var told []Judged
	for _, j := range prints {
		if j.teaches() {
			told = append(told, j)
		}
	}
	if len(told) == 0 {
		return Learnt{}
	}
	return fit(told)
}

// fit is the posterior of the line; of no prints it is the prior.
func fit(prints []Judged) Learnt {
	// The posterior precision is the sum of the prior's and of the data's.
	const noise = judgeNoise * judgeNoise
	paa, pbb, pab := 1/(priorBias*priorBias), 1/(priorGain*priorGain), 0.0
	ra, rb := 0.0, pbb // precision times mean: a around 0, b around 1
	for _, j := range prints {
		x, y := float64(j.Predicted), float64(j.Found)
		paa += 1 / noise
		pab += x / noise
		pbb += x * x / noise
		ra += y / noise
		rb += x * y / noise
	}
	det := paa*pbb - pab*pab
	return Learnt{
		Prints:  len(prints),
		Bias:    (pbb*ra - pab*rb) / det,
		Gain:    (paa*rb - pab*ra) / det,
		varBias: pbb / det, varGain: paa / det, covar: -pab / det,
		told: prints,
	}
}

// Correct is the shift to expect where the model predicts shift, in stops.
func (l Learnt) Correct(shift float64) float64 {
	if l.Prints == 0 {
		return shift
	}
	return l.at(shift)
}

// at is the line at a predicted shift, in stops.
func (l Learnt) at(shift float64) float64 { return l.Bias + l.Gain*shift }

// found is the shift that the person will find where the model predicts shift, off
// by z standard uncertainties of the line, and what of it can be laid to the desk:
// what the person's prints always do doesn't count against it, for then every
// export would be warned about, but it counts for it.
func (l Learnt) found(shift, z float64) (found, ofDesk float64) {
	doubt := l.Uncertainty(shift) * z
	found = l.Correct(shift) + doubt
	departure := l.Correct(shift) - l.Correct(0) + doubt
	if found*departure <= 0 {
		return found, 0
	}
	return found, math.Copysign(math.Min(math.Abs(found), math.Abs(departure)), found)
}

// correctZones is a shift by zones as the person would find it; nil before the first
// outcome.
func (l Learnt) correctZones(s Shift) *Shift {
	if l.Prints == 0 {
		return nil
	}
	by := func(f Figure) Figure { return Figure(l.Correct(float64(f))) }
	return &Shift{by(s.Shadows), by(s.Midtones), by(s.Highlights), by(s.Whole)}
}

// Uncertainty is the standard uncertainty of Correct(shift) that comes from having
// seen few prints, in stops.
func (l Learnt) Uncertainty(shift float64) float64 {
	if l.Prints == 0 {
		return 0
	}
	return l.sigmaAt(shift)
}

// sigmaAt is the standard uncertainty of the line at a predicted shift, in stops.
func (l Learnt) sigmaAt(shift float64) float64 {
	return math.Sqrt(l.varBias + 2*l.covar*shift + l.varGain*shift*shift)
}

// LearntText is what was learnt as a sentence, with the number of prints behind it.
func LearntText(l Learnt) string {
	if l.Prints == 0 {
		return "Nothing is learnt yet: predictions are the model's own."
	}
	return fmt.Sprintf("Learnt from %s: where the model says 0, yours come out at %s stop; where it says +0.5, at %s (±%s).",
		plural(float64(l.Prints), "print"), signed(l.Correct(0)), signed(l.Correct(0.5)),
		strconv.FormatFloat(math.Max(0.1, l.Uncertainty(0.5)), 'f', 1, 64))
}
