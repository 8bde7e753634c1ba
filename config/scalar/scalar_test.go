package scalar

import (
	"testing"
	"time"

	"github.com/BurntSushi/toml"
)

// typed is a value as the library decodes it.
func typed(t *testing.T, text string) any {
	t.Helper()
	decoded := map[string]any{}
	if _, err := toml.Decode("v = "+text, &decoded); err != nil {
		t.Fatal(err)
	}
	return decoded["v"]
}

func TestNumber(t *testing.T) {
	for text, want := range map[string]float64{"41": 41, "41.5": 41.5, "-1": -1, "1e3": 1000} {
		if got, ok := Number(typed(t, text)); !ok || got != want {
			t.Errorf("%s is %v, %v", text, got, ok)
		}
	}
	for _, text := range []string{`"41"`, "true", "[41]", "2026-03-01"} {
		if got, ok := Number(typed(t, text)); ok {
			t.Errorf("%s is taken for %v", text, got)
		}
	}
}

func TestLine(t *testing.T) {
	if got, ok := Line("  blind half down "); !ok || got != "blind half down" {
		t.Errorf("got %q, %v", got, ok)
	}
	for _, v := range []any{"", "  ", "two\nlines", "a\tb", "\x1b[2J", 41.0, nil} {
		if got, ok := Line(v); ok {
			t.Errorf("%q is taken for the line %q", v, got)
		}
	}
}

func TestChoice(t *testing.T) {
	greys := []string{"dark grey", "mid grey"}
	for _, text := range []string{"mid grey", "Mid-Gray", " mid_grey "} {
		if got, ok := Choice(text, greys); !ok || got != "mid grey" {
			t.Errorf("%q is %q, %v", text, got, ok)
		}
	}
	for _, v := range []any{"grey", "", true} {
		if got, ok := Choice(v, greys); ok {
			t.Errorf("%v is taken for %q", v, got)
		}
	}
}

// Both ends of the years, typed: a day before or after them is a slip.
func TestYears(t *testing.T) {
	for text, want := range map[string]bool{
		"1989-12-31": false, "1990-01-01": true, "2199-12-31": true, "2200-01-01": false,
		"1989-12-31T23:59:59Z": false, "1990-01-01T00:00:00Z": true, "2199-12-31T23:59:59Z": true, "2200-01-01T00:00:00Z": false,
	} {
		if _, ok := Day(typed(t, text)); ok != want {
			t.Errorf("%s is taken for a day: %v", text, ok)
		}
		if _, ok := Moment(typed(t, text)); ok != (want && len(text) > len(time.DateOnly)) {
			t.Errorf("%s is taken for a moment: %v", text, ok)
		}
	}
}

func TestZones(t *testing.T) {
	home := time.Local
	t.Cleanup(func() { time.Local = home })
	time.Local = time.FixedZone("Skarvik", 2*3600)
	nine := time.Date(2026, 3, 1, 7, 10, 0, 0, time.UTC)
	for _, text := range []string{"2026-03-01T07:10:00Z", "2026-03-01T09:10:00+02:00", "2026-03-01T09:10:00"} {
		if got, ok := Moment(typed(t, text)); !ok || !got.Equal(nine) {
			t.Errorf("%s is %v, %v", text, got, ok)
		}
	}
	if got, ok := Day(typed(t, "2026-03-01")); !ok || !got.Equal(time.Date(2026, 2, 28, 22, 0, 0, 0, time.UTC)) {
		t.Errorf("the day begins at %v, %v", got, ok)
	}
	if got, ok := Moment(typed(t, "09:10:00")); ok {
		t.Errorf("a time of day is taken for %v", got)
	}
}
