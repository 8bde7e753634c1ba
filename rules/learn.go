package rules

import (
	"math"
	"time"

	"gonum.org/v1/gonum/mat"
)

// The priors of what prints teach: a person whom the model knows nothing of is
// neither darker nor lighter than it, finds its tones as far off as it says, and feels
// as much of a change of the white as others who judge in the same way. All are common
// practice, no source.
const (
	priorBias       = 0.2  // standard deviation of a around 0, stops
	priorGain       = 0.45 // of ln g around 0
	priorUnabsorbed = 1.0  // of ln b around ln beta, at least: people say how they judge, and do otherwise

	// One judgement is off by a Student-t of so many degrees of freedom and this scale,
	// in stops: mostly a quarter, now and then far more.
	judgeFreedom = 4
	judgeScale   = 0.25

	// mostFound is the most that a judgement says, in stops: a slip or a joke beyond it
	// counts as that much.
	mostFound = 1.5
)

// leastTaught is how many outcomes it takes before a verdict goes by what they teach:
// one flips nothing.
const leastTaught = 3

// MostStops bounds what an outcome can mean. Beyond it somebody slipped, or the
// journal is damaged: such a pair teaches nothing.
const MostStops = 4

// Outcome is how a print really came out, as the person judged it.
type Outcome string

// The outcomes that can be picked from a list. A test strip gives a number of
// stops instead. All compare the print with the screen.
const (
	AsJudged    Outcome = "as judged"
	BitDarker   Outcome = "a bit darker"
	MuchDarker  Outcome = "much darker"
	BitLighter  Outcome = "a bit lighter"
	MuchLighter Outcome = "much lighter"
	DrabPrint   Outcome = "drab"

	// Flatter is DrabPrint in journals of earlier versions.
	Flatter Outcome = "flatter"
)

// Outcomes are the outcomes in the order in which they are offered.
var Outcomes = []Outcome{AsJudged, BitDarker, MuchDarker, BitLighter, MuchLighter, DrabPrint}

// outcomeStops is what the words mean in stops, positive darker (common
// practice, no source). Drab says nothing about lightness.
var outcomeStops = map[Outcome]Stops{AsJudged: 0, BitDarker: 0.25, MuchDarker: 0.7, BitLighter: -0.25, MuchLighter: -0.7}

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

// Judged is one print that was predicted and then judged.
type Judged struct {
	At    time.Time // when its file was written
	Tone  Stops     // the predicted shift of the whole picture against the targets, without the white's part
	White Stops     // log2 of the white as judged over the reference's
	Found Stops     // how much darker it was found
}

// teaches tells whether the print can be meant.
func (j Judged) teaches() bool {
	return math.Abs(float64(j.Tone)) <= MostStops && math.Abs(float64(j.White)) <= MostStops && math.Abs(float64(j.Found)) <= MostStops
}

// found is what the judgement says, bounded.
func (j Judged) found() float64 {
	return math.Min(mostFound, math.Max(-mostFound, float64(j.Found)))
}

// Learnt is what the prints so far have taught of this person and this printer:
//
//	found = a + g·tone + b·dW + e,  a ~ N(0, 0.2²), ln g ~ N(0, 0.45²), ln b ~ N(ln beta, s²)
//
// where tone and dW = log2(W_A/W_R) are the two parts of a prediction, s is what is known
// of beta, but at least 1.0, and e is Student-t with 4 degrees of freedom and scale 0.25
// stop, so that one slip moves little. It is the posterior's mode, with the covariance
// of its curvature there (K. L. Lange, R. J. A. Little, J. M. G. Taylor, Robust statistical
// modeling using the t distribution, 1989, for the weights). The zero value has learnt nothing.
type Learnt struct {
	Prints     int     `json:"prints"`     // how many prints stand behind it
	Bias       float64 `json:"bias"`       // a, stops
	Gain       float64 `json:"gain"`       // g; 0 while Prints is 0
	Unabsorbed float64 `json:"unabsorbed"` // b, stops a stop; 0 while Prints is 0

	way  Judging
	cov  *mat.SymDense // of a, ln g, ln b; nil while Prints is 0
	told []Judged      // the prints behind it
}

// Learn fits the line to the prints of somebody who judges in that way. Prints that
// can't be meant are left out.
func Learn(prints []Judged, way Judging) Learnt {
	var told []Judged
	for _, j := range prints {
		if j.teaches() {
			told = append(told, j)
		}
	}
	if len(told) == 0 {
		return Learnt{way: way}
	}
	return fit(told, way)
}

// line is the learnt line's parameters, a, ln g and ln b, with their prior.
type line struct{ at, prior, precision [3]float64 }

func priorLine(way Judging) line {
	beta := way.unabsorbed()
	s := math.Max(priorUnabsorbed, beta.sigma)
	prior := [3]float64{0, 0, math.Log(beta.value)}
	return line{prior, prior, [3]float64{1 / (priorBias * priorBias), 1 / (priorGain * priorGain), 1 / (s * s)}}
}

// of is what the line says of a print, with its derivatives by the parameters.
func (l *line) of(tone, white float64) (found float64, by [3]float64) {
	g, b := math.Exp(l.at[1])*tone, math.Exp(l.at[2])*white
	return l.at[0] + g + b, [3]float64{1, g, b}
}

// unlikeliness is the negative logarithm of the posterior, but for a constant.
func (l *line) unlikeliness(prints []Judged) (sum float64) {
	for i, p := range l.precision {
		sum += p * math.Pow(l.at[i]-l.prior[i], 2) / 2
	}
	for _, j := range prints {
		found, _ := l.of(float64(j.Tone), float64(j.White))
		r := (j.found() - found) / judgeScale
		sum += (judgeFreedom + 1) / 2. * math.Log1p(r*r/judgeFreedom)
	}
	return sum
}

// curvature is the information about the parameters, and the direction in which the
// posterior grows. A judgement far off weighs little:
//
//	w = (ν+1)/(ν·s² + r²)
func (l *line) curvature(prints []Judged) (information *mat.SymDense, gradient *mat.VecDense) {
	information, gradient = mat.NewSymDense(3, nil), mat.NewVecDense(3, nil)
	for i, p := range l.precision {
		information.SetSym(i, i, p)
		gradient.SetVec(i, p*(l.prior[i]-l.at[i]))
	}
	for _, j := range prints {
		found, by := l.of(float64(j.Tone), float64(j.White))
		r := j.found() - found
		w := (judgeFreedom + 1) / (judgeFreedom*judgeScale*judgeScale + r*r)
		x := mat.NewVecDense(3, by[:])
		information.SymRankOne(information, w, x)
		gradient.AddScaledVec(gradient, w*r, x)
	}
	return information, gradient
}

// fit is the posterior of the line; of no prints it is the prior. It climbs by
// Gauss-Newton steps, each halved until it is an improvement.
func fit(prints []Judged, way Judging) Learnt {
	const mostSteps, enough = 100, 1e-10
	l := priorLine(way)
	covariance := mat.NewSymDense(3, nil)
	for range mostSteps {
		information, gradient := l.curvature(prints)
		var factors mat.Cholesky
		if !factors.Factorize(information) || factors.InverseTo(covariance) != nil {
			break // never: the priors alone make it positive definite
		}
		var step mat.VecDense
		step.MulVec(covariance, gradient)
		moved := l.improve(prints, step.RawVector().Data)
		if moved < enough {
			break
		}
	}
	return Learnt{
		Prints: len(prints), way: way, cov: covariance, told: prints,
		Bias: l.at[0], Gain: math.Exp(l.at[1]), Unabsorbed: capped(math.Exp(l.at[2])),
	}
}

// improve goes along a step as far as it is an improvement, and gives how far that was.
func (l *line) improve(prints []Judged, step []float64) (moved float64) {
	before, from := l.unlikeliness(prints), l.at
	for part := 1.0; part > 1e-6; part /= 2 {
		moved = 0
		for i := range l.at {
			l.at[i] = from[i] + part*step[i]
			moved = math.Max(moved, math.Abs(part*step[i]))
		}
		if l.unlikeliness(prints) <= before {
			return moved
		}
	}
	l.at = from
	return 0
}

// Correct is the shift to expect of a print whose prediction has these two parts, the
// tones' own and the change of the white, in stops, positive darker.
func (l Learnt) Correct(tone, white float64) float64 {
	if l.Prints == 0 {
		return tone + l.way.unabsorbed().value*white
	}
	return l.at(tone, white)
}

// at is a fitted line at a prediction, in stops.
func (l Learnt) at(tone, white float64) float64 {
	return l.Bias + l.Gain*tone + l.Unabsorbed*white
}

// Model is the shift that the model itself predicts of a print, before anything was learnt,
// in stops.
func (l Learnt) Model(j Judged) float64 {
	return float64(j.Tone) + l.way.unabsorbed().value*float64(j.White)
}

// Uncertainty is the standard uncertainty of Correct that comes from having seen few
// prints, in stops: nothing before the first, when it is the model's own.
func (l Learnt) Uncertainty(tone, white float64) float64 {
	if l.Prints == 0 {
		return 0
	}
	return l.sigmaAt(tone, white)
}

// sigmaAt is the standard uncertainty of a fitted line, in stops.
func (l Learnt) sigmaAt(tone, white float64) float64 {
	by := mat.NewVecDense(3, []float64{1, l.Gain * tone, l.Unabsorbed * white})
	return math.Sqrt(mat.Inner(by, l.cov, by))
}

// judged is how a verdict is to read a prediction about somebody who judges in that way:
// what the prints teach counts in it once there are enough of them.
func (l Learnt) judged(way Judging) judgement {
	beta := way.unabsorbed()
	if l.Prints < leastTaught {
		return judgement{gain: 1, unabsorbed: beta, strength: strength}
	}
	return judgement{
		bias: l.Bias, gain: l.Gain,
		unabsorbed: estimate{l.Unabsorbed, math.Min(beta.sigma, math.Sqrt(l.cov.At(2, 2)))},
		strength:   estimate{strength.value, math.Sqrt(l.cov.At(1, 1))},
	}
}

// judgement is how a person finds what the model predicts, and how sure that is.
type judgement struct {
	bias, gain           float64  // a, stops; g
	unabsorbed, strength estimate // beta and u, with the uncertainty of their logarithms
	raised               raised   // by how much the file was raised after it was judged
}

// found is the shift that the person will find, in stops, of a prediction with these two
// parts, and what of it can be laid to the desk. What the person's prints always do
// doesn't count against it, for then every export would be warned about, but it counts
// for it: the smaller of found and found − a, and nothing where they differ in sign.
func (j judgement) found(tone, unabsorbed float64) (found, ofDesk float64) {
	departure := j.gain*tone + unabsorbed
	found = j.bias + departure
	if found*departure <= 0 {
		return found, 0
	}
	return found, math.Copysign(math.Min(math.Abs(found), math.Abs(departure)), found)
}

// correctZones is a shift by zones as the person would find it; nil before the first
// outcome.
func (l Learnt) correctZones(t Against) *Shift {
	if l.Prints == 0 {
		return nil
	}
	by := func(f Figure) Figure {
		return Figure(l.Correct(float64(f-t.Unabsorbed), float64(t.WhiteChange)))
	}
	return &Shift{by(t.Shift.Shadows), by(t.Shift.Midtones), by(t.Shift.Highlights), by(t.Shift.Whole)}
}
