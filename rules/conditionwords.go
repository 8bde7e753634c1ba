package rules

import (
	"math"
	"strings"
)

// The conditions in words, one row each; sentences are built of them in words.go,
// deskwords.go and explained.go.

// wording is what there is to say of one condition.
type wording struct {
	subject   string // in a sentence: "the room"
	valueOf   string // what its value is told of; empty: the subject
	low, high string // how it stands below and above its target
	right     string // how it stands in its target; empty: "right"
	unknown   string // how it stands without a value; empty: "not known"

	shown  func(v float64) float64        // its value, rounded as it is told; nil: asShown
	value  func(v float64) string         // its value as text, with the unit; nil: as shown, in the condition's own unit
	target func(low, high float64) string // without a unit; nil: rangeText
}

var wordings = map[string]wording{
	ScreenLuminance: {
		subject: "the screen", valueOf: "the screen's white",
		low: "too dark", high: "too bright",
	},
	WhitePoint: {
		subject: "the white point",
		low:     "too warm", high: "too cool", unknown: "too far from any white light",
		shown: func(v float64) float64 { return 10 * math.Round(v/10) },
	},
	RoomLight: {
		subject: "the room",
		low:     "too dark", high: "too bright",
	},
	SurroundGrey: {
		subject: "the surround",
		low:     "too dark", high: "too bright",
		shown:  shownPercent,
		value:  func(v float64) string { return percent(v) + " of white" },
		target: func(low, high float64) string { return strings.TrimSuffix(percent(low), " %") + "–" + percent(high) },
	},
	CalibrationAge: {
		subject: "the calibration",
		low:     "due", high: "due", right: "good", unknown: "of unknown age",
		shown:  math.Floor, // it is 3 days old all day
		value:  calibrationText,
		target: func(_, high float64) string { return "up to " + plural(high, "day") },
	},
}

func calibrationText(days float64) string {
	if days < 1 {
		return "made today"
	}
	return plural(math.Floor(days), "day") + " old"
}

// wordingOf is the wording of a condition; of one that has none, which a later
// version may have put into a journal, it goes by its name.
func wordingOf(c Condition) wording {
	w, known := wordings[c.Name]
	if !known {
		w = wording{subject: "the " + c.Name, low: "too low", high: "too high"}
	}
	if w.valueOf == "" {
		w.valueOf = w.subject
	}
	if w.right == "" {
		w.right = "right"
	}
	if w.unknown == "" {
		w.unknown = "not known"
	}
	if w.shown == nil {
		w.shown = asShown
	}
	if w.value == nil {
		w.value = func(v float64) string { return short(w.shown(v)) + " " + c.Unit }
	}
	if w.target == nil {
		w.target = rangeText
	}
	return w
}

// rangeText is a target from low to high; one that begins at 0 has an upper end only.
func rangeText(low, high float64) string {
	if low == 0 {
		return "up to " + short(high)
	}
	return short(low) + "–" + short(high)
}

// Shown is the condition's value as it is told, in its unit: a white point that reads
// "6000 K" is 6000 K. NaN where there is none.
func (c Condition) Shown() float64 { return wordingOf(c).shown(float64(c.Value)) }

// valueText is a condition's value with its unit.
func valueText(c Condition) string {
	if !c.Value.Known() {
		return "unknown"
	}
	return wordingOf(c).value(float64(c.Value))
}

// targetText is a condition's target without its unit.
func targetText(c Condition) string {
	return wordingOf(c).target(float64(c.Target[0]), float64(c.Target[1]))
}

// standing begins a sentence with a condition and how it stands to its target: "The
// room is too bright".
func standing(c Condition) string { return upperFirst(wordingOf(c).subject) + " is " + state(c) }

// state says how a condition stands to its target.
func state(c Condition) string {
	w := wordingOf(c)
	switch {
	case outlived(c):
		return "not known any more"
	case !c.Value.Known():
		return w.unknown
	case c.InTarget && c.Doubt != "":
		return "in doubt"
	case c.InTarget && c.Assumed:
		return "assumed " + w.right
	case c.InTarget:
		return w.right
	case float64(c.Value) > float64(c.Target[1]):
		return w.high
	default:
		return w.low
	}
}

// ConditionWords is a condition in words, piece by piece, for whoever draws it.
type ConditionWords struct {
	Name   string // "Screen luminance"
	Value  string // with its unit: "118 cd/m²"
	Target string // without: "90–120"
	Word   string // how it stands to its target: "right", "too bright"
	Origin string // "read at the screen 40 min ago"; may be empty
}

// InWords is a condition in words.
func InWords(c Condition) ConditionWords {
	return ConditionWords{
		Name:   upperFirst(c.Name),
		Value:  seenValue(c),
		Target: targetText(c),
		Word:   strings.TrimPrefix(state(c), "assumed "), // the origin says that
		Origin: seenOrigin(c),
	}
}
