package values

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"lampblack/config/legible"
)

// Stretch is a time as people name it: a moment, or a whole day, month or year of
// the local calendar. It goes from its first moment up to the first one after it.
type Stretch struct{ from, to time.Time }

// UnmarshalText reads a stretch of the command line.
func (s *Stretch) UnmarshalText(text []byte) (err error) {
	*s, err = stretchOf(string(text), time.Now())
	return err
}

// Since is the first moment; the zero time when there is no stretch.
func (s *Stretch) Since() time.Time {
	if s == nil {
		return time.Time{}
	}
	return s.from
}

// Until is the first moment after it; the zero time when there is no stretch.
func (s *Stretch) Until() time.Time {
	if s == nil {
		return time.Time{}
	}
	return s.to
}

// Moment is a time on the command line; nil stands for now. A day alone stands
// for its noon, or for now if it is today.
type Moment struct{ time.Time }

// UnmarshalText reads the moment.
func (m *Moment) UnmarshalText(text []byte) (err error) {
	m.Time, err = momentOf(string(text), time.Now())
	return err
}

// OrNow is the moment; now when none was named.
func (m *Moment) OrNow() time.Time {
	if m == nil {
		return time.Now()
	}
	return m.Time
}

// momentOf reads a moment as seen from now.
func momentOf(text string, now time.Time) (time.Time, error) {
	s, err := stretchOf(text, now)
	switch {
	case err != nil:
		return time.Time{}, err
	case s.to.Sub(s.from) < time.Hour:
		return s.from, nil
	case s.to.Sub(s.from) > longestDay:
		return time.Time{}, fmt.Errorf(`%q is more than a day: name the day, or a time like "2026-03-01 15:00"`, legible.Line(text))
	case !now.Before(s.from) && now.Before(s.to):
		return now, nil
	default:
		y, m, d := s.from.Date()
		return time.Date(y, m, d, 12, 0, 0, 0, s.from.Location()), nil
	}
}

// longestDay is one on which the clocks are put back.
const longestDay = 26 * time.Hour

// skew is how far the clocks of machines and cameras may be apart.
const skew = 5 * time.Minute

// Clock is a moment of the local clock.
func Clock(t time.Time) string { return t.Local().Format("2006-01-02 15:04") }

// Gone wants the moment of a flag to have been, as seen from now; clocks may differ
// by minutes.
func Gone(flag string, at, now time.Time) error {
	if at.After(now.Add(skew)) {
		return fmt.Errorf("%s: %s has yet to come: a reading is of now or of before", flag, Clock(at))
	}
	return nil
}

// errNoTime says what a time looks like; the text stands before it.
var errNoTime = errors.New(`is not a time like 2026-03-01, "2026-03-01 15:00", 2026-03, 2026, today or "3 weeks ago"`)

// ago is "3 weeks ago", "a month ago" and the like.
var ago = regexp.MustCompile(`^(a|an|one|\d{1,4}) (day|week|month|year)s? ago$`)

// earliest is the first year that a time may be of: before it, nobody exported
// to a folder.
const earliest = 1990

// stretchOf reads a stretch as seen from now, whose calendar it goes by.
func stretchOf(text string, now time.Time) (Stretch, error) {
	s, ok := parseStretch(strings.ToLower(strings.Join(strings.Fields(text), " ")), now)
	if days := meantDays(text); !ok && len(days) > 0 {
		return Stretch{}, writeIt(legible.Line(text), days)
	}
	if !ok || s.from.Year() < earliest || s.from.Year() > 2199 {
		return Stretch{}, fmt.Errorf("%q %w", legible.Line(text), errNoTime)
	}
	return s, nil
}

func parseStretch(text string, now time.Time) (Stretch, bool) {
	y, m, d := now.Date()
	today := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	whole := func(day time.Time) Stretch { return onCalendar(day, day.AddDate(0, 0, 1), now.Location()) }
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
		return Stretch{t, t.Add(1)}, true
	}
	for layout, size := range map[string][3]int{"2006-01-02": {0, 0, 1}, "2006-01": {0, 1, 0}, "2006": {1, 0, 0}} {
		if day, err := time.Parse(layout, text); err == nil {
			return onCalendar(day, day.AddDate(size[0], size[1], size[2]), now.Location()), true
		}
	}
	return clockTime(text, now)
}

// clockTime reads a day with a time of the clock behind it, or such a time alone,
// which is of today.
func clockTime(text string, now time.Time) (Stretch, bool) {
	i := strings.LastIndexAny(text, " t")
	day, clock := "today", text
	if i >= 0 {
		day, clock = text[:i], text[i+1:]
	}
	for layout, size := range map[string]time.Duration{"15:04": time.Minute, "15:04:05": time.Second} {
		t, err := time.Parse(layout, clock)
		s, ok := Stretch{}, false
		if err == nil && !strings.Contains(day, ":") {
			s, ok = parseStretch(day, now)
		}
		if ok && s.to.Sub(s.from) <= longestDay {
			y, m, d := s.from.Date()
			from := time.Date(y, m, d, t.Hour(), t.Minute(), t.Second(), 0, now.Location())
			return Stretch{from, from.Add(size)}, true
		}
	}
	return Stretch{}, false
}

// otherDay is a day with its parts in another order, or joined otherwise.
var otherDay = regexp.MustCompile(`^\s*(\d{1,4})[-./](\d{1,2})[-./](\d{1,4})\s*$`)

// meantDays are the days that a text written in another way may mean, as they are
// to be written: two where day and month could be either.
func meantDays(text string) (days []string) {
	m := otherDay.FindStringSubmatch(text)
	if m == nil {
		return nil
	}
	orders := [][3]string{{m[3], m[2], m[1]}, {m[3], m[1], m[2]}} // 25.11.2026, 11/25/2026
	switch {
	case len(m[1]) == 4:
		orders = [][3]string{{m[1], m[2], m[3]}}
	case strings.Contains(text, "."):
		orders = orders[:1]
	}
	for _, o := range orders {
		t, err := time.Parse("2006-1-2", o[0]+"-"+strings.TrimPrefix(o[1], "0")+"-"+strings.TrimPrefix(o[2], "0"))
		if day := t.Format(time.DateOnly); err == nil && !slices.Contains(days, day) {
			days = append(days, day)
		}
	}
	return days
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
func onCalendar(from, to time.Time, zone *time.Location) Stretch {
	return Stretch{beginOf(from, zone), beginOf(to, zone)}
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
