package rules

import "math"

// drabness is how much a picture loses, in units of what makes it drab by the
// profile's own limits: 1 is drab. The greatest of the losses counts.
func (s subject) drabness(now, should desk, q Quiet) float64 {
	l := s.lossesAt(now, should, q)
	return max(l[lossOfColour], l[lossOfContrast], l[lossOfSteps])
}

// The losses that make a print drab, as [lossesAt] has them.
const (
	lossOfColour = iota
	lossOfContrast
	lossOfSteps
)

// lossesAt is what the print loses of a picture judged at the desk now, each over the
// limit from which it makes it drab.
func (s subject) lossesAt(now, should desk, q Quiet) [3]float64 {
	a, r := now.at(s.pic.MeanY), should.at(s.pic.MeanY)
	limits := lossLimits(q)
	colours := (1 - colourfulnessRatio(&a, &r, s.colours)) / limits[lossOfColour]
	contrast := (1 - s.contrastRatio(&a, &r)) / limits[lossOfContrast]
	steps := s.stepsLost(now, should) / limits[lossOfSteps]
	return [3]float64{lossOfColour: loss(colours), lossOfContrast: loss(contrast), lossOfSteps: loss(steps)}
}

// lossLimits are the losses from which they make a print drab.
func lossLimits(q Quiet) [3]float64 {
	const least = 1e-3 // stands for a limit of no loss at all
	return [3]float64{
		lossOfColour:   math.Max(least, 1-q.Colourful),
		lossOfContrast: math.Max(least, 1-q.Contrast),
		lossOfSteps:    math.Max(least, q.StepsLost),
	}
}

// loss is nothing where there was nothing to lose, or where something is won.
func loss(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	return v
}

// leastGain is how much of what makes a picture drab a condition must give back
// to count as its cause.
const leastGain = 0.1

// drabCause is the condition that alone, put at its reference, would give back most
// of the colours, contrast or shadow steps that are lost; empty when none gives back
// anything to speak of. Shares of lightness don't tell that: the light that washes
// out colours need not darken anything.
func drabCause(c *Conditions, pic *Picture, q Quiet) string {
	now, should := c.now(), c.reference()
	s := subjectOf(pic)
	lost := s.drabness(now, should, q)
	best, name := leastGain, ""
	for _, k := range catalogue {
		if k.reference == nil {
			continue
		}
		better := c.with(change{k, k.reference(c.target)})
		if better == now {
			continue // it is at its target, or moves nothing
		}
		if gain := lost - s.drabness(better, should, q); gain > best {
			best, name = gain, k.name
		}
	}
	return name
}
