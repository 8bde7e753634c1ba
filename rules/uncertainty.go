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

// effect is what one sample of the conditions does to the print: shifts in stops as the
// person finds them and as far as they are the desk's, and what is left of colour,
// contrast and shadow steps.
type effect struct {
	wholeFound, shadowsFound   float64
	whole, shadows             float64 // the desk's part
	colourful, contrast        float64 // ratios; NaN where there is nothing to lose
	stepsLost                  float64
	darkens, lightens, deadens float64 // how many times the steps that matter it takes, for each side
}

// spread propagates the uncertainty of the conditions, and of the model, to the shift
// against the targets, and to the probability of each verdict.
func spread(c *Conditions, q Quiet, pic *Picture) Spread {
	s := newSampler(c, pic)
	z := deviates()
	whole, shadows := make([]float64, samples), make([]float64, samples)
	var darker, lighter, drab float64
	for i := range samples {
		e := s.effect(z.RawRowView(i))
		whole[i], shadows[i] = e.wholeFound, e.shadowsFound
		darker += perSample(e.isDarker(q))
		lighter += perSample(e.isLighter(q))
		drab += perSample(e.isDrab(q))
	}
	t := tell(c, z, whole)
	return Spread{
		Whole: interval(whole, q.Noticeable), Shadows: interval(shadows, q.Noticeable),
		Darker: darker, Lighter: lighter, Drab: drab,
		Measure: t.measure, Explains: t.explains, DeskShare: t.desk, ModelShare: t.model,
	}
}

// isDarker tells that the whole passes its step, or that the shadows pass theirs while
// the whole is not noticeably lighter.
func (e effect) isDarker(q Quiet) bool {
	noticeable, clear := float64(q.Noticeable), float64(q.Clear)
	return e.whole > e.darkens*noticeable || e.shadows > e.darkens*clear && e.whole > -noticeable
}

// isLighter is the same in the other direction.
func (e effect) isLighter(q Quiet) bool {
	noticeable, clear := float64(q.Noticeable), float64(q.Clear)
	return e.whole < -e.lightens*noticeable || e.shadows < -e.lightens*clear && e.whole < noticeable
}

// isDrab tells that colour, contrast or shadow steps are lost beyond what matters.
func (e effect) isDrab(q Quiet) bool {
	return 1-e.colourful > e.deadens*(1-q.Colourful) || 1-e.contrast > e.deadens*(1-q.Contrast) || e.stepsLost > e.deadens*q.StepsLost
}

// insideTargets is how many times the steps that matter a shift must be while
// everything is in target. The targets are ranges that the person has chosen: a
// desk that moves about within them is no fault, and a notice about it would nag. In the
// simulated year 2 and 4 do as well (YEAR.md).
const insideTargets = 3

// targetEdge is how far beyond a target, relative, that patience has run out. A
// desk set to the very end of a range would be outside it in half of the samples,
// for no better reason than the meter's error.
const targetEdge = 0.1

// patience is how many times the steps that matter a shift to that side must be at a
// desk: insideTargets while nothing that makes for it is out of its target, 1 where
// something is by more than targetEdge. A white above its target is no reason to be
// less patient with a print that comes out lighter.
func (t Target) patience(d desk, to side) float64 {
	beyond := 0.0
	for _, k := range catalogue {
		if !k.solvable() {
			continue
		}
		v, r := k.read(d), k.allowed(t)
		if v > r.High && k.above&to != 0 || v < r.Low && k.below&to != 0 {
			beyond = math.Max(beyond, r.beyond(v))
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

// sampler works out what each sample does to one picture.
type sampler struct {
	c          *Conditions
	subject    // coarse, with the ends of the picture as it is
	hasShadows bool

	// The patience with the desk as far as it is known. A sample has no less: that a meter
	// is not exact is no fault of a desk at the end of its range.
	darkens, lightens float64
}

func newSampler(c *Conditions, pic *Picture) sampler {
	small, desk := coarse(pic), c.now()
	return sampler{
		c: c, subject: subject{small, coloursOf(small), endTonesOf(pic.Tones)},
		hasShadows: shareBelow(small.Tones, shadowL) >= leastZone,
		darkens:    c.target.patience(desk, toDarker), lightens: c.target.patience(desk, toLighter),
	}
}

// effect compares one disturbed desk with its reference.
func (s *sampler) effect(z []float64) effect {
	d := s.c.disturbed(z)
	a, r := d.now.at(s.pic.MeanY), d.should.at(s.pic.MeanY)
	sum := summarise(&a, &r, s.pic.Tones)
	e := effect{
		colourful: colourfulnessRatio(&a, &r, s.colours),
		contrast:  s.contrastRatio(&a, &r),
		stepsLost: s.stepsLost(d.now, d.should),
		darkens:   math.Max(s.darkens, s.c.target.patience(d.now, toDarker)),
		lightens:  math.Max(s.lightens, s.c.target.patience(d.now, toLighter)),
	}
	e.deadens = math.Min(e.darkens, e.lightens)
	e.wholeFound, e.whole = s.c.how.found(sum.whole.mean(), sum.unabsorbed-s.c.how.raised.whole)
	e.shadowsFound, e.shadows = s.c.how.found(sum.shadows.mean(), sum.unabsorbed-s.c.how.raised.shadows)
	if !s.hasShadows {
		e.shadows = 0
	}
	return e
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

// leastNews is the share of the desk's variance that a measurement must take away to be
// worth asking for.
const leastNews = 0.1

// telling is what the variance of a shift comes from.
type telling struct {
	desk, model float64 // shares of the desk's conditions and of the model itself, which add up to 1
	measure     string  // the condition whose measurement would take away most of the desk's part; empty: none would
	explains    float64 // how much of it
}

// tell takes the variance of y apart: squared correlations with the inputs, over their
// sum. What a measurement would take away is that of its condition's inputs, as far as
// they can be renewed.
func tell(c *Conditions, z *mat.Dense, y []float64) telling {
	var t telling
	explained := func(in input) float64 {
		r := stat.Correlation(mat.Col(nil, in.column, z), y, nil)
		if math.IsNaN(r) || in.sigma(c) == 0 {
			return 0
		}
		return r * r
	}
	for _, in := range uncertain {
		if in.model {
			t.model += explained(in)
		} else {
			t.desk += explained(in)
		}
	}
	for _, k := range catalogue {
		news := 0.0
		for _, in := range k.inputs {
			if in.renewable != nil {
				news += explained(in) * in.renewable(c)
			}
		}
		if news > t.explains*t.desk {
			t.measure, t.explains = k.name, news/t.desk
		}
	}
	if t.explains < leastNews {
		t.measure, t.explains = "", 0
	}
	if sum := t.desk + t.model; sum > 0 {
		t.desk, t.model = t.desk/sum, t.model/sum
	}
	return t
}

// coarse is a picture of few tones and colours with nearly the same averages:
// ten groups in each zone, and the colours that cover most of it.
func coarse(pic *Picture) *Picture {
	small := &Picture{MeanY: pic.MeanY, Colours: pic.Colours}
	for _, edge := range [][2]float64{{0, shadowL}, {shadowL, highlightL}, {highlightL, math.Inf(1)}} {
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
