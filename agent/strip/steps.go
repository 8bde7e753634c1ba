package strip

import (
	"math"

	"lampblack/rules"
)

// StepsAround are seven exposures that cover the shifts predicted, in stops, positive
// darker, and the picture as it is. They are 0.2 stop apart, or more where that doesn't
// reach; what isn't known is left out.
func StepsAround(predicted ...rules.Figure) []rules.Stops {
	low, high := 0.0, 0.0
	for _, f := range predicted {
		if v := float64(f); f.Known() {
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	steps := DefaultSteps()
	if low > -0.5 && high < 0.5 {
		return steps
	}
	between := float64(len(steps) - 1)
	apart := math.Max(0.2, math.Ceil((high-low)/between*10)/10)
	first := math.Floor((low+high-between*apart)/2/apart+0.5) * apart // 0 is a step
	for i := range steps {
		steps[i] = rules.Stops(first + float64(i)*apart)
	}
	return steps
}

// OutcomeLine is what to type to note the step that was picked of the picture
// named, as it stands on the strip.
func OutcomeLine(name string) string { return outcomeLine(name, name) }
