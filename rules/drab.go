package rules

import "math"

// drabness is how much a picture loses, in units of what makes it drab by the
// profile's own limits: 1 is drab. The greatest of the losses counts.
func drabness(now, should desk, pic *Picture, cs []chosen, q Quiet) float64 {
	l := lossesAt(now, should, pic, cs, q)
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
func lossesAt(now, should desk, pic *Picture, cs []chosen, q Quiet) [3]float64 {
	a, r := now.at(pic.MeanY), should.at(pic.MeanY)
	low, high := percentile(pic.Tones, shadowFrom), percentile(pic.Tones, shadowTo)
	lo, hi := percentile(pic.Tones, contrastFrom), percentile(pic.Tones, contrastTo)
	colours := (1 - colourfulnessRatio(&a, &r, cs)) / math.Max(leastLimit, 1-q.Colourful)
	contrast := (1 - contrastRatio(&a, &r, lo, hi)) / math.Max(leastLimit, 1-q.Contrast)
	steps := stepsLost(shadowStepsBetween(now.screen.Luminance, low, high),
		shadowStepsBetween(should.screen.Luminance, low, high)) / math.Max(leastLimit, q.StepsLost)
	return [3]float64{lossOfColour: loss(colours), lossOfContrast: loss(contrast), lossOfSteps: loss(steps)}
}

// leastLimit stands for a profile's limit of no loss at all.
const leastLimit = 1e-3

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
	cs := coloursOf(pic)
	lost := drabness(now, should, pic, cs, q)
	best, name := leastGain, ""
	for _, k := range catalogue {
		if k.reference == nil {
			continue
		}
		better := c.with(change{k, k.reference(c.target)})
		if better == now {
			continue // it is at its target, or moves nothing
		}
		if gain := lost - drabness(better, should, pic, cs, q); gain > best {
			best, name = gain, k.name
		}
	}
	return name
}
