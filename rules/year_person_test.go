package rules

import (
	"math"
	"math/rand/v2"
)

// person is an invented one, to whom the model's figures apply only roughly. In
// place of the model's own parameters come theirs.
//
// Every deviation is ours (no source) but for those of beta and u, which are the
// evidence's; and none is kinder than what the model itself says it doesn't know, but
// for bias: the model's prior for it, a fifth of a stop, is mostly the printer's, and a
// printer that is always dark is no fault of the desk.
type person struct {
	judges     Judging // truly, whatever the profile says
	beta       float64 // in place of beta
	strength   float64 // in place of u
	turnsUp    float64 // in place of driftExponent
	turnsFrom  Lux     // the light from which on they turn a screen up, in place of the reference
	adapts     float64 // factor on the room's light in S_R: moves the nodes of the surround
	share      float64 // in place of the profile's share of the field
	bias, gain float64 // judged = bias + gain·shift, in stops
	threshold  float64 // factor on the steps that matter
	inWords    bool    // says how a print came out in a word, not by a test strip
}

// printNoise is by how much one print differs from the next for reasons that
// have nothing to do with the desk, in stops.
const printNoise = 0.05

func anyone(r *rand.Rand) person {
	w := threeWays[r.IntN(2)] // by themselves, or beside the screen
	return person{
		judges:    w.judging,
		beta:      math.Min(1, w.beta*math.Exp(w.sigma*r.NormFloat64())),
		strength:  published(r) * math.Exp(0.2*r.NormFloat64()),
		turnsUp:   math.Max(0, driftExponent+sigmaDrift*r.NormFloat64()),
		turnsFrom: Lux(between(r, 24, 64)),
		adapts:    math.Exp(0.3 * r.NormFloat64()),
		share:     math.Min(0.9, math.Max(0.3, 0.6+0.15*r.NormFloat64())),
		bias:      0.08 * r.NormFloat64(),
		gain:      math.Exp(0.2 * r.NormFloat64()),
		threshold: math.Exp(0.2 * r.NormFloat64()),
		inWords:   r.IntN(2) == 0,
	}
}

// look is the desk as this person sees it.
func (who person) look(d desk, mean float64) look {
	d.room *= Lux(who.adapts)
	d.share = who.share
	d.eye = observer{unabsorbed: who.beta, surround: who.strength}
	return d.at(mean)
}

// sheet is how one picture comes out for a person: the truth of the simulation.
type sheet struct {
	whole, shadows float64 // stops against the targets; shadows are 0 where there are too few
	pale           float64 // 1 less the ratio of colourfulness; 0 without colours
	flat           float64 // 1 less the ratio of contrast; 0 without contrast
	stepsLost      float64
}

// prints is what a person finds who judged a picture at the desk now, where it
// should have been another. Both are the true ones.
func (who person) prints(now, should desk, pic *Picture) sheet {
	a, r := who.look(now, pic.MeanY), who.look(should, pic.MeanY)
	s := summarise(&a, &r, pic.Tones)
	judged := func(shift float64) float64 { return who.bias + who.gain*shift }
	low, high := percentile(pic.Tones, shadowFrom), percentile(pic.Tones, shadowTo)
	p := sheet{
		whole: judged(s.wholeShift()),
		pale:  1 - colourfulnessRatio(&a, &r, coloursOf(pic)),
		flat:  1 - contrastRatio(&a, &r, percentile(pic.Tones, contrastFrom), percentile(pic.Tones, contrastTo)),
		stepsLost: stepsLost(shadowStepsBetween(now.screen.Luminance, low, high),
			shadowStepsBetween(should.screen.Luminance, low, high)),
	}
	if shareBelow(pic.Tones, shadowL) >= leastZone {
		p.shadows = judged(s.of(s.shadows))
	}
	for _, lost := range []*float64{&p.pale, &p.flat} {
		if math.IsNaN(*lost) {
			*lost = 0
		}
	}
	return p
}

// tells is what the person says of a print that is so many stops darker than it should
// be: mostly right to a quarter of a stop, now and then far off (Student-t with 4 degrees
// of freedom and scale 0.25 stop), and from some of them only a word.
func (who person) tells(r *rand.Rand, darker float64) Stops {
	var squares float64
	for range 4 {
		squares += math.Pow(r.NormFloat64(), 2)
	}
	said := darker + 0.25*r.NormFloat64()/math.Sqrt(squares/4)
	if who.inWords {
		return nearestWord(said)
	}
	return Stops(said)
}

// nearestWord is what the word means that is nearest to so many stops.
func nearestWord(said float64) Stops {
	nearest := outcomeStops[AsJudged]
	for _, o := range Outcomes {
		stops, says := outcomeStops[o]
		if says && math.Abs(said-float64(stops)) < math.Abs(said-float64(nearest)) {
			nearest = stops
		}
	}
	return nearest
}

// found is what the person says of a print.
type found int

const (
	foundFine     found = iota
	foundDoubtful       // noticeably dark or drab, but not by a clear margin
	foundDrab           // by a clear margin
	foundDark           // by a clear margin
)

// clearMargin is how many times the steps that matter to a person a print must
// pass to be truly dark or truly drab. At the profile's steps that is 0.3 stop of
// the whole picture or 0.66 of its shadows.
const clearMargin = 2

// judge is the person's word on one print, which is noise stops darker than the
// desk has made it.
func (who person) judge(p sheet, q Quiet, noise float64) found {
	passes := func(times float64) (isDark, isDrab bool) {
		times *= who.threshold
		isDark = p.whole+noise > times*float64(q.Noticeable) || p.shadows+noise > times*float64(q.Clear)
		isDrab = p.pale > times*(1-q.Colourful) || p.flat > times*(1-q.Contrast) || p.stepsLost > times*q.StepsLost
		return isDark, isDrab
	}
	surelyDark, surelyDrab := passes(clearMargin)
	isDark, isDrab := passes(1)
	switch {
	case surelyDark:
		return foundDark
	case surelyDrab:
		return foundDrab
	case isDark || isDrab:
		return foundDoubtful
	default:
		return foundFine
	}
}
