package log

import (
	"iter"
	"strings"

	"github.com/BurntSushi/toml"
)

// entry is one table of the log: what stands on the lines from its header to
// the next. A log is not read as one TOML file, since one torn line would then
// lose all the others.
type entry struct {
	table  string
	values []pair
	line   int // of the header
	whole  bool
}

// pair is a key of an entry and its value. An entry has so few that to look
// through them all is the fastest.
type pair struct {
	name  string
	value any
}

// at is the number of the key among the entry's, −1 when it has none of that name.
func (e *entry) at(name string) int {
	for i := range e.values {
		if e.values[i].name == name {
			return i
		}
	}
	return -1
}

// parse is the log in the given text, and the lines at which entries were left out.
func parse(content string) (l Log, broken []int) {
	l = make(Log, 0, strings.Count(content, "[["))
	var from fields // one for all: a log can be long
	broken = eachEntry(content, func(e *entry) bool { return l.add(e, &from) })
	return l, broken
}

// add puts an entry into the log, or takes something back by it, if it makes sense.
func (l *Log) add(e *entry, from *fields) bool {
	if e.table == withdrawnTable {
		var w withdrawn
		ok := from.read(&w, e)
		if ok {
			l.withdraw(w)
		}
		return ok
	}
	k, known := kindNamed(e.table)
	if !known {
		return false
	}
	f := k.empty()
	ok := from.read(f, e)
	if ok {
		*l = append(*l, f)
	}
	return ok
}

// eachEntry hands the entries of a log to add, which tells those that make sense, and
// gives the lines at which others begin. An entry is add's until it returns.
func eachEntry(content string, add func(*entry) bool) (broken []int) {
	plain := newPlainReader()
	for number, lines := range cutAtHeaders(strings.TrimPrefix(content, "\ufeff")) {
		if e, ok := plain.read(lines); ok && add(e) {
			continue
		}
		for _, e := range entries(lines) {
			if !e.whole || !add(&e) {
				broken = append(broken, number-1+e.line)
			}
		}
	}
	return broken
}

// cutAtHeaders gives the lines from each header to the next, and the number of the
// first of them. What stands before the first header comes first, if anything does.
func cutAtHeaders(content string) iter.Seq2[int, string] {
	return func(yield func(int, string) bool) {
		begin, first, at, number := 0, 1, 0, 1
		for line := range strings.Lines(content) {
			if isHeader(line) && at > begin {
				if !yield(first, content[begin:at]) {
					return
				}
				begin, first = at, number
			}
			at, number = at+len(line), number+1
		}
		if at > begin {
			yield(first, content[begin:])
		}
	}
}

func isHeader(line string) bool { return strings.HasPrefix(strings.TrimSpace(line), "[") }

// entries are those that begin on the lines from one header to the next, read line
// by line: the first, and what a crash has left behind it. What stands before the
// first header of all, and is not blank, is a broken entry. A line that is no TOML,
// or says something twice, breaks its entry, unless the entry was complete before it:
// what a crash leaves behind an entry is then a broken entry of its own.
func entries(lines string) []entry {
	var all []entry
	number := 0
	for line := range strings.Lines(lines) {
		number++
		decoded := map[string]any{}
		_, err := toml.Decode(line, &decoded)
		switch {
		case err == nil && len(decoded) == 0: // blank, or a comment
		case len(all) == 0:
			all = append(all, opened(number, decoded, err == nil && isHeader(line)))
		case (err != nil || all[len(all)-1].has(decoded)) && all[len(all)-1].complete():
			all = append(all, entry{line: number})
		default:
			all[len(all)-1].take(decoded, err == nil)
		}
	}
	return all
}

// opened is the entry that a header opens.
func opened(line int, header map[string]any, sound bool) entry {
	e := entry{line: line, whole: sound}
	for name, v := range header {
		_, many := v.([]map[string]any)
		e.table, e.whole = name, e.whole && many
	}
	return e
}

// has tells whether the entry has a key of the line already.
func (e *entry) has(line map[string]any) bool {
	for name := range line {
		if e.at(name) >= 0 {
			return true
		}
	}
	return false
}

// take adds the key of one line.
func (e *entry) take(line map[string]any, sound bool) {
	e.whole = e.whole && sound && !e.has(line)
	if !e.whole {
		return
	}
	for name, v := range line {
		e.values = append(e.values, pair{name, v})
	}
}

// complete tells whether the entry has all that it needs.
func (e *entry) complete() bool { return e.whole && new(Log).add(e, new(fields)) }
