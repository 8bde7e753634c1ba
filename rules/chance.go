package rules

import "fmt"

// chance is a probability as it is told: of so many samples nothing is certain.
func chance(p float64) string {
	switch {
	case p < 0.01:
		return "less than 1 %"
	case p > 0.99:
		return "more than 99 %"
	default:
		return fmt.Sprintf("%.0f %%", 100*p)
	}
}
