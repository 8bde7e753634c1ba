package rules

import "math"

// The priors of the learnt line, in stops: a person whom the model knows
// nothing of is neither darker nor lighter than it, and judges one print to a
// quarter of a stop. All are common practice, no source.
const (
	priorBias  = 0.25 // standard deviation of a around 0
	priorGain  = 0.3  // standard deviation of b around 1
	judgeNoise = 0.25 // standard deviation of one judgement
)

// mostStops bounds what an outcome can mean. Beyond it somebody slipped, or the
// journal is damaged: such a pair teaches nothing.
const mostStops = 4

// Outcome is how a print really came out, as the person judged it.
type Outcome string

// The outcomes that can be picked from a list. A test strip gives a number of
// stops instead.
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

// Stops is what the outcome says of the print's lightness, if anything.
func (o Outcome) Stops() (s Stops, says bool) {
	s, says = outcomeStops[o]
	return s, says
}

// Judged is one print that was predicted and then judged: the predicted shift
// of the whole picture against the targets, and the shift found, in stops.
type Judged struct {
	Predicted Stops
	Found     Stops
}

// Learnt is what the prints so far have taught of this person and this printer:
//
//	found = a + b·predicted + e,  a ~ N(0, 0.25²), b ~ N(1, 0.3²), e ~ N(0, 0.25²)
//
// by Bayesian linear regression. The zero value has learnt nothing.
type Learnt struct {
	Prints int     `json:"prints"` // how many prints stand behind it
	Bias   float64 `json:"bias"`   // a, the posterior mean, stops
	Gain   float64 `json:"gain"`   // b, the posterior mean; 0 stands for 1 while Prints is 0

	varBias, varGain, covar float64
}

// Learn fits the line to the prints. Pairs that can't be meant are left out.
func Learn(prints []Judged) Learnt {
	// The posterior precision is the sum of the prior's and of the data's.
	const noise = judgeNoise * judgeNoise
	paa, pbb, pab := 1/(priorBias*priorBias), 1/(priorGain*priorGain), 0.0
	ra, rb := 0.0, pbb // precision times mean: a around 0, b around 1
	n := 0
	for _, j := range prints {
		x, y := float64(j.Predicted), float64(j.Found)
		if !(math.Abs(x) <= mostStops && math.Abs(y) <= mostStops) {
			continue
		}
		n++
		paa += 1 / noise
		pab += x / noise
		pbb += x * x / noise
		ra += y / noise
		rb += x * y / noise
	}
	if n == 0 {
		return Learnt{}
	}
	det := paa*pbb - pab*pab
	return Learnt{
		Prints:  n,
		Bias:    (pbb*ra - pab*rb) / det,
		Gain:    (paa*rb - pab*ra) / det,
		varBias: pbb / det, varGain: paa / det, covar: -pab / det,
	}
}

// Correct is the shift to expect where the model predicts shift, in stops.
func (l Learnt) Correct(shift float64) float64 {
	if l.Prints == 0 {
		return shift
	}
	return l.Bias + l.Gain*shift
}

// Doubt is the standard uncertainty of Correct(shift) that comes from having
// seen few prints, in stops.
func (l Learnt) Doubt(shift float64) float64 {
	if l.Prints == 0 {
		return 0
	}
	return math.Sqrt(l.varBias + 2*l.covar*shift + l.varGain*shift*shift)
}
