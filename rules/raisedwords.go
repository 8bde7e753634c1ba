package rules

import (
	"math"
	"strconv"
	"strings"
)

// What is said of a file that was raised since it was predicted dark: the loop is closed.

// WasRaised tells whether the file was raised since it was predicted dark.
func (r *Report) WasRaised() bool { return r != nil && float64(r.Raised) >= leastRaise }

// RaisedBy is by how much, as words: "raised by about 0.35 stop"; empty when it was not.
func RaisedBy(r *Report) string {
	if !r.WasRaised() {
		return ""
	}
	return fillIn("raised by about {stops} stop", "stops", twentieths(float64(r.Raised)))
}

// raisedDetail is what stands behind the words for a verdict on a file that was raised;
// empty for others, and where the verdict is about what nobody knows.
func raisedDetail(r *Report) string {
	switch {
	case !r.WasRaised() || r.Verdict == Unsure && r.Unsettled != "":
		return ""
	case r.Verdict == Drab:
		return fillIn("{raised}, but not what it loses: {losses}", "raised", raisedText(r), "losses", losses(r))
	}
	return raisedText(r)
}

// raisedText says that the raise was seen, and how far it answers what was warned of: by
// the zone of tone where most is left.
//
//	you raised it by about 0.35 stop; that answers it
func raisedText(r *Report) string {
	left, whole := answerLeft(r)
	sentence := ""
	switch {
	case r.Verdict == Holds || math.Abs(left) < leastRaise:
		sentence = "you raised it by about {stops} stop; that answers it"
	case left < 0 && whole:
		sentence = "you raised it by about {stops} stop; that is more than it takes, and makes it about {left} stop lighter"
	case left < 0:
		sentence = "you raised it by about {stops} stop; that is more than it takes, and makes it about {left} stop lighter in the shadows"
	case whole:
		sentence = "you raised it by about {stops} stop; that answers {part} of it, and leaves it about {left} stop darker"
	default:
		sentence = "you raised it by about {stops} stop; that answers {part} of it, and leaves it about {left} stop darker in the shadows"
	}
	return fillIn(sentence, "stops", twentieths(float64(r.Raised)), "left", twentieths(math.Abs(left)), "part", partText(r, left, whole))
}

// answerLeft is what a raise leaves of the shift, in stops, of the whole or where it shows
// more of the shadows.
func answerLeft(r *Report) (left float64, whole bool) {
	s := r.Prediction.Targets.Expected()
	w, shadows := float64(s.Whole), float64(s.Shadows)
	if r.Verdict == Darker && shadows > w+0.1 {
		return shadows, false
	}
	return w, true
}

// partText is how much of what was warned of a raise answers.
func partText(r *Report, left float64, whole bool) string {
	before := r.Prediction.Targets.AsJudged()
	was := float64(before.Whole)
	if !whole {
		was = float64(before.Shadows)
	}
	switch share := 1 - left/was; {
	case share < 0.4:
		return "a part"
	case share <= 0.6:
		return "half"
	default:
		return "most"
	}
}

// raisedReason explains, below the causes, what became of the file since.
func raisedReason(r *Report) []string {
	if !r.WasRaised() {
		return nil
	}
	return []string{fillIn("That is of the picture as you judged it. The file was {raised} since, which is taken off.", "raised", RaisedBy(r))}
}

// twentieths is a size in stops as it is told of a raise, in steps of 0.05.
func twentieths(stops float64) string {
	text := strconv.FormatFloat(math.Max(1, math.Round(20*stops))/20, 'f', 2, 64)
	return strings.TrimSuffix(text, "0")
}
