package config

import (
	"fmt"
	"iter"
	"strings"
	"time"

	"github.com/BurntSushi/toml"

	"lampblack/rules"
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
func (e entry) at(name string) int {
	for i := range e.values {
		if e.values[i].name == name {
			return i
		}
	}
	return -1
}

// of is the value of a key that has been read, or nothing when it isn't there.
func of[T any](e entry, name string) (v T) {
	if i := e.at(name); i >= 0 {
		v, _ = e.values[i].value.(T)
	}
	return v
}

// ReadLog reads the log in the file path. A file that isn't there is an empty
// log. An entry that a crash has torn, or that makes no sense, is left out;
// recovered then says so in one sentence, and is empty otherwise. The error is
// the system's, for a file that can't be read.
func ReadLog(path string) (l Log, recovered string, err error) {
	return NewLogFile(path).Read(time.Time{})
}

// ReadReadings is the readings of [ReadLog].
func ReadReadings(path string) (rs []rules.Reading, recovered string, err error) {
	l, recovered, err := ReadLog(path)
	return l.Readings, recovered, err
}

// sayRecovered is the sentence about lines that were left out.
func sayRecovered(path string, broken []int) string {
	switch len(broken) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("%s:%d: an entry there is torn or makes no sense; it was left out, all others are kept", path, broken[0])
	}
	return fmt.Sprintf("%s:%d: an entry there and %d more are torn or make no sense; they were left out, all others are kept",
		path, broken[0], len(broken)-1)
}

// parseLog is the log in the given text, and the lines at which entries were
// left out.
func parseLog(content string) (l Log, broken []int) {
	l.Readings = make([]rules.Reading, 0, strings.Count(content, "[[reading]]"))
	broken = eachEntry(content, l.add)
	if len(l.Readings) == 0 {
		l.Readings = nil
	}
	return l, broken
}

// eachEntry hands the entries of a log to add, which tells those that make sense, and
// gives the lines at which others begin. An entry is add's until it returns.
func eachEntry(content string, add func(entry) bool) (broken []int) {
	plain := newPlainReader()
	for number, lines := range cutAtHeaders(strings.TrimPrefix(content, "\ufeff")) {
		if e, ok := plain.read(lines); ok && add(e) {
			continue
		}
		for _, e := range entries(lines) {
			if !e.whole || !add(e) {
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
		_, many, isTable := tablesOf(v)
		e.table, e.whole = name, e.whole && many && isTable
	}
	return e
}

// has tells whether the entry has a key of the line already.
func (e entry) has(line map[string]any) bool {
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
func (e entry) complete() bool { return e.whole && new(Log).add(e) }

// The kinds of an entry's keys, by table. All keys are needed but those that may
// be added.
var (
	entryMoment  = key{name: "at", kind: kindMoment}
	entrySigma   = key{name: "uncertainty", kind: kindNumber, low: 0.01, high: 1}
	readingKeys  = []key{entryMoment, {name: "lx", kind: kindNumber, high: rules.MostLux}, {name: "place", kind: kindChoice, choices: words(rules.Places())}}
	readingAdded = []key{{name: "k", kind: kindNumber, low: rules.CoolestLamp, high: rules.BluestSky}, entrySigma, {name: "note", kind: kindText}}
	markKeys     = []key{entryMoment, {name: "display", kind: kindText}}
	whiteKeys    = []key{entryMoment, {name: "cd_m2", kind: kindNumber, low: 1, high: rules.MostWhite}, {name: "display", kind: kindText}}
	whiteAdded   = []key{entrySigma}
	withdrawKeys = []key{entryMoment, {name: "of", kind: kindMoment}, {name: "kind", kind: kindChoice, choices: withdrawable}}
	surroundKeys = []key{entryMoment, {name: "named", kind: kindChoice, choices: rules.SurroundNames()}}
)

// add puts an entry into the log, if it makes sense.
func (l *Log) add(e entry) bool {
	switch e.table {
	case "reading":
		if !e.read(readingKeys, readingAdded) {
			return false
		}
		l.Readings = append(l.Readings, rules.Reading{
			At: of[time.Time](e, "at"), Light: rules.Lux(of[float64](e, "lx")), Place: rules.Place(of[string](e, "place")),
			Kelvin: rules.Kelvin(of[float64](e, "k")), Sigma: of[float64](e, "uncertainty"), Note: of[string](e, "note"),
		})
	case "calibrated":
		if !e.read(markKeys, nil) {
			return false
		}
		l.Calibrated = append(l.Calibrated, Mark{of[time.Time](e, "at"), of[string](e, "display")})
	case "white":
		if !e.read(whiteKeys, whiteAdded) {
			return false
		}
		l.Whites = append(l.Whites, WhiteMark{
			At: of[time.Time](e, "at"), White: rules.Luminance(of[float64](e, "cd_m2")),
			Sigma: of[float64](e, "uncertainty"), Display: of[string](e, "display"),
		})
	case "withdrawn":
		if !e.read(withdrawKeys, nil) {
			return false
		}
		l.withdraw(of[string](e, "kind"), of[time.Time](e, "of"))
	case "surround":
		if !e.read(surroundKeys, nil) {
			return false
		}
		l.Surrounds = append(l.Surrounds, SurroundMark{of[time.Time](e, "at"), of[string](e, "named")})
	default:
		return false
	}
	return true
}

// read holds the entry's values against the keys, every one of which has to be
// there and sound, and puts what they stand for in their places; the added ones have
// to be sound where they are there. Keys that are not asked for are a later
// version's, and fine.
func (e entry) read(keys, added []key) bool {
	for i := range keys {
		if at := e.at(keys[i].name); at < 0 || !e.values[at].read(&keys[i]) {
			return false
		}
	}
	for i := range added {
		if at := e.at(added[i].name); at >= 0 && !e.values[at].read(&added[i]) {
			return false
		}
	}
	return true
}

// read puts what the value stands for in its place, if it is sound.
func (p *pair) read(k *key) bool {
	v, why := k.read(p.value)
	if why == "" {
		p.value = v
	}
	return why == ""
}
