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

// The inputs that are uncertain, as columns of the set.
const (
	inWhite = iota
	inRoom
	inDiffuse
	inContrast
	inAround
	inDrift
	inPerson // how well the learnt correction is known
	inputs
)

// measures names the measurement that would settle an input, where a person
// at the desk can make one.
var measures = [inputs]string{
	inWhite:  ScreenLuminance,
	inDrift:  ScreenLuminance,
	inRoom:   RoomLight,
	inAround: SurroundGrey,
}

// deviates is a fixed set of standard normal deviates, samples x inputs: an
// Owen-scrambled Halton set (gonum samplemv) through the normal quantile. The
// seed is fixed: the same desk always gives the same answer.
var deviates = sync.OnceValue(func() *mat.Dense {
	m := mat.NewDense(samples, inputs, nil)
	normal := standardNormal{}
	samplemv.Halton{Kind: samplemv.Owen, Q: normal, Src: rand.NewPCG(95, 48)}.Sample(m)
	return m
})

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
// uncertainty times z. Positive quantities are off by a factor (lognormal).
func (c *Conditions) disturbed(z []float64) (now, should desk) {
	off := func(q estimate, z float64) float64 { return q.value * math.Exp(q.sigma*z) }
	now = c.now()
	room := off(c.room, z[inRoom])
	now.screen.On, now.room = Lux(room), Lux(room)
	now.screen.White = Luminance(off(c.white, z[inWhite]) * c.driftFactor(room, driftExponent+c.drift*z[inDrift]))
	now.screen.Diffuse = off(c.diffuse, z[inDiffuse])
	now.screen.Contrast = math.Max(2, off(c.contrast, z[inContrast]))
	now.surround = math.Min(1, off(c.around, z[inAround]))
	should = c.reference()
	should.screen.Diffuse, should.screen.Contrast = now.screen.Diffuse, now.screen.Contrast
	return now, should
}

// effect is what one sample of the conditions does to the print: the tones' own shifts
// and the white's part of them in stops, the colourfulness ratio, and the share of shadow
// steps lost.
type effect struct{ whole, shadows, unabsorbed, colourful, stepsLost float64 }

// spread propagates the uncertainty of the conditions to the shift against the
// targets, and to the probability of each verdict.
func spread(c *Conditions, q Quiet, l Learnt, pic *Picture) Spread {
	small := coarse(pic)
	cs := coloursOf(small)
	shadowShare := shareBelow(small.Tones, shadowL)
	low, high := percentile(pic.Tones, shadowFrom), percentile(pic.Tones, shadowTo)
	z, how := deviates(), l.judged()
	whole, shadows := make([]float64, samples), make([]float64, samples)
	var darker, lighter, drab float64
	for i := range samples {
		now, should := c.disturbed(z.RawRowView(i))
		e := sample(now, should, small, cs)
		e.stepsLost = stepsLost(shadowStepsBetween(now.screen.Luminance, low, high),
			shadowStepsBetween(should.screen.Luminance, low, high))
		whole[i], e.whole = how.found(e.whole, e.unabsorbed)
		shadows[i], e.shadows = how.found(e.shadows, e.unabsorbed)
		if shadowShare < leastZone {
			e.shadows = 0
		}
		times := c.target.patience(now)
		noticeable, clear := times*float64(q.Noticeable), times*float64(q.Clear)
		darker += perSample(e.whole > noticeable || e.shadows > clear)
		lighter += perSample(e.whole < -noticeable || e.shadows < -clear)
		drab += perSample(1-e.colourful > times*(1-q.Colourful) || e.stepsLost > times*q.StepsLost)
	}
	measure, explains := mostTelling(z, whole, c.renewable())
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
	beyond := math.Max(t.White.beyond(float64(d.screen.White)),
		math.Max(t.room().beyond(float64(d.room)), t.Surround.beyond(d.surround)))
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
		whole:      s.whole.mean(),
		shadows:    s.shadows.mean(),
		unabsorbed: s.unabsorbed,
		colourful:  colourfulnessRatio(&a, &r, cs),
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
			return Figure(math.NaN())
		}
		return Figure(stat.Quantile(p, stat.LinInterp, s, nil))
	}
	return Interval{Low: at(0.16), Median: at(0.5), High: at(0.84), Darker: float64(passing) / math.Max(1, float64(len(s)))}
}

// renewable is the share of each input's variance that a measurement made now
// would take away: nothing of what was measured just now.
func (c *Conditions) renewable() (share [inputs]float64) {
	renewed := func(q estimate, fresh float64) float64 { return math.Max(0, 1-math.Pow(fresh/q.sigma, 2)) }
	share[inWhite] = renewed(c.white, sigmaWhiteMeasured)
	share[inRoom] = renewed(c.room, c.meter)
	if c.aged {
		share[inDrift] = 1
	}
	if c.Get(SurroundGrey).Assumed {
		share[inAround] = 1
	}
	return share
}

// leastNews is the share of the variance that a measurement must take away to be
// worth asking for.
const leastNews = 0.1

// mostTelling names the measurement that would take away the largest share of the
// variance of y: the squared correlation with the inputs that it fixes, as far as
// they can be renewed. It names none when there is nothing to be had.
func mostTelling(z *mat.Dense, y []float64, renewable [inputs]float64) (name string, explains float64) {
	explained := map[string]float64{}
	for in, measure := range measures {
		if measure == "" {
			continue
		}
		r := stat.Correlation(mat.Col(nil, in, z), y, nil)
		if !math.IsNaN(r) {
			explained[measure] += r * r * renewable[in]
		}
	}
	for _, m := range []string{RoomLight, ScreenLuminance, SurroundGrey} {
		if explained[m] > explains {
			name, explains = m, explained[m]
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
