package rules

import (
	"math"
	"strconv"
)

// OutcomeText is how a print came out as it is told: the word, or without one what was
// found in stops, positive darker, in hundredths as test strips have them.
func OutcomeText(word Outcome, found Figure) string {
	if word != "" {
		return word.Words()
	}
	stops := strconv.FormatFloat(math.Abs(math.Round(100*float64(found))/100), 'f', -1, 64)
	if found < 0 {
		return stops + " stop lighter"
	}
	return stops + " stop darker"
}
