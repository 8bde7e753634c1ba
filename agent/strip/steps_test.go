package strip

import (
	"math"
	"slices"
	"testing"

	"lampblack/rules"
)

// TestStepsAround: all that is predicted and the picture as it is are covered, to
// half a step, by seven exposures of which one is the picture as it is.
func TestStepsAround(t *testing.T) {
	unknown := rules.Unknown
	for _, predicted := range [][]rules.Figure{nil, {unknown}, {0.1, -0.2}} {
		if got := StepsAround(predicted...); !slices.Equal(got, DefaultSteps()) {
			t.Errorf("%v predicted: %v", predicted, got)
		}
	}
	for a := -2.0; a <= 2; a += 0.07 {
		for b := -2.0; b <= 2; b += 0.11 {
			steps := StepsAround(rules.Figure(a), unknown, rules.Figure(b))
			apart := float64(steps[1] - steps[0])
			if len(steps) != 7 || !slices.IsSorted(steps) || apart < 0.2-1e-9 || apart > 0.7+1e-9 {
				t.Fatalf("%.2f, %.2f: %v", a, b, steps)
			}
			for _, v := range []float64{a, b} {
				if v < float64(steps[0])-apart/2-1e-9 || v > float64(steps[6])+apart/2+1e-9 {
					t.Errorf("%.2f, %.2f: %v doesn't reach %.2f", a, b, steps, v)
				}
			}
			if !slices.ContainsFunc(steps, func(s rules.Stops) bool { return math.Abs(float64(s)) < 1e-9 }) {
				t.Errorf("%.2f, %.2f: %v lacks the picture as it is", a, b, steps)
			}
		}
	}
}
