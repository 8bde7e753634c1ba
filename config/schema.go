package config

import (
	"fmt"
	"strings"

	"lampblack/rules"
)

// kind is what a value has to be.
type kind int

const (
	kindText     kind = iota // a string that is not blank
	kindPath                 // a string that names a file or folder
	kindFlag                 // true or false
	kindNumber               // from low to high
	kindWhole                // a number without a fraction, from low to high
	kindInterval             // [low, high], both within low to high
	kindWhiteXY              // [x, y]
	kindPatterns             // a list of patterns of file names
	kindChoice               // one of the choices
	kindDay                  // a date, or a date and time
	kindMoment               // a date and time
)

// key is one key of a table: the only place that knows its name, its kind and
// its range. Checks, hints and the test of the example all walk over these.
type key struct {
	name      string
	kind      kind
	unit      string   // of a number; empty: none
	low, high float64  // the numbers allowed, both ends included
	choices   []string // the words allowed
	need      bool     // the table makes no sense without it
	example   string   // a correct value, as typed
}

// table is one table of the profile.
type table struct {
	name   string
	many   bool       // [[name]], any number of times, against [name] once
	keys   []key      // in the order of the example
	either [][]string // of each group, at most one key may be given
}

// The whole profile. A range is what is possible, not what is wise: what is
// wise is the user's [target].
var schema = []table{
	{name: "desk", keys: []key{
		{name: "name", kind: kindText, example: `"Tidemark, Skarvik"`},
	}},
	{name: "display", many: true, either: [][]string{{"white_k", "white_xy"}, {"screen", "diffuse_cd_m2_lx"}}, keys: []key{
		{name: "name", kind: kindText, need: true, example: `"north bench"`},
		{name: "edits", kind: kindFlag, example: "true"},
		{name: "white_cd_m2", kind: kindNumber, unit: "cd/m²", low: 1, high: rules.MostWhite, example: "118.0"},
		{name: "white_k", kind: kindNumber, unit: "K", low: 4000, high: 25000, example: "6000"},
		{name: "white_xy", kind: kindWhiteXY, low: 0.2, high: 0.5, example: "[0.3217, 0.3377]"},
		{name: "contrast", kind: kindNumber, low: 1.01, high: 1e7, example: "900"},
		{name: "measured", kind: kindDay, example: "2026-02-14"},
		{name: "screen", kind: kindChoice, choices: []string{"matt", "gloss"}, example: `"matt"`},
		{name: "diffuse_cd_m2_lx", kind: kindNumber, unit: "cd/m² per lx", low: 0, high: 0.3, example: "0.0045"},
		{name: "hood", kind: kindFlag, example: "true"},
		{name: "held", kind: kindFlag, example: "true"},
	}},
	{name: "target", keys: []key{
		{name: "white_cd_m2", kind: kindInterval, unit: "cd/m²", low: 1, high: rules.MostWhite, example: "[90.0, 120.0]"},
		{name: "white_k", kind: kindInterval, unit: "K", low: 4000, high: 25000, example: "[5600, 6500]"},
		{name: "reference_cd_m2", kind: kindNumber, unit: "cd/m²", low: 1, high: rules.MostWhite, example: "95.0"},
		{name: "reference_k", kind: kindNumber, unit: "K", low: 4000, high: 25000, example: "6000"},
		{name: "room_lx", kind: kindNumber, unit: "lx", low: 1, high: 100000, example: "64.0"},
		{name: "reference_lx", kind: kindNumber, unit: "lx", low: 0.1, high: 100000, example: "48.0"},
		{name: "surround", kind: kindInterval, low: 0, high: 1, example: "[0.15, 0.30]"},
		{name: "reference_surround", kind: kindNumber, low: 0, high: 1, example: "0.20"},
		{name: "recalibrate_days", kind: kindNumber, unit: "days", low: 1, high: 3650, example: "30"},
	}},
	{name: "surround", either: [][]string{{"relative_Y", "grey", "lightness", "named"}}, keys: []key{
		{name: "relative_Y", kind: kindNumber, low: 0, high: 1, example: "0.20"},
		{name: "grey", kind: kindWhole, low: 0, high: 255, example: "118"},
		{name: "lightness", kind: kindNumber, low: 0, high: 100, example: "50"},
		{name: "named", kind: kindChoice, choices: rules.SurroundNames(), example: `"mid grey"`},
		{name: "backdrop", kind: kindChoice, choices: []string{"neutral", "colourful"}, example: `"neutral"`},
		{name: "picture_share", kind: kindNumber, low: 0, high: 1, example: "0.6"},
	}},
	{name: "room", keys: []key{
		{name: "reading_hours", kind: kindNumber, unit: "hours", low: 0.1, high: 8760, example: "4"},
		{name: "lamps_k", kind: kindNumber, unit: "K", low: rules.CoolestLamp, high: rules.BluestSky, example: "4000"},
		{name: "meter_uncertainty", kind: kindNumber, low: 0.01, high: 1, example: "0.15"},
		{name: "light_folder", kind: kindPath, example: `"~/Pictures/light"`},
		{name: "light_of", kind: kindChoice, choices: []string{"paper", "grey card"}, example: `"paper"`},
		{name: "sensor", kind: kindFlag, example: "false"},
	}},
	{name: "reading", many: true, keys: []key{
		{name: "at", kind: kindMoment, need: true, example: "2026-03-01T09:10:00Z"},
		{name: "lx", kind: kindNumber, unit: "lx", low: 0, high: rules.MostLux, need: true, example: "41.0"},
		{name: "k", kind: kindNumber, unit: "K", low: rules.CoolestLamp, high: rules.BluestSky, example: "3000"},
		{name: "uncertainty", kind: kindNumber, low: 0.01, high: 1, example: "0.30"},
		{name: "note", kind: kindText, example: `"blind half down"`},
		{name: "place", kind: kindChoice, choices: places, need: true, example: `"screen"`},
	}},
	{name: "paper", many: true, keys: []key{
		{name: "name", kind: kindText, need: true, example: `"harbour rag"`},
		{name: "white_L", kind: kindNumber, low: 50, high: 100, example: "96.5"},
		{name: "dmax", kind: kindNumber, low: 0.5, high: 4, example: "1.65"},
		{name: "icc", kind: kindPath, example: `"harbour-rag.icc"`},
	}},
	{name: "viewing", many: true, keys: []key{
		{name: "name", kind: kindText, need: true, example: `"hall wall"`},
		{name: "lx", kind: kindNumber, unit: "lx", low: 1, high: rules.MostLux, example: "200.0"},
		{name: "k", kind: kindNumber, unit: "K", low: rules.CoolestLamp, high: rules.BluestSky, example: "2900"},
		{name: "mat", kind: kindChoice, choices: []string{"white", "cream", "grey", "black", "none"}, example: `"white"`},
		{name: "glazing", kind: kindChoice, choices: []string{"none", "glass", "coated"}, example: `"none"`},
	}},
	{name: "folder", many: true, keys: []key{
		{name: "path", kind: kindPath, need: true, example: `"~/Pictures/to-print"`},
		{name: "purpose", kind: kindChoice, choices: []string{"print", "screen"}, need: true, example: `"print"`},
		{name: "match", kind: kindPatterns, example: `["*.tif", "*.tiff", "*.jpg", "*.jpeg", "*.png"]`},
		{name: "paper", kind: kindText, example: `"harbour rag"`},
		{name: "viewing", kind: kindText, example: `"hall wall"`},
		{name: "subfolders", kind: kindFlag, example: "true"},
		{name: "poll_seconds", kind: kindNumber, unit: "seconds", low: 1, high: 3600, example: "10"},
		{name: "size_cm", kind: kindInterval, unit: "cm", low: 1, high: 1000, example: "[30.0, 40.0]"},
	}},
	{name: "quiet", keys: []key{
		{name: "noticeable_stops", kind: kindNumber, unit: "stops", low: 0.01, high: 5, example: "0.15"},
		{name: "clear_stops", kind: kindNumber, unit: "stops", low: 0.01, high: 5, example: "0.33"},
		{name: "colourfulness_ratio", kind: kindNumber, low: 0, high: 1, example: "0.93"},
		{name: "steps_lost", kind: kindNumber, low: 0, high: 1, example: "0.25"},
		{name: "probability", kind: kindNumber, low: 0, high: 1, example: "0.6"},
		{name: "gap_minutes", kind: kindNumber, unit: "minutes", low: 0, high: 10080, example: "240"},
	}},
}

// places are where a reading can be taken.
var places = []string{"screen", "desk", "print"}

// tableNamed finds a table of the schema.
func tableNamed(name string) (table, bool) {
	for _, t := range schema {
		if t.name == name {
			return t, true
		}
	}
	return table{}, false
}

// key finds a key of the table.
func (t table) key(name string) (key, bool) {
	for _, k := range t.keys {
		if k.name == name {
			return k, true
		}
	}
	return key{}, false
}

// header is the line that opens the table.
func (t table) header() string {
	if t.many {
		return "[[" + t.name + "]]"
	}
	return "[" + t.name + "]"
}

// keyNames are the table's keys in order.
func (t table) keyNames() []string {
	var names []string
	for _, k := range t.keys {
		names = append(names, k.name)
	}
	return names
}

// homes are the headers of the tables that have a key of that name.
func homes(name string) []string {
	var headers []string
	for _, t := range schema {
		if _, ok := t.key(name); ok {
			headers = append(headers, t.header())
		}
	}
	return headers
}

// line is a correct line for the key with the given value.
func (k key) line(value string) string { return k.name + " = " + value }

// instance is a hint with a correct line that has nothing of what was typed. A
// date gets none: an invented one would be pasted, and be wrong.
func (k key) instance() string {
	switch k.kind {
	case kindDay:
		return dayShape
	case kindMoment:
		return momentShape
	}
	return forExample + k.line(k.example)
}

// How dates are written, as hints.
const (
	dayShape    = "write it as year-month-day, with two digits for month and day"
	momentShape = dayShape + ", then T and the time, as in T09:10:00"
)

// allowed says in words what the key takes.
func (k key) allowed() string {
	switch k.kind {
	case kindText:
		return "a text in quotes"
	case kindPath:
		return "a path in quotes"
	case kindFlag:
		return "true or false"
	case kindNumber:
		return "a number " + k.bounds()
	case kindWhole:
		return "a whole number " + k.bounds()
	case kindInterval:
		return "two numbers, [low, high], each " + k.bounds()
	case kindWhiteXY:
		return "two numbers, [x, y], each " + k.bounds()
	case kindPatterns:
		return "a list of file name patterns"
	case kindChoice:
		return oneOf(k.choices)
	case kindDay:
		return "a date from 1990 to 2199, year-month-day, without quotes"
	default:
		return "a date and time from 1990 to 2199, without quotes"
	}
}

// bounds is the range in words, with its unit.
func (k key) bounds() string {
	return strings.TrimSpace(fmt.Sprintf("from %s to %s %s", plainNumber(k.low), plainNumber(k.high), k.unit))
}

// oneOf is `"a", "b" or "c"`.
func oneOf(words []string) string {
	var quoted []string
	for _, w := range words {
		quoted = append(quoted, `"`+w+`"`)
	}
	last := len(quoted) - 1
	if last == 0 {
		return quoted[0]
	}
	return strings.Join(quoted[:last], ", ") + " or " + quoted[last]
}
