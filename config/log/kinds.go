package log

import "strings"

// kind is one kind of fact.
type kind struct {
	table string // its table in the log
	name  string // in words, without an article: it takes "a"
	empty func() Fact
}

// kindOf is the kind of the facts that F holds.
func kindOf[F any, P interface {
	*F
	Fact
}](name string) kind {
	return kind{P(new(F)).Kind(), name, func() Fact { return P(new(F)) }}
}

// kinds are all kinds of facts that are logged: one line each, which is all that is
// needed beside the kind's own file.
var kinds = []kind{
	kindOf[Reading]("reading"),
	kindOf[Calibrated]("calibration"),
	kindOf[White]("screen's white"),
	kindOf[Surround]("surround"),
}

// kindNamed is the kind whose table that is.
func kindNamed(table string) (kind, bool) {
	for _, k := range kinds {
		if k.table == table {
			return k, true
		}
	}
	return kind{}, false
}

// nameOf is a kind in words.
func nameOf(table string) string {
	k, _ := kindNamed(table)
	return k.name
}

// Kinds are the kinds of facts that can be logged and taken back, in words: "a
// reading, a calibration or a surround".
func Kinds() string {
	var names []string
	for _, k := range kinds {
		names = append(names, "a "+k.name)
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// tables are the names of the tables of all kinds.
func tables() []string {
	var names []string
	for _, k := range kinds {
		names = append(names, k.table)
	}
	return names
}
