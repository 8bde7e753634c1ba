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
	if math.Abs(float64(found)) < 0.005 {
		return AsJudged.Words()
	}
	stops := strconv.FormatFloat(math.Abs(math.Round(100*float64(found))/100), 'f', -1, 64)
	if found < 0 {
		return stops + " stop lighter"
	}
	return stops + " stop darker"
}

// olderUnabsorbed is the share of a change of the white that the first version of the
// model took for felt, in stops a stop, whoever judged.
const olderUnabsorbed = 0.35

// OlderParts takes a prediction of the first version, which kept only the whole, apart:
// into the tones' own part and log2 of the white over the profile's reference, both in
// stops, by the luminance of the white as it was then in cd/m². Unknown where any of the
// figures is.
func (p *Profile) OlderParts(predicted, white Figure) (tone, change Figure) {
	reference := p.targetFor(p.firstForPrint()).ReferenceWhite
	change = Figure(math.Log2(float64(white) / float64(reference)))
	return predicted - olderUnabsorbed*change, change
}
