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

// key is one key of a table: the only place that knows its name, its kind, its range
// and where it goes. Checks, hints, the profile itself and the test of the example all
// walk over these.
type key struct {
	name      string
	kind      kind
	unit      string   // of a number; empty: none
	low, high float64  // the numbers allowed, both ends included
	choices   []string // the words allowed
	need      bool     // the table makes no sense without it
	example   string   // a correct value, as typed
	set       setter   // takes what read gives
}

// table is one table of the profile.
type table struct {
	name   string
	many   bool       // [[name]], any number of times, against [name] once
	keys   []key      // in the order of the example
	either [][]string // of each group, at most one key may be given

	begin func(*rules.Profile) // with many: adds one of which all is assumed
}

// The whole profile, in the order of the example. A range is what is possible, not
// what is wise: what is wise is the user's [target].
var schema = []table{
	deskTable, displayTable, targetTable, surroundTable, roomTable, readingTable, paperTable, viewingTable, folderTable, quietTable,
}

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
