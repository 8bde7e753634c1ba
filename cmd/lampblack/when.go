package main

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// stretch is a time as people name it: a moment, or a whole day, month or year of
// the local calendar. It goes from its first moment up to the first one after it.
type stretch struct{ from, to time.Time }

// UnmarshalText reads a stretch of the command line.
func (s *stretch) UnmarshalText(text []byte) (err error) {
	*s, err = stretchOf(string(text), time.Now())
	return err
}

// since is the first moment; the zero time when there is no stretch.
func (s *stretch) since() time.Time {
	if s == nil {
		return time.Time{}
	}
	return s.from
}

// until is the first moment after it; the zero time when there is no stretch.
func (s *stretch) until() time.Time {
	if s == nil {
		return time.Time{}
	}
	return s.to
}

// errNoTime says what a time looks like; the text stands before it.
var errNoTime = errors.New(`is not a time like 2026-03-01, 2026-03, 2026, today or "3 weeks ago"`)

// ago is "3 weeks ago", "a month ago" and the like.
var ago = regexp.MustCompile(`^(a|an|one|\d{1,4}) (day|week|month|year)s? ago$`)

// earliest is the first year that a time may be of: before it, nobody exported
// to a folder.
const earliest = 1990

// stretchOf reads a stretch as seen from now, whose calendar it goes by.
func stretchOf(text string, now time.Time) (stretch, error) {
	s, ok := parseStretch(strings.ToLower(strings.Join(strings.Fields(text), " ")), now)
	if !ok || s.from.Year() < earliest || s.from.Year() > 2199 {
		return stretch{}, fmt.Errorf("%q %w", visible(text), errNoTime)
	}
	return s, nil
}

func parseStretch(text string, now time.Time) (stretch, bool) {
	y, m, d := now.Date()
	today := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	whole := func(day time.Time) stretch { return onCalendar(day, day.AddDate(0, 0, 1), now.Location()) }
	switch text {
	case "today":
		return whole(today), true
	case "yesterday":
		return whole(today.AddDate(0, 0, -1)), true
	}
	if m := ago.FindStringSubmatch(text); m != nil {
		return whole(daysBack(today, m[1], m[2])), true
	}
	if t, err := time.Parse(time.RFC3339, strings.ToUpper(text)); err == nil {
		return stretch{t, t.Add(1)}, true
	}
	for layout, size := range map[string][3]int{"2006-01-02": {0, 0, 1}, "2006-01": {0, 1, 0}, "2006": {1, 0, 0}} {
		if day, err := time.Parse(layout, text); err == nil {
			return onCalendar(day, day.AddDate(size[0], size[1], size[2]), now.Location()), true
		}
	}
	return stretch{}, false
}

func daysBack(today time.Time, count, unit string) time.Time {
	n, err := strconv.Atoi(count)
	if err != nil {
		n = 1 // a, an, one
	}
	switch unit {
	case "day":
		return today.AddDate(0, 0, -n)
	case "week":
		return today.AddDate(0, 0, -7*n)
	case "month":
		return today.AddDate(0, -n, 0)
	default:
		return today.AddDate(-n, 0, 0)
	}
}

// onCalendar goes from one day up to another, both given in UTC, where every day
// has a midnight.
func onCalendar(from, to time.Time, zone *time.Location) stretch {
	return stretch{beginOf(from, zone), beginOf(to, zone)}
}

// beginOf is the first moment of a day: where the clocks are put on at midnight, as
// in Chile, that is one o'clock, and [time.Date] may give the evening before.
func beginOf(day time.Time, zone *time.Location) time.Time {
	t := time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, zone)
	if t.Day() != day.Day() {
		_, t = t.ZoneBounds()
	}
	return t
}
