package values

import (
	"strconv"
	"strings"
	"testing"
	"time"
)

// skarvik keeps an hour more in summer, so that its days have 23 to 25 hours.
func skarvik(t testing.TB) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

func TestStretch(t *testing.T) {
	now := time.Date(2026, 3, 30, 10, 0, 0, 0, skarvik(t)) // the day after the clocks were put on
	for text, want := range map[string][2]string{
		"2026-03-01":           {"2026-03-01T00:00:00+01:00", "2026-03-02T00:00:00+01:00"},
		"2026-03-29":           {"2026-03-29T00:00:00+01:00", "2026-03-30T00:00:00+02:00"},
		"2026-03":              {"2026-03-01T00:00:00+01:00", "2026-04-01T00:00:00+02:00"},
		"2026":                 {"2026-01-01T00:00:00+01:00", "2027-01-01T00:00:00+01:00"},
		" Today ":              {"2026-03-30T00:00:00+02:00", "2026-03-31T00:00:00+02:00"},
		"yesterday":            {"2026-03-29T00:00:00+01:00", "2026-03-30T00:00:00+02:00"},
		"3 weeks  ago":         {"2026-03-09T00:00:00+01:00", "2026-03-10T00:00:00+01:00"},
		"a month ago":          {"2026-03-02T00:00:00+01:00", "2026-03-03T00:00:00+01:00"}, // there is no 30th of February
		"one year ago":         {"2025-03-30T00:00:00+01:00", "2025-03-31T00:00:00+02:00"},
		"10 days ago":          {"2026-03-20T00:00:00+01:00", "2026-03-21T00:00:00+01:00"},
		"2026-03-01 15:00":     {"2026-03-01T15:00:00+01:00", "2026-03-01T15:01:00+01:00"},
		"2026-03-01T15:00":     {"2026-03-01T15:00:00+01:00", "2026-03-01T15:01:00+01:00"},
		"2026-03-01 15:00:05":  {"2026-03-01T15:00:05+01:00", "2026-03-01T15:00:06+01:00"},
		"Yesterday 23:30":      {"2026-03-29T23:30:00+02:00", "2026-03-29T23:31:00+02:00"},
		"3 weeks ago 08:00":    {"2026-03-09T08:00:00+01:00", "2026-03-09T08:01:00+01:00"},
		"9:30":                 {"2026-03-30T09:30:00+02:00", "2026-03-30T09:31:00+02:00"},
		"2026-03-01T10:00:00Z": {"2026-03-01T10:00:00Z", "2026-03-01T10:00:00Z"},
	} {
		got, err := stretchOf(text, now)
		if err != nil || got.from.Format(time.RFC3339) != want[0] || got.to.Format(time.RFC3339) != want[1] || !got.to.After(got.from) {
			t.Errorf("%q is %v to %v, %v; want %v", text, got.from, got.to, err, want)
		}
	}
	for _, text := range []string{"", "tomorrow", "2026-13-01", "2026-02-30", "26", "1989", "2200-01-01", "9999 years ago", "3 weeks", "-3 weeks ago", "0x10 days ago", "2026-03 15:00", "2026-03-01 25:00", "15:00 15:00", "31.02.2026"} {
		if got, err := stretchOf(text, now); err == nil || !strings.Contains(err.Error(), "is not a time like 2026-03-01") {
			t.Errorf("%q is %v, %v; want an error that says how a time looks", text, got, err)
		}
	}
}

// In Chile the clocks are put on at midnight: that day begins at one.
func TestStretchWithoutMidnight(t *testing.T) {
	chile, err := time.LoadLocation("America/Santiago")
	if err != nil {
		t.Fatal(err)
	}
	now := time.Date(2024, 9, 8, 10, 0, 0, 0, chile)
	for text, want := range map[string][2]string{
		"today":      {"2024-09-08T01:00:00-03:00", "2024-09-09T00:00:00-03:00"},
		"2024-09-08": {"2024-09-08T01:00:00-03:00", "2024-09-09T00:00:00-03:00"},
		"yesterday":  {"2024-09-07T00:00:00-04:00", "2024-09-08T01:00:00-03:00"},
	} {
		got, err := stretchOf(text, now)
		if err != nil || got.from.Format(time.RFC3339) != want[0] || got.to.Format(time.RFC3339) != want[1] {
			t.Errorf("%q is %v to %v, %v; want %v", text, got.from, got.to, err, want)
		}
	}
}

// A day written in another way is answered with how to write it.
func TestMeantDays(t *testing.T) {
	for text, want := range map[string]string{
		"25.11.2026": "write it 2026-11-25", "2026/02/10": "write it 2026-02-10", "11/25/2026": "write it 2026-11-25",
		"2026-2-3": "write it 2026-02-03", "03/01/2026": "write it 2026-01-03 or 2026-03-01", "5.5.2026": "write it 2026-05-05",
	} {
		if got, err := stretchOf(text, time.Now()); err == nil || err.Error() != strconv.Quote(text)+": "+want {
			t.Errorf("%q is %v, %v; want %s", text, got, err, want)
		}
	}
}

func TestMoment(t *testing.T) {
	now := time.Date(2026, 3, 30, 10, 0, 0, 0, skarvik(t))
	for text, want := range map[string]string{
		"today": "2026-03-30 10:00", "yesterday": "2026-03-29 12:00", // a day of 23 hours
		"2026-03-01": "2026-03-01 12:00", "2026-03-01 15:00": "2026-03-01 15:00", "2026-03-01T10:00:00+01:00": "2026-03-01 10:00",
	} {
		if got, err := momentOf(text, now); err != nil || got.Format("2006-01-02 15:04") != want {
			t.Errorf("%q is %v, %v; want %s", text, got, err, want)
		}
	}
	if _, err := momentOf("2026-03", now); err == nil || !strings.Contains(err.Error(), `"2026-03" is more than a day`) {
		t.Errorf("a month is a moment: %v", err)
	}
	if err := Gone("--at", now.Add(4*time.Minute), now); err != nil {
		t.Errorf("clocks may differ by minutes: %v", err)
	}
	if err := Gone("--at", now.Add(time.Hour), now); err == nil {
		t.Error("an hour ahead is gone")
	}
}

// FuzzStretch: what is no time is told in one line; what is one goes forward, and
// is within what a calendar can hold.
func FuzzStretch(f *testing.F) {
	for _, text := range []string{"2026-03-01", "2026", "3 weeks ago", "a day ago", "2026-03-01T10:00:00+25:00", "9999 months ago", "today\n"} {
		f.Add(text, int64(1_774_857_600))
	}
	f.Fuzz(func(t *testing.T, text string, now int64) {
		s, err := stretchOf(text, time.Unix(now%4e9, 0).UTC())
		switch {
		case err != nil && strings.ContainsAny(err.Error(), "\n\r\x1b"):
			t.Errorf("%q: %q", text, err)
		case err == nil && !s.to.After(s.from):
			t.Errorf("%q goes from %v to %v", text, s.from, s.to)
		}
	})
}
