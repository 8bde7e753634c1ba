package config

import (
	"fmt"
	"os"
	"slices"
	"time"

	"lampblack/rules"
)

// Withdrawn is what was taken back: a reading, or a white. One is nil.
type Withdrawn struct {
	Reading *rules.Reading
	White   *WhiteMark
}

// The kinds of entries that can be taken back.
var withdrawable = []string{"reading", "white"}

// WithdrawLast takes back the reading or the white that was logged last in the
// file path, and says which; at is now. The log is only ever appended to: an entry
// that says so is added, and both stay. ok is false when nothing is left to take
// back.
func WithdrawLast(path string, at time.Time) (w Withdrawn, ok bool, err error) {
	content, err := os.ReadFile(path)
	if err != nil && !os.IsNotExist(err) {
		return Withdrawn{}, false, fmt.Errorf("the log of readings can't be read: %w", err)
	}
	w, ok = lastOf(string(content))
	if !ok {
		return Withdrawn{}, false, nil
	}
	mark := withdrawnEntry{At: at.UTC(), Kind: "white"}
	if w.Reading != nil {
		mark.Of, mark.Kind = w.Reading.At.UTC(), "reading"
	} else {
		mark.Of = w.White.At.UTC()
	}
	return w, true, appendEntry(path, "withdrawn", mark)
}

// lastOf is the last entry of a log that can be taken back.
func lastOf(content string) (w Withdrawn, ok bool) {
	var l Log
	var kinds []string // of what still counts, in the order of the file
	eachEntry(content, func(e entry) bool {
		readings, whites := len(l.Readings), len(l.Whites)
		if !l.add(e) {
			return false
		}
		switch {
		case len(l.Readings) > readings || len(l.Whites) > whites:
			kinds = append(kinds, e.table)
		case len(l.Readings) < readings || len(l.Whites) < whites:
			kinds = withoutLast(kinds, func(kind string) bool { return kind == of[string](e, "kind") })
		}
		return true
	})
	switch {
	case len(kinds) == 0:
		return Withdrawn{}, false
	case kinds[len(kinds)-1] == "reading":
		return Withdrawn{Reading: &l.Readings[len(l.Readings)-1]}, true
	}
	return Withdrawn{White: &l.Whites[len(l.Whites)-1]}, true
}

// withdraw leaves out the last reading or white of that moment. One that isn't
// there has been taken out by hand, which comes to the same.
func (l *Log) withdraw(kind string, of time.Time) {
	if kind == "reading" {
		l.Readings = withoutLast(l.Readings, func(r rules.Reading) bool { return r.At.Equal(of) })
		return
	}
	l.Whites = withoutLast(l.Whites, func(m WhiteMark) bool { return m.At.Equal(of) })
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
