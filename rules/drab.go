package rules

import "math"

// drabness is how much a picture loses, in units of what makes it drab by the
// profile's own limits: 1 is drab. The greater of the two losses counts.
func drabness(now, should desk, pic *Picture, cs []chosen, q Quiet) float64 {
	a, r := now.at(pic.MeanY), should.at(pic.MeanY)
	low, high := percentile(pic.Tones, shadowFrom), percentile(pic.Tones, shadowTo)
	colours := (1 - colourfulnessRatio(&a, &r, cs)) / math.Max(leastLimit, 1-q.Colourful)
	steps := stepsLost(shadowStepsBetween(now.screen.Luminance, low, high),
		shadowStepsBetween(should.screen.Luminance, low, high)) / math.Max(leastLimit, q.StepsLost)
	return math.Max(loss(colours), loss(steps))
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

// drabCause is the condition that alone, put at its target, would give back most
// of the colours or shadow steps that are lost; empty when none gives back
// anything to speak of. Shares of lightness don't tell that: the light that washes
// out colours need not darken anything.
func drabCause(c *Conditions, pic *Picture, q Quiet) string {
	now, should := c.now(), c.reference()
	cs := coloursOf(pic)
	lost := drabness(now, should, pic, cs, q)
	best, name := leastGain, ""
	for _, k := range catalogue {
		better := now
		for _, way := range k.departures {
			better = way.from(better, should)
		}
		if better == now {
			continue // it is at its target, or moves nothing
		}
		if gain := lost - drabness(better, should, pic, cs, q); gain > best {
			best, name = gain, k.name
		}
	}
	return name
}
