package values

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lampblack/config/legible"
	"lampblack/rules"
)

// Lux reads an illuminance of the room such as "48", "48 lx" or "1,5 lux".
func Lux(text string) (rules.Lux, error) {
	v, err := luxFigure.read(text)
	return rules.Lux(v), err
}

// CheckLux says what is wrong with an illuminance that was worked out and that no
// room can have; nil for all others.
func CheckLux(l rules.Lux) error {
	if l >= 0 && l <= rules.MostLux {
		return nil
	}
	return fmt.Errorf("%s lx %s", Longhand(math.Round(float64(l))), luxFigure.why)
}

// anyFigure is a number of anything, as programs write them, too.
var anyFigure = numeral{like: "a number", exponents: true, low: math.Inf(-1), high: math.Inf(1)}

// Number reads a number of anything, without its unit. What is none is not ok; where it
// may still mean a number, or two, ways are how to write those.
func Number(text string) (v float64, ways []string, ok bool) {
	if v, ok = anyFigure.number(text); ok {
		return v, nil, true
	}
	return 0, anyFigure.meant(text), false
}

// The figures as kong fills them in.
type (
	Kelvin    rules.Kelvin // a correlated colour temperature
	ISO       float64      // a sensitivity, 1 to 1e7
	Share     float64      // of the light that falls on a sheet, 0.01 to 1
	Size      float64      // of a test strip, 10 to 50 cm
	Stops     rules.Stops  // positive darker
	Step      rules.Stops  // of a test strip, -3 to 3
	RelativeY float64      // a relative luminance, 0 to 1
	Seconds   float64      // an exposure time: 1/30, 0.5, 0,5, 2 s or 2"
	FNumber   float64      // an aperture: 4, f/4, F4 or 5,6
)

// UnmarshalText reads the colour temperature.
func (v *Kelvin) UnmarshalText(text []byte) error { return fill(v, kelvinFigure, text) }

// UnmarshalText reads the sensitivity.
func (v *ISO) UnmarshalText(text []byte) error { return fill(v, isoFigure, text) }

// UnmarshalText reads the share.
func (v *Share) UnmarshalText(text []byte) error { return fill(v, shareFigure, text) }

// UnmarshalText reads the length.
func (v *Size) UnmarshalText(text []byte) error { return fill(v, sizeFigure, text) }

// UnmarshalText reads the number of stops.
func (v *Stops) UnmarshalText(text []byte) error { return fill(v, stopsFigure, text) }

// UnmarshalText reads the step.
func (v *Step) UnmarshalText(text []byte) error { return fill(v, stepFigure, text) }

// UnmarshalText reads the time.
func (v *Seconds) UnmarshalText(text []byte) error { return fill(v, secondsFigure, text) }

// UnmarshalText reads the aperture.
func (v *FNumber) UnmarshalText(text []byte) error { return fill(v, apertureFigure, text) }

// UnmarshalText reads the luminance.
func (v *RelativeY) UnmarshalText(text []byte) error { return fill(v, relativeFigure, text) }

func fill[Q ~float64](v *Q, f numeral, text []byte) error {
	n, err := f.read(string(text))
	*v = Q(n)
	return err
}

// Count is a number of things, at least one.
type Count int

// UnmarshalText reads the count.
func (c *Count) UnmarshalText(text []byte) error {
	typed := strings.TrimSpace(string(text))
	n, err := strconv.Atoi(typed)
	if ways := ungrouped(plain(typed)); len(ways) > 0 {
		return writeIt(legible.Line(typed), ways[:1]) // there is no part of a thing
	}
	if err != nil || n < 1 {
		return fmt.Errorf("%q is not a number like 10, at least 1", legible.Line(string(text)))
	}
	*c = Count(n)
	return nil
}
