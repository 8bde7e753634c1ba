package config

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
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
	values map[string]any
	line   int // of the header
	whole  bool
}

// ReadLog reads the log in the file path. A file that isn't there is an empty
// log. An entry that a crash has torn, or that makes no sense, is left out;
// recovered then says so in one sentence, and is empty otherwise. The error is
// the system's, for a file that can't be read.
func ReadLog(path string) (l Log, recovered string, err error) {
	content, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return Log{}, "", nil
	}
	if err != nil {
		return Log{}, "", fmt.Errorf("the log of readings can't be read: %w", err)
	}
	l, broken := parseLog(string(content))
	return l, sayRecovered(path, broken), nil
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
	for _, e := range entries(strings.TrimPrefix(content, "\ufeff")) {
		if !e.whole || !l.add(e) {
			broken = append(broken, e.line)
		}
	}
	return l, broken
}

// entries cuts a log at its headers. What stands before the first header, and
// is not blank, is a broken entry. A line that is no TOML, or says something
// twice, breaks its entry, unless the entry was complete before it: what a crash
// leaves behind an entry is then a broken entry of its own.
func entries(content string) []entry {
	var all []entry
	number := 0
	for line := range strings.Lines(content) {
		number++
		decoded := map[string]any{}
		_, err := toml.Decode(line, &decoded)
		switch isHeader := strings.HasPrefix(strings.TrimSpace(line), "["); {
		case err == nil && len(decoded) == 0: // blank, or a comment
		case isHeader || len(all) == 0:
			all = append(all, opened(number, decoded, err == nil && isHeader))
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
	e := entry{line: line, values: map[string]any{}, whole: sound}
	for name, v := range header {
		_, many, isTable := tablesOf(v)
		e.table, e.whole = name, e.whole && many && isTable
	}
	return e
}

// has tells whether the entry has a key of the pair already.
func (e entry) has(pair map[string]any) bool {
	for name := range pair {
		if _, there := e.values[name]; there {
			return true
		}
	}
	return false
}

// take adds the key of one line.
func (e *entry) take(pair map[string]any, sound bool) {
	e.whole = e.whole && sound && !e.has(pair)
	if e.whole {
		maps.Copy(e.values, pair)
	}
}

// complete tells whether the entry has all that it needs.
func (e entry) complete() bool { return e.whole && new(Log).add(e) }

// The kinds of an entry's keys, by table. All keys are needed but those that may
// be added.
var (
	entryMoment  = key{name: "at", kind: kindMoment}
	entrySigma   = key{name: "uncertainty", kind: kindNumber, low: 0.01, high: 1}
	readingKeys  = []key{entryMoment, {name: "lx", kind: kindNumber, high: rules.MostLux}, {name: "place", kind: kindChoice, choices: places}}
	readingAdded = []key{{name: "k", kind: kindNumber, low: rules.CoolestLamp, high: rules.BluestSky}, entrySigma, {name: "note", kind: kindText}}
	markKeys     = []key{entryMoment, {name: "display", kind: kindText}}
	whiteKeys    = []key{entryMoment, {name: "cd_m2", kind: kindNumber, low: 1, high: rules.MostWhite}, {name: "display", kind: kindText}}
	withdrawKeys = []key{entryMoment, {name: "of", kind: kindMoment}, {name: "kind", kind: kindChoice, choices: withdrawable}}
	surroundKeys = []key{entryMoment, {name: "named", kind: kindChoice, choices: SurroundNames()}}
)

// add puts an entry into the log, if it makes sense.
func (l *Log) add(e entry) bool {
	switch e.table {
	case "reading":
		s, ok := e.read(readingKeys, readingAdded...)
		if ok {
			l.Readings = append(l.Readings, readingOf(s))
		}
		return ok
	case "calibrated":
		s, ok := e.read(markKeys)
		if ok {
			l.Calibrated = append(l.Calibrated, Mark{s.values["at"].(time.Time), s.values["display"].(string)})
		}
		return ok
	case "white":
		s, ok := e.read(whiteKeys, entrySigma)
		if ok {
			m := WhiteMark{At: s.values["at"].(time.Time), White: rules.Luminance(s.values["cd_m2"].(float64)), Display: s.values["display"].(string)}
			m.Sigma, _ = stated[float64](s, "uncertainty")
			l.Whites = append(l.Whites, m)
		}
		return ok
	case "withdrawn":
		s, ok := e.read(withdrawKeys)
		if ok {
			l.withdraw(s.values["kind"].(string), s.values["of"].(time.Time))
		}
		return ok
	case "surround":
		s, ok := e.read(surroundKeys)
		if ok {
			l.Surrounds = append(l.Surrounds, SurroundMark{s.values["at"].(time.Time), s.values["named"].(string)})
		}
		return ok
	}
	return false
}

// read holds the entry's values against the keys, every one of which has to be
// there and sound; the added ones have to be sound where they are there. Keys that
// are not asked for are a later version's, and fine.
func (e entry) read(keys []key, added ...key) (section, bool) {
	for _, k := range added {
		if _, there := e.values[k.name]; there {
			keys = append(slices.Clip(keys), k)
		}
	}
	s := section{values: map[string]any{}}
	sound := !slices.ContainsFunc(keys, func(k key) bool {
		v, why := k.read(e.values[k.name])
		s.values[k.name] = v
		return why != ""
	})
	return s, sound
}
