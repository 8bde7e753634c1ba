package rules

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
)

// The desk in words, for the menu, the tooltip and `lampblack desk`.

// Summarise is the desk, and the last export if there was one, in words: what is
// out of target first, and of that the newest.
func Summarise(c *Conditions, q Quiet, last *Report) Summary {
	s := Summary{Headline: deskHeadline(c), Wedge: wedgeOf(c, q)}
	for _, k := range mostPressing(c.List) {
		s.Conditions = append(s.Conditions, conditionLine(k))
	}
	s.Last = "No export yet"
	if last != nil {
		s.Last = fmt.Sprintf("%s: %s", filepath.Base(last.File), InBrief(last))
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

// deskHeadline is the desk in one sentence.
func deskHeadline(c *Conditions) string {
	var out []Condition
	assumed := false // something of the rest
	for _, k := range mostPressing(c.List) {
		if k.isPressing() {
			out = append(out, k)
			continue
		}
		assumed = assumed || k.HasTarget() && (k.Assumed || outlived(k))
	}
	switch n := len(out); {
	case n == 0 && assumed:
		return "As far as anyone has measured, the desk is as it should be"
	case n == 0:
		return "The desk is as it should be"
	case n == 1 && assumed:
		return standing(out[0]) + ", the rest as it should be as far as measured"
	case n == 1:
		return standing(out[0]) + ", the rest as it should be"
	default:
		return strings.Join(standings(out[:n-1]), ", ") + " and " + standings(out)[n-1]
	}
}

// standings are how conditions stand, as parts of one sentence.
func standings(list []Condition) []string {
	parts := []string{standing(list[0])}
	for _, c := range list[1:] {
		parts = append(parts, wordingOf(c).subject+" "+state(c))
	}
	return parts
}

// unlessSaid is a hedge, unless the line has it already.
func unlessSaid(hedge, line string) string {
	word, _, _ := strings.Cut(hedge, " ")
	if word != "" && strings.Contains(line, word) {
		return ""
	}
	return hedge
}

// conditionLine is one condition as a sentence: how it stands, how much it is, how
// old that is, and what it should be:
//
//	The room is too bright: 180 lx, read at the screen 10 min ago (target 16–64)
//
// Of one that has no target: how much it is.
func conditionLine(c Condition) string {
	line := standing(c)
	switch {
	case c.Value.Known() && !c.HasTarget():
		line = upperFirst(wordingOf(c).valueOf) + " is " + hedge(c) + valueText(c)
	case c.Value.Known():
		line += ": " + unlessSaid(hedge(c), line) + valueText(c)
	}
	if k, _ := kindOf(c.Name); k.reading && c.AgeHours.Known() {
		line += ", " + c.Source + " " + span(hours(c.AgeHours)) + " ago"
	}
	if c.HasTarget() {
		line += " (target " + targetText(c) + ")"
	}
	if isExpected(c) {
		line += "; " + strings.TrimPrefix(c.Source, "expected: ")
	}
	if c.Doubt != "" {
		line += "; " + c.Doubt
	}
	return line
}
