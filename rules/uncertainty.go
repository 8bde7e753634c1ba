package rules

import (
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"sync"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/stat/samplemv"
)

// samples is the size of the low-discrepancy set that carries the uncertainty
// of the conditions through the model.
const samples = 256

// deviates is the fixed set of standard normal deviates, a row a sample, with the
// columns of all inputs.
var deviates = sync.OnceValue(func() *mat.Dense { return deviatesOf(columns(uncertain)) })

// deviatesOf are the first columns of an Owen-scrambled Halton set (gonum samplemv)
// through the normal quantile. The seed is fixed: the same desk always gives the
// same answer. The set is made column by column, each from its own prime and from
// what the columns before it have left of the one stream of random digits: more
// columns behind a column leave it as it is, to the bit. So an input names its own
// column, for ever, and a new one takes the next: it moves no figure by being
// there, only by being uncertain.
func deviatesOf(columns int) *mat.Dense {
	m := mat.NewDense(samples, columns, nil)
	samplemv.Halton{Kind: samplemv.Owen, Q: standardNormal{}, Src: rand.NewPCG(95, 48)}.Sample(m)
	return m
}

// standardNormal turns points of the unit cube into independent deviates.
type standardNormal struct{}

func (standardNormal) Quantile(x, p []float64) []float64 {
	if x == nil {
		x = make([]float64, len(p))
	}
	for i := range p {
		x[i] = distuv.UnitNormal.Quantile(p[i])
	}
	return x
}

// disturbed is the desk and its reference with every input off by its standard
// uncertainty times its deviate in z, a row of [deviates].
func (c *Conditions) disturbed(z []float64) drawn {
	s := drawn{now: c.now(), should: c.reference()}
	for _, in := range uncertain {
		s = in.apply(c, s, in.sigma(c)*z[in.column])
	}
	return s
}

// effect is what one sample of the conditions does to the print: shifts in stops, the
// colourfulness ratio, and the share of shadow steps lost.
type effect struct{ whole, shadows, colourful, stepsLost float64 }

// spread propagates the uncertainty of the conditions to the shift against the
// targets, and to the probability of each verdict.
func spread(c *Conditions, q Quiet, l Learnt, pic *Picture) Spread {
	small := coarse(pic)
	cs := coloursOf(small)
	shadowShare := shareBelow(small.Tones, shadowL)
	low, high := percentile(pic.Tones, shadowFrom), percentile(pic.Tones, shadowTo)
	z := deviates()
	whole, shadows := make([]float64, samples), make([]float64, samples)
	var darker, lighter, drab float64
	for i := range samples {
		d := c.disturbed(z.RawRowView(i))
		e := sample(d.now, d.should, small, cs)
		e.stepsLost = stepsLost(shadowStepsBetween(d.now.screen.Luminance, low, high),
			shadowStepsBetween(d.should.screen.Luminance, low, high))
		whole[i], e.whole = l.found(e.whole, d.person)
		shadows[i], e.shadows = l.found(e.shadows, d.person)
		if shadowShare < leastZone {
			e.shadows = 0
		}
		times := c.target.patience(d.now)
		noticeable, clear := times*float64(q.Noticeable), times*float64(q.Clear)
		darker += perSample(e.whole > noticeable || e.shadows > clear)
		lighter += perSample(e.whole < -noticeable || e.shadows < -clear)
		drab += perSample(1-e.colourful > times*(1-q.Colourful) || e.stepsLost > times*q.StepsLost)
	}
	measure, explains := mostTelling(c, z, whole)
	return Spread{
		Whole: interval(whole, q.Noticeable), Shadows: interval(shadows, q.Noticeable),
		Darker: darker, Lighter: lighter, Drab: drab,
		Measure: measure, Explains: explains,
	}
}

// insideTargets is how many times the steps that matter a shift must be while
// everything is in target. The targets are ranges that the person has chosen: a
// desk that moves about within them is no fault, and a notice about it would nag.
const insideTargets = 3

// targetEdge is how far beyond a target, relative, that patience has run out. A
// desk set to the very end of a range would be outside it in half of the samples,
// for no better reason than the meter's error.
const targetEdge = 0.1

// patience is how many times the steps that matter a shift must be at a desk:
// insideTargets while everything that can be set is in target, 1 where something
// is out of it by more than targetEdge.
func (t Target) patience(d desk) float64 {
	beyond := 0.0
	for _, k := range catalogue {
		if k.solvable() {
			beyond = math.Max(beyond, k.allowed(t).beyond(k.read(d)))
		}
	}
	return math.Max(1, insideTargets-(insideTargets-1)*beyond/targetEdge)
}

// perSample is what one sample adds to a probability.
func perSample(hit bool) float64 {
	if hit {
		return 1.0 / samples
	}
	return 0
}

// sample compares one disturbed desk with its reference.
func sample(now, should desk, pic *Picture, cs []chosen) effect {
	a, r := now.at(pic.MeanY), should.at(pic.MeanY)
	s := summarise(&a, &r, pic.Tones)
	return effect{
		whole:     s.whole.mean(),
		shadows:   s.shadows.mean(),
		colourful: colourfulnessRatio(&a, &r, cs),
	}
}

// leastZone is the share of a picture below which its shadows are too few to
// decide a verdict.
const leastZone = 0.02

// leastSteps is how many steps there have to be on the screen before it means
// anything that some are lost.
const leastSteps = 10

// stepsLost is the share of the shadow steps seen now that would not be there
// on the same desk at its targets.
func stepsLost(now, should float64) float64 {
	if now < leastSteps {
		return 0
	}
	return 1 - should/now
}

// interval is the median with the 16th and 84th percentile, and the probability of
// being darker than the noticeable step. A sample without a figure (all of its tones
// were lost) has no say in it.
func interval(v []float64, noticeable Stops) Interval {
	s := slices.DeleteFunc(slices.Clone(v), math.IsNaN)
	slices.Sort(s)
	passing := len(s) - sort.SearchFloat64s(s, math.Nextafter(float64(noticeable), math.Inf(1)))
	at := func(p float64) Figure {
		if len(s) == 0 {
			return Unknown
		}
		return Figure(stat.Quantile(p, stat.LinInterp, s, nil))
	}
	return Interval{Low: at(0.16), Median: at(0.5), High: at(0.84), Darker: float64(passing) / math.Max(1, float64(len(s)))}
}

// leastNews is the share of the variance that a measurement must take away to be
// worth asking for.
const leastNews = 0.1

// mostTelling names the condition whose measurement would take away the largest
// share of the variance of y: the squared correlation with those of its inputs that
// a measurement fixes, as far as they can be renewed. It names none when there is
// nothing to be had.
func mostTelling(c *Conditions, z *mat.Dense, y []float64) (name string, explains float64) {
	for _, k := range catalogue {
		explained := 0.0
		for _, in := range k.inputs {
			if in.renewable == nil {
				continue
			}
			r := stat.Correlation(mat.Col(nil, in.column, z), y, nil)
			if !math.IsNaN(r) {
				explained += r * r * in.renewable(c)
			}
		}
		if explained > explains {
			name, explains = k.name, explained
		}
	}
	if explains < leastNews {
		return "", 0
	}
	return name, explains
}

// coarse is a picture of few tones and colours with nearly the same averages:
// ten groups in each zone, and the colours that cover most of it.
func coarse(pic *Picture) *Picture {
	small := &Picture{MeanY: pic.MeanY, Colours: pic.Colours}
	for _, edge := range [][2]float64{{0, shadowL}, {shadowL, highlightL}, {highlightL, 200}} {
		small.Tones = append(small.Tones, grouped(tonesBetween(pic.Tones, edge[0], edge[1]), 10)...)
	}
	const most = 24
	if len(small.Colours) > most {
		small.Colours = append([]Colour(nil), pic.Colours...)
		sort.SliceStable(small.Colours, func(i, j int) bool { return small.Colours[i].Share > small.Colours[j].Share })
		small.Colours = small.Colours[:most]
	}
	return small
}

// grouped merges neighbouring tones into about n groups of equal share, each
// at its mean luminance.
func grouped(tones []Tone, n int) []Tone {
	var total float64
	for _, t := range tones {
		total += t.Share
	}
	var out []Tone
	var sum Tone
	for i, t := range tones {
		sum.Y += t.Y * t.Share
		sum.Share += t.Share
		if (sum.Share >= total/float64(n) || i == len(tones)-1) && sum.Share > 0 {
			out = append(out, Tone{Y: sum.Y / sum.Share, Share: sum.Share})
			sum = Tone{}
		}
	}
	return out
}
