package rules

import (
	"math"
	"slices"
)

// What is said of a file that should hold, of one that perhaps doesn't, and of where its
// print hangs: one sentence, and not two verdicts.

// holdsText is the headline of a file that should hold, with how it comes out where it
// hangs.
func holdsText(r *Report) string {
	there := r.Prediction.Viewing
	whole, greys := float64(there.Shift.Whole), greysText(there.Cast)
	shifted, sentence := math.Abs(whole) >= leastAtWall, ""
	switch {
	case !r.Whole().Known():
		return "Should hold: the picture is entirely black"
	case r.Purpose == ForScreen || !shifted && greys == "":
		return "Should hold at your targets"
	case !shifted:
		sentence = "Should hold at your targets; at {viewing} with greys {greys}"
	case whole > 0 && greys != "":
		sentence = "Should hold at your targets; at {viewing} {stops} darker, and greys {greys}"
	case greys != "":
		sentence = "Should hold at your targets; at {viewing} {stops} lighter, and greys {greys}"
	case whole > 0:
		sentence = "Should hold at your targets; at {viewing} {stops} darker"
	default:
		sentence = "Should hold at your targets; at {viewing} {stops} lighter"
	}
	return fillIn(sentence, "viewing", r.Viewing, "stops", roughly(math.Abs(whole)), "greys", greys)
}

// greysText is how the greys come out, and how plainly; empty where nobody would see it.
func greysText(c Cast) string {
	switch {
	case !c.isSeen():
		return ""
	case c.isClear():
		return "clearly " + c.Word
	default:
		return "slightly " + c.Word
	}
}

// perhapsText is the headline of an unsure verdict that asks for no measurement, since
// what makes it close can be put right: which way it leans, and why. Empty for others.
func perhapsText(r *Report) string {
	if r.Verdict != Unsure || r.Unsettled != "" || r.Main == "" {
		return ""
	}
	leaning, main := r.Prediction.Targets.Spread.leaning(), r.Condition(r.Main)
	why := causeText(main)
	switch {
	case main.isPressing():
	case leaning == Drab:
		why = losses(r)
	default:
		why = "it is close" // what is right is no reason, even where setting it would help
	}
	switch leaning {
	case Lighter:
		return "Perhaps light: " + why
	case Drab:
		return "Perhaps drab: " + why
	default:
		return "Perhaps dark: " + why
	}
}

// causeText is a condition as the reason for a verdict.
func causeText(c Condition) string {
	const black, white = 0.02, 0.8 // of white: a surround that anybody would call so
	switch {
	case c.Name == SurroundGrey && c.Value <= black:
		return "black around the picture"
	case c.Name == SurroundGrey && c.Value >= white:
		return "white around the picture"
	default:
		return lowerFirst(clause(c))
	}
}

// fitText is the advice on a file that should hold: of the desk, and no word that
// contradicts how the print comes out where it hangs.
func fitText(r *Report) string {
	hangs := r.Purpose != ForScreen && size(r.Prediction.Viewing.Shift.Whole) >= leastAtWall
	pressing := slices.ContainsFunc(r.Conditions, Condition.isPressing) // and the desk says so
	sentence := "Nothing to do."
	switch {
	case hangs && pressing:
		sentence = "Nothing to do for this file. What is said of {viewing} comes from the light there, the paper and your targets."
	case hangs:
		sentence = "Nothing to do at the desk. What is said of {viewing} comes from the light there, the paper and your targets."
	case pressing:
		sentence = "Nothing to do for this file."
	}
	return fillIn(sentence, "viewing", r.Viewing)
}

// What is noted of a desk.
const (
	heldText      = "The room is brighter than your target, but the screen is held: this file should still hold."
	heldFarText   = "The room is far brighter than your target, but the screen is held: this file should still hold; dim the room before you judge another."
	asMatSentence = "The editor's surround is as light as the mat at {viewing}, so it is no fault for the midtones."
)

// deskNotes are what has to be said of the desk although it is no reason to warn, or
// although the verdict is unsure.
func deskNotes(r *Report, c *Conditions, q Quiet) (notes []Sentence) {
	room := c.Get(RoomLight)
	bright := !room.Assumed && c.room.value > float64(c.target.Room) && !room.InTarget
	if bright && c.held && judge(*r.Prediction.Targets.Spread, "", q) == Holds {
		if c.far == RoomLight {
			notes = append(notes, Sentence{NoteHeldFar, heldFarText})
		} else {
			notes = append(notes, Sentence{NoteHeld, heldText})
		}
	}
	if r.SurroundAsMat {
		notes = append(notes, Sentence{NoteAsMat, fillIn(asMatSentence, "viewing", r.Viewing)})
	}
	return notes
}
