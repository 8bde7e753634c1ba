package strip

import (
	"math"
	"slices"
	"testing"

	"lampblack/rules"
)

// TestStepsAround: what is foreseen and the picture as it is are both among the
// steps, with one beyond, up to a stop.
func TestStepsAround(t *testing.T) {
	if got := StepsAround(rules.Figure(math.NaN())); !slices.Equal(got, DefaultSteps()) {
		t.Errorf("nothing foreseen: %v", got)
	}
	for foreseen := -2.0; foreseen <= 2; foreseen += 0.03 {
		steps := StepsAround(rules.Figure(foreseen))
		if len(steps) != 7 || !slices.IsSorted(steps) {
			t.Fatalf("%.2f: %v", foreseen, steps)
		}
		within := func(v float64) bool { return float64(steps[1])-1e-9 <= v && v <= float64(steps[5])+1e-9 }
		if !within(0) || math.Abs(foreseen) <= 0.8 && !within(foreseen) {
			t.Errorf("%.2f: %v", foreseen, steps)
		}
	}
}
