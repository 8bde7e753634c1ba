package rules

import (
	"math"
	"strings"
)

// Told is a condition in words, piece by piece, for whoever draws it.
type Told struct {
	Name   string // "Screen luminance"
	Value  string // with its unit: "118 cd/m²"
	Target string // without: "90–120"
	Word   string // how it stands to its target: "right", "too bright"
	Origin string // "read at the screen 40 min ago"; may be empty
}

// Tell puts a condition into words.
func Tell(c Condition) Told {
	return Told{
		Name:   upperFirst(c.Name),
		Value:  seenValue(c),
		Target: targetText(c),
		Word:   strings.TrimPrefix(state(c), "assumed "), // the origin says that
		Origin: seenOrigin(c),
	}
}

// Signed is a number of stops with its sign, to a tenth.
func Signed(s Figure) string {
	if !s.Known() || math.IsInf(float64(s), 0) {
		return "–"
	}
	return signed(float64(s))
}
