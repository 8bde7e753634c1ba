package strip

import (
	"math"

	"lampblack/rules"
)

// StepsAround are seven exposures around the shift that is foreseen, in stops,
// positive darker: it and the picture as it is lie well inside. A shift that isn't
// known gives DefaultSteps.
func StepsAround(foreseen rules.Figure) []rules.Stops {
	steps := DefaultSteps()
	if !foreseen.Known() {
		return steps
	}
	const apart, farthest = 0.2, 0.4 // so far, the picture as it is stays among them with one beyond
	middle := math.Round(float64(foreseen)/apart) * apart
	middle = math.Copysign(math.Min(math.Abs(middle), farthest), middle)
	for i := range steps {
		steps[i] += rules.Stops(middle)
	}
	return steps
}

// OutcomeLine is what to type to note the step that was picked of the picture
// named, as it stands on the strip.
func OutcomeLine(name string) string { return command(name, name) }
