package rules

import (
	"strings"
)

// The conditions in words; sentences are built of them in words.go, deskwords.go
// and explained.go.

// wording is what there is to say of one condition. What is nil or empty goes by
// the condition's name and unit.
type wording struct {
	subject   string // in a sentence: "the room"
	valueOf   string // what its value is told of; empty: the subject
	low, high string // how it stands below and above its target
	right     string // how it stands in its target; empty: "right"
	unknown   string // how it stands without a value; empty: "not known"

	shown  func(v float64) float64        // its value, rounded as it is told; nil: asShown
	number func(v float64) string         // that as text, without its unit; nil: short
	behind string                         // what stands behind the number; empty: the unit
	value  func(v float64) string         // its value as text, where that is no number with a unit behind it
	seen   func(v float64) string         // the same where it follows the condition's name
	target func(low, high float64) string // without a unit; nil: rangeText
}

// wordingOf is the wording of a condition, also of one that a later version has put
// into a journal.
func wordingOf(c Condition) wording {
	k, _ := kindOf(c.Name)
	w := k.words
	if w.subject == "" {
		w.subject = "the " + c.Name
	}
	if w.low == "" {
		w.low, w.high = "too low", "too high"
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
	if w.number == nil {
		shown := w.shown
		w.number = func(v float64) string { return short(shown(v)) }
	}
	if w.behind == "" && c.Unit != "" {
		w.behind = " " + c.Unit
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
	w := wordingOf(c)
	if w.value != nil {
		return w.value(float64(c.Value))
	}
	return w.number(float64(c.Value)) + w.behind
}

// targetText is a condition's target without its unit; empty when it has none.
func targetText(c Condition) string {
	if !c.HasTarget() {
		return ""
	}
	return wordingOf(c).target(float64(c.Target[0]), float64(c.Target[1]))
}

// standing begins a sentence with a condition and how it stands to its target: "The
// room is too bright".
func standing(c Condition) string { return upperFirst(wordingOf(c).subject) + " is " + state(c) }

// state says how a condition stands to its target; nothing of one that is known and
// has none.
func state(c Condition) string {
	w := wordingOf(c)
	switch {
	case outlived(c):
		return "not known any more"
	case !c.Value.Known():
		return w.unknown
	case !c.HasTarget():
		return ""
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

// seenState is how a condition stands to its target.
func seenState(c Condition) string {
	switch {
	case !c.Value.Known():
		return "not known"
	case c.isPressing():
		return state(c)
	default:
		return "as it should be"
	}
}

// seenValue is a value with its uncertainty, where that is known.
func seenValue(c Condition) string {
	w := wordingOf(c)
	switch {
	case !c.Value.Known():
		return valueText(c)
	case w.seen != nil:
		return w.seen(float64(c.Value))
	case !c.Sigma.Known():
		return valueText(c)
	}
	scale := 1.0
	if k, _ := kindOf(c.Name); k.unit.Whole != "" {
		scale = 100 // a share is told in percent
	}
	off := scale * float64(c.Value*c.Sigma)
	if off < 0.05 {
		return valueText(c)
	}
	return w.number(float64(c.Value)) + " ±" + roundOff(off) + w.behind
}

// seenOrigin is where a value comes from, as far as that is worth a word, or what
// speaks against it.
func seenOrigin(c Condition) string {
	k, _ := kindOf(c.Name)
	switch {
	case c.Doubt != "":
		return c.Doubt
	case c.Assumed && c.Value.Known():
		return "assumed"
	case isExpected(c):
		return c.Source
	case k.reading && c.AgeHours.Known():
		return c.Source + " " + span(hours(c.AgeHours)) + " ago"
	default:
		return ""
	}
}

// ConditionWords is a condition in words, piece by piece, for whoever draws it.
type ConditionWords struct {
	Name   string // "Screen luminance"
	Value  string // with its unit: "118 cd/m²"
	Target string // without: "90–120"; empty when it has none
	Word   string // how it stands to its target: "right", "too bright"; empty when it has none
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
