package config

import (
	"fmt"
	"os"
	"slices"
	"time"

	"lampblack/rules"
)

// Fact is one thing that a log states, and that can be taken back. All but one are nil.
type Fact struct {
	Reading    *rules.Reading
	Calibrated *Mark
	White      *WhiteMark
	Surround   *SurroundMark
}

// The kinds of entries that can be taken back: all that state a fact.
var withdrawable = []string{"reading", "calibrated", "white", "surround"}

// WithdrawLast takes back what was logged last in the file path, and says what that
// is; at is now. The log is only ever appended to: an entry that says so is added,
// and both stay. ok is false when nothing is left to take back.
func WithdrawLast(path string, at time.Time) (f Fact, ok bool, err error) {
	content, err := os.ReadFile(path)
	if err != nil && !os.IsNotExist(err) {
		return Fact{}, false, fmt.Errorf("the log of readings can't be read: %w", err)
	}
	f, ok = lastOf(string(content))
	if !ok {
		return Fact{}, false, nil
	}
	return f, true, NewLogFile(path).Withdraw(f, at)
}

// Withdraw takes back a fact, like [WithdrawLast].
func (f *LogFile) Withdraw(fact Fact, at time.Time) error {
	kind, of := fact.entry()
	return appendEntry(f.path, "withdrawn", withdrawnEntry{At: at.UTC(), Of: of.UTC(), Kind: kind})
}

// entry is the kind and the moment of the entry that states it.
func (f Fact) entry() (kind string, at time.Time) {
	switch {
	case f.Reading != nil:
		return "reading", f.Reading.At
	case f.Calibrated != nil:
		return "calibrated", f.Calibrated.At
	case f.White != nil:
		return "white", f.White.At
	}
	return "surround", f.Surround.At
}

// lastOf is the last entry of a log that can be taken back.
func lastOf(content string) (f Fact, ok bool) {
	var l Log
	var kinds []string // of what still counts, in the order of the file
	eachEntry(content, func(e entry) bool {
		before := l.len()
		if !l.add(e) {
			return false
		}
		switch {
		case l.len() > before:
			kinds = append(kinds, e.table)
		case l.len() < before:
			kinds = withoutLast(kinds, func(kind string) bool { return kind == of[string](e, "kind") })
		}
		return true
	})
	if len(kinds) == 0 {
		return Fact{}, false
	}
	return l.lastOfKind(kinds[len(kinds)-1]), true
}

// len is how many facts the log states.
func (l *Log) len() int {
	return len(l.Readings) + len(l.Calibrated) + len(l.Whites) + len(l.Surrounds)
}

// lastOfKind is the last fact of a kind of which there is one.
func (l *Log) lastOfKind(kind string) Fact {
	switch kind {
	case "reading":
		return Fact{Reading: last(l.Readings)}
	case "calibrated":
		return Fact{Calibrated: last(l.Calibrated)}
	case "white":
		return Fact{White: last(l.Whites)}
	}
	return Fact{Surround: last(l.Surrounds)}
}

func last[T any](all []T) *T { return &all[len(all)-1] }

// withdraw leaves out the last fact of a kind and moment. One that isn't there has
// been taken out by hand, which comes to the same.
func (l *Log) withdraw(kind string, of time.Time) {
	switch kind {
	case "reading":
		l.Readings = withoutLast(l.Readings, func(r rules.Reading) bool { return r.At.Equal(of) })
	case "calibrated":
		l.Calibrated = withoutLast(l.Calibrated, func(m Mark) bool { return m.At.Equal(of) })
	case "white":
		l.Whites = withoutLast(l.Whites, func(m WhiteMark) bool { return m.At.Equal(of) })
	case "surround":
		l.Surrounds = withoutLast(l.Surrounds, func(m SurroundMark) bool { return m.At.Equal(of) })
	}
}

// withoutLast leaves out the last element that is meant.
func withoutLast[T any](all []T, meant func(T) bool) []T {
	for i := len(all) - 1; i >= 0; i-- {
		if meant(all[i]) {
			return slices.Delete(all, i, i+1)
		}
	}
	return all
}
