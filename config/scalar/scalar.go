// Package scalar reads the single values of the profile and of the log as both mean
// them: numbers, lines of text, words out of a few, days and moments. They come as
// the TOML library decodes them.
package scalar

import (
	"slices"
	"strings"
	"time"
	"unicode"
)

// Number takes TOML's integers and floats alike.
func Number(v any) (float64, bool) {
	switch n := v.(type) {
	case int64:
		return float64(n), true
	case float64:
		return n, true
	}
	return 0, false
}

// HasControl tells a text that is more than a line, or steers what shows it.
func HasControl(s string) bool { return strings.ContainsFunc(s, unicode.IsControl) }

// Line takes a text of one line that is not blank, without the spaces around it.
func Line(v any) (string, bool) {
	s, ok := v.(string)
	if !ok || HasControl(s) {
		return "", false
	}
	s = strings.TrimSpace(s)
	return s, s != ""
}

// Choice takes one of the words, spelt in either English, in any case, and joined by
// space, hyphen or underscore; the result is the word as it is among them.
func Choice[W ~string](v any, words []W) (W, bool) {
	s, ok := v.(string)
	if !ok {
		return "", false
	}
	if slices.Contains(words, W(s)) { // as always in a long log
		return W(s), true
	}
	for _, w := range words {
		if spelling(s) == spelling(string(w)) {
			return w, true
		}
	}
	return "", false
}

// spelling is a word as it is compared.
func spelling(s string) string {
	return strings.NewReplacer("-", " ", "_", " ", "gray", "grey", "color", "colour").Replace(strings.ToLower(strings.TrimSpace(s)))
}

// The years that anything here can be of: others are slips.
const firstYear, lastYear = 1990, 2199

// Moment takes a date and time of the years 1990 to 2199. Without a zone it is local
// time, by the zone of that day and not of today.
func Moment(v any) (time.Time, bool) {
	if t, ok := v.(time.Time); ok && zoneOf(t) == "date-local" {
		return time.Time{}, false
	}
	return Day(v)
}

// Day is Moment that takes a date, too, as its first moment.
func Day(v any) (time.Time, bool) {
	t, ok := v.(time.Time)
	if !ok || t.Year() < firstYear || t.Year() > lastYear {
		return time.Time{}, false
	}
	switch zoneOf(t) {
	case "time-local":
		return time.Time{}, false
	case "date-local", "datetime-local":
		return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), time.Local), true
	}
	return t, true
}

// zoneOf is the TOML library's mark of what was typed: date-local, time-local or
// datetime-local without a zone.
func zoneOf(t time.Time) string { return t.Location().String() }
