package config

import (
	"fmt"
	"os"
	"slices"
	"time"

	"lampblack/rules"
)

// Withdrawn is what was taken back. All but one are nil.
type Withdrawn struct {
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
func WithdrawLast(path string, at time.Time) (w Withdrawn, ok bool, err error) {
	content, err := os.ReadFile(path)
	if err != nil && !os.IsNotExist(err) {
		return Withdrawn{}, false, fmt.Errorf("the log of readings can't be read: %w", err)
	}
	w, ok = lastOf(string(content))
	if !ok {
		return Withdrawn{}, false, nil
	}
	return w, true, Withdraw(path, w, at)
}

// Withdraw takes back one thing that was logged in the file path, like
// [WithdrawLast].
func Withdraw(path string, w Withdrawn, at time.Time) error {
	kind, of := w.entry()
	return appendEntry(path, "withdrawn", withdrawnEntry{At: at.UTC(), Of: of.UTC(), Kind: kind})
}

// entry is the kind and the moment of the entry that was taken back.
func (w Withdrawn) entry() (kind string, at time.Time) {
	switch {
	case w.Reading != nil:
		return "reading", w.Reading.At
	case w.Calibrated != nil:
		return "calibrated", w.Calibrated.At
	case w.White != nil:
		return "white", w.White.At
	}
	return "surround", w.Surround.At
}

// lastOf is the last entry of a log that can be taken back.
func lastOf(content string) (w Withdrawn, ok bool) {
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
		return Withdrawn{}, false
	}
	return l.lastOfKind(kinds[len(kinds)-1]), true
}

// len is how many facts the log states.
func (l *Log) len() int {
	return len(l.Readings) + len(l.Calibrated) + len(l.Whites) + len(l.Surrounds)
}

// lastOfKind is the last fact of a kind of which there is one.
func (l *Log) lastOfKind(kind string) Withdrawn {
	switch kind {
	case "reading":
		return Withdrawn{Reading: last(l.Readings)}
	case "calibrated":
		return Withdrawn{Calibrated: last(l.Calibrated)}
	case "white":
		return Withdrawn{White: last(l.Whites)}
	}
	return Withdrawn{Surround: last(l.Surrounds)}
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
