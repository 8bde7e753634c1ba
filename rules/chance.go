package rules

import (
	"fmt"
	"math"
)

// surely is the probability beyond which no figure is told. A probability is counted
// among 256 samples of a model that is itself uncertain: that none of them is dark is
// no proof that nothing can be.
const surely = 0.99

// Chance is a probability (0..1) of a [Spread] as a person would say it, in whole
// percent, and never 0 % or 100 %; "–" where there is none.
func Chance(p float64) string {
	switch {
	case math.IsNaN(p):
		return "–"
	case p > surely:
		return "more than 99 %"
	case p < 1-surely:
		return "less than 1 %"
	default:
		return fmt.Sprintf("%.0f %%", 100*p)
	}
}
