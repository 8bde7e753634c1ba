package rules

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
)

// The desk in words, for the menu, the tooltip and `lampblack desk`.

// Summarise is the desk, and the last export if there was one, in words: what is
// out of target first, and of that the newest.
func Summarise(c *Conditions, q Quiet, last *Report) Summary {
	s := Summary{Headline: deskHeadline(c), Wedge: wedgeOf(c, q), Predicted: c.Get(ScreenLuminance).IsPredicted()}
	for _, k := range mostPressing(c.List) {
		s.Conditions = append(s.Conditions, conditionLine(k))
	}
	s.Last = LastExport{Text: "No export yet"}
	if last != nil {
		s.Last = LastExport{filepath.Base(last.File), InBrief(last)}
	}
	return s
}

// mostPressing is the list with what is out of target first, the newest of that
// before the rest.
func mostPressing(list []Condition) []Condition {
	list = slices.Clone(list)
	rank := func(c Condition) float64 {
		switch {
		case !c.isPressing():
			return math.Inf(1)
		case c.AgeHours.Known():
			return float64(c.AgeHours)
		default:
			return math.MaxFloat64
		}
	}
	slices.SortStableFunc(list, func(a, b Condition) int {
		switch ra, rb := rank(a), rank(b); {
		case ra < rb:
			return -1
		case ra > rb:
			return 1
		}
		return 0
	})
	return list
}

// isPressing tells a condition that somebody should do something about.
func (c Condition) isPressing() bool { return !c.InTarget || c.Doubt != "" }

// deskHeadline is the desk in one line.
func deskHeadline(c *Conditions) string {
	var out []string
	assumed := false // something of the rest
	for _, k := range mostPressing(c.List) {
		switch {
		case k.isPressing() && len(out) == 0:
			out = append(out, clause(k))
		case k.isPressing():
			out = append(out, lowerFirst(clause(k)))
		default:
			assumed = assumed || k.HasTarget() && (k.Assumed || outlived(k))
		}
	}
	switch {
	case len(out) == 0 && assumed:
		return "The desk is as it should be, as far as it has been measured"
	case len(out) == 0:
		return "The desk is as it should be"
	case len(out) == 1 && assumed:
		return fillIn("{clause}; the rest is as it should be, as far as it has been measured", "clause", out[0])
	case len(out) == 1:
		return fillIn("{clause}; the rest is as it should be", "clause", out[0])
	default:
		return strings.Join(out, "; ")
	}
}

// conditionLine is one condition as a sentence: how it stands, how much it is, how
// old that is, and what it should be:
//
//	The room is too bright: 180 lx, read at the screen 10 min ago (target 16–64)
//
// Of one that has no target: how much it is.
func conditionLine(c Condition) string {
	if c.standing() == hasNoTarget {
		return valueClause(c)
	}
	line := fillIn(conditionSentence(c),
		"clause", clause(c), "value", valueText(c), "source", c.Source, "read", whenRead(c), "target", targetText(c))
	if c.Doubt != "" {
		return fillIn("{line}; {doubt}", "line", line, "doubt", c.Doubt)
	}
	return line
}

// conditionSentence is the sentence for a condition that has a target, or no value, by
// how much is known of it.
func conditionSentence(c Condition) string {
	read := whenRead(c) != ""
	switch s := c.standing(); {
	case s == isUnknown && !c.HasTarget():
		return "{clause}"
	case s == isUnknown:
		return "{clause} (target {target})"
	case s == isOutlived && read:
		return "{clause}: the last was {value}, {read} (target {target})"
	case c.IsPredicted():
		return "{clause}: probably {value} (target {target}); {source}"
	case read:
		return "{clause}: {value}, {read} (target {target})"
	default:
		return "{clause}: {value} (target {target})"
	}
}
