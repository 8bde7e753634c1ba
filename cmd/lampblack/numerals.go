package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"lampblack/rules"
)

// The numbers of the command line and of a first run's answers, as people type
// them: with or without the unit, with a point or a comma.

// numeral is a kind of number that is asked for.
type numeral struct {
	like      string   // what one looks like, behind "is not"
	units     []string // any of which may stand behind it
	before    string   // may stand before it
	low, high float64  // what it can be, both ends included
	why       string   // what is so of all that can be
	exponents bool     // 1e-9 is one, too: programs write them
}

// The figures that are asked for.
var (
	luxFigure = numeral{like: "a number of lux like 48", units: []string{"lux", "lx"}, low: 0, high: rules.MostLux,
		why: fmt.Sprintf("is not a room light: a reading lies between 0 and %d lx", rules.MostLux)}
	kelvinFigure = numeral{like: "a colour temperature in kelvin like 4000", units: []string{"kelvin", "k"}, low: rules.CoolestLamp, high: rules.BluestSky,
		why: fmt.Sprintf("is not the colour of a room's light: it lies between %d and %d K", rules.CoolestLamp, rules.BluestSky)}
	isoFigure = numeral{like: "a sensitivity like 400", before: "iso", low: 1, high: 1e7,
		why: "is not a sensitivity: it lies between 1 and 10000000"}
	shareFigure = numeral{like: "a share of the light like 0.9 or 90%", low: 0.01, high: 1,
		why: "is not what a sheet reflects: it lies between 0.01 and 1, or 1% and 100%"}
	sizeFigure = numeral{like: "a length in cm like 20", units: []string{"cm"}, low: 10, high: 50,
		why: "is no size for a test strip: each way it is at least 10 and at most 50 cm"}
	stopsFigure = numeral{like: "a number of stops like 0.4 or -0.6", units: []string{"stops", "stop", "ev"}, low: -rules.MostStops, high: rules.MostStops,
		why: fmt.Sprintf("is not a number of stops between -%d and %d", rules.MostStops, rules.MostStops)}
	stepFigure = numeral{like: "a step in stops like 0.4 or -0.6", units: []string{"stops", "stop", "ev"}, low: -3, high: 3,
		why: "is no step of use: give steps from -3 to +3 stops"}
	whiteFigure = numeral{like: "a luminance like 120 or 118.5 cd/m²", units: []string{"cd/m²", "cd/m2", "cd/m^2", "cd", "nits", "nit"}, low: 1, high: rules.MostWhite,
		why: fmt.Sprintf("is not a screen's white: it is from 1 to %d cd/m²", rules.MostWhite)}
	relativeFigure = numeral{like: "a relative luminance like 0.18", exponents: true, low: 0, high: 1,
		why: "is not a relative luminance between 0 and 1"}
)

// read is the number in a text; an error tells it as it was typed.
func (f numeral) read(text string) (float64, error) {
	v, ok := f.number(text)
	switch {
	case !ok:
		return 0, fmt.Errorf("%q is not %s", visible(strings.TrimSpace(text)), f.like)
	case !(f.low <= v && v <= f.high):
		return 0, fmt.Errorf("%s %s", visible(strings.TrimSpace(text)), f.why)
	}
	return v, nil
}

// number is the number in a text, whether it can be meant or not.
func (f numeral) number(text string) (v float64, ok bool) {
	text = strings.TrimSpace(strings.TrimPrefix(plain(text), f.before))
	if v, err := strconv.ParseFloat(text, 64); f.exponents && err == nil {
		return v, !math.IsNaN(v) && !math.IsInf(v, 0)
	}
	part := 1.0
	if before, has := strings.CutSuffix(text, "%"); has && f.high == 1 {
		text, part = strings.TrimSpace(before), 100
	}
	v, ok = numberIn(text, f.units...)
	return v / part, ok
}

// plain is an answer without what people put around it.
func plain(text string) string {
	text = strings.ToLower(strings.Join(strings.Fields(text), " "))
	for _, around := range []string{"about ", "~", "≈"} {
		text = strings.TrimSpace(strings.TrimPrefix(text, around))
	}
	return text
}

// numberIn is the number in a text, with at most one of the units behind it. A
// comma is a decimal point, unless three digits follow, which may be thousands.
func numberIn(text string, units ...string) (float64, bool) {
	for _, u := range units {
		if before, has := strings.CutSuffix(text, u); has {
			text = strings.TrimSpace(before)
			break
		}
	}
	text = strings.Replace(text, "−", "-", 1) // as word processors have it
	if whole, decimals, has := strings.Cut(text, ","); has && (len(decimals) != 3 || strings.TrimLeft(whole, "-+") == "0") {
		text = whole + "." + decimals
	}
	if strings.ContainsFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.-+", r) }) {
		return 0, false // strconv knows infinities, exponents and other bases, too
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}

// looksNegative tells whether a word of the command line is a number below 0 and
// no flag.
func looksNegative(word string) bool {
	rest, minus := strings.CutPrefix(word, "-")
	rest = strings.TrimLeft(rest, ".,")
	return minus && rest != "" && unicode.IsDigit(rune(rest[0]))
}

// The figures as kong fills them in.
type (
	kelvin    rules.Kelvin
	iso       float64
	share     float64     // of the light, 0.01 to 1
	size      float64     // cm
	stops     rules.Stops // positive darker
	step      rules.Stops
	relativeY float64 // a relative luminance, 0 to 1
)

func (v *kelvin) UnmarshalText(text []byte) error    { return fill(v, kelvinFigure, text) }
func (v *iso) UnmarshalText(text []byte) error       { return fill(v, isoFigure, text) }
func (v *share) UnmarshalText(text []byte) error     { return fill(v, shareFigure, text) }
func (v *size) UnmarshalText(text []byte) error      { return fill(v, sizeFigure, text) }
func (v *stops) UnmarshalText(text []byte) error     { return fill(v, stopsFigure, text) }
func (v *step) UnmarshalText(text []byte) error      { return fill(v, stepFigure, text) }
func (v *relativeY) UnmarshalText(text []byte) error { return fill(v, relativeFigure, text) }

func fill[Q ~float64](v *Q, f numeral, text []byte) error {
	n, err := f.read(string(text))
	*v = Q(n)
	return err
}

// count is a number of things, at least one.
type count int

// UnmarshalText reads the count.
func (c *count) UnmarshalText(text []byte) error {
	n, err := strconv.Atoi(strings.TrimSpace(string(text)))
	if err != nil || n < 1 {
		return fmt.Errorf("%q is not a number like 10, at least 1", visible(string(text)))
	}
	*c = count(n)
	return nil
}

// longhand is a number in digits, thousands apart where there are many.
func longhand(v float64) string {
	text := strconv.FormatFloat(v, 'f', -1, 64)
	whole, decimals, has := strings.Cut(text, ".")
	if has {
		decimals = "." + decimals
	}
	if len(whole) > 6 {
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + " " + whole[i:]
		}
	}
	return whole + decimals
}
