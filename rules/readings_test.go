package rules

import (
	"slices"
	"testing"
	"time"
)

// Readings come in any order and some come twice; those of one moment stay as they
// came, and the place tells two of the same light apart.
func TestWithReading(t *testing.T) {
	nine := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	var got []Reading
	for _, r := range []Reading{
		{At: nine.Add(time.Hour), Light: 10, Place: AtScreen},
		{At: nine, Light: 9, Place: AtScreen},
		{At: nine.Add(time.Hour), Light: 11, Place: AtScreen},
		{At: nine.Add(time.Hour), Light: 10, Place: AtScreen, Note: "once more"},
		{At: nine.Add(time.Hour).Local(), Light: 11, Place: OnDesk},
		{At: nine.Add(2 * time.Hour), Light: 10, Place: AtScreen},
		{At: nine, Light: 9, Place: AtScreen, Kelvin: 3000},
	} {
		got = WithReading(got, r)
	}
	var lights []Lux
	for _, r := range got {
		lights = append(lights, r.Light)
		if r.Note != "" || r.Kelvin != 0 {
			t.Errorf("%+v says the same as one before", r)
		}
	}
	if !slices.Equal(lights, []Lux{9, 10, 11, 11, 10}) {
		t.Errorf("the readings are %v", got)
	}
}
