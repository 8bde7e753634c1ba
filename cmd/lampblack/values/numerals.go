package values

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"lampblack/config/legible"
	"lampblack/rules"
)

// The numbers of the command line and of a first run's answers, as people type
// them: with or without the unit, with a point or a comma (see the package's rule).

// numeral is a kind of number that is asked for.
type numeral struct {
	like      string   // what one looks like, behind "is not"
	units     []string // any of which may stand behind it
	before    []string // of which one may stand before it, the longest first
	low, high float64  // what it can be, both ends included
	why       string   // what is so of all that can be
	exponents bool     // 1e-9 is one, too: programs write them
	fractions bool     // so is 1/30
}

// The figures that are asked for.
var (
	luxFigure = numeral{like: "a number of lux like 48", units: []string{"lux", "lx"}, low: 0, high: rules.MostLux,
		why: fmt.Sprintf("is not a room light: a reading lies between 0 and %d lx", rules.MostLux)}
	kelvinFigure = numeral{like: "a colour temperature in kelvin like 4000", units: []string{"kelvin", "k"}, low: rules.CoolestLamp, high: rules.BluestSky,
		why: fmt.Sprintf("is not the colour of a room's light: it lies between %d and %d K", rules.CoolestLamp, rules.BluestSky)}
	isoFigure = numeral{like: "a sensitivity like 400", before: []string{"iso"}, low: 1, high: 1e7,
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
	secondsFigure = numeral{like: "an exposure time like 1/30 or 0.5, in seconds", units: []string{"seconds", "second", "sec.", "sec", "s", `"`, "″"}, fractions: true,
		low: 1e-6, high: 86400, why: "is not an exposure time: it is at least a millionth of a second, faster than any shutter, and at most a day"}
	apertureFigure = numeral{like: "an aperture like 4 or f/4", before: []string{"f /", "f/", "f"}, low: 0.3, high: 512,
		why: "is not an aperture: it lies between f/0.3 and f/512"}
)

// read is the number in a text; an error tells it as it was typed.
func (f numeral) read(text string) (float64, error) {
	v, ok := f.number(text)
	typed := legible.Line(strings.TrimSpace(text))
	switch ways := f.meant(text); {
	case !ok && len(ways) > 0:
		return 0, writeIt(typed, ways)
	case !ok:
		return 0, fmt.Errorf("%q is not %s", typed, f.like)
	case !(f.low <= v && v <= f.high):
		return 0, fmt.Errorf("%s %s", typed, f.why)
	}
	return v, nil
}

// writeIt is the error of a text that may mean what can be written in these ways.
func writeIt(typed string, ways []string) error {
	return fmt.Errorf("%q: write it %s", typed, strings.Join(ways, " or "))
}

// number is the number in a text, whether it can be meant or not.
func (f numeral) number(text string) (v float64, ok bool) {
	text, part := f.bare(text)
	over, under, isFraction := strings.Cut(text, "/")
	switch {
	case f.exponents:
		if v, err := strconv.ParseFloat(text, 64); err == nil {
			return v, !math.IsNaN(v) && !math.IsInf(v, 0)
		}
	case f.fractions && isFraction:
		o, ok := numberIn(strings.TrimSpace(over))
		u, too := numberIn(strings.TrimSpace(under))
		return o / u, ok && too
	}
	v, ok = numberIn(text)
	return v / part, ok
}

// meant are the ways to write the number that a text with its thousands apart may
// mean, of those that can be.
func (f numeral) meant(text string) []string {
	text, part := f.bare(text)
	if part != 1 {
		return nil // no share has thousands
	}
	over, under, isFraction := strings.Cut(text, "/")
	ways := ungrouped(text)
	if f.fractions && isFraction {
		for _, way := range ungrouped(under) {
			ways = append(ways, over+"/"+way)
		}
	}
	return slices.DeleteFunc(ways, func(way string) bool {
		v, ok := f.number(way)
		return !ok || !(f.low <= v && v <= f.high)
	})
}

// bare is a text without what may stand before and behind the number, which is a
// share of part.
func (f numeral) bare(text string) (digits string, part float64) {
	text = plain(text)
	for _, b := range f.before {
		if behind, has := strings.CutPrefix(text, b); has {
			text = strings.TrimSpace(behind)
			break
		}
	}
	if before, has := strings.CutSuffix(text, "%"); has && f.high == 1 {
		return strings.TrimSpace(before), 100
	}
	for _, u := range f.units {
		if before, has := strings.CutSuffix(text, u); has {
			text = strings.TrimSpace(before)
			break
		}
	}
	return text, 1
}

// plain is an answer without what people put around it.
func plain(text string) string {
	text = strings.ToLower(strings.Join(strings.Fields(text), " "))
	text = strings.Replace(text, "−", "-", 1) // as word processors have it
	for _, around := range []string{"about ", "~", "≈"} {
		text = strings.TrimSpace(strings.TrimPrefix(text, around))
	}
	return text
}

// numberIn is the number that digits with a point or a comma make. A comma is a
// decimal point, unless three digits follow, which may be thousands.
func numberIn(digits string) (float64, bool) {
	if whole, decimals, has := strings.Cut(digits, ","); has && !strings.Contains(digits, ".") && len(ungrouped(digits)) == 0 {
		digits = whole + "." + decimals
	}
	if strings.ContainsFunc(digits, func(r rune) bool { return !strings.ContainsRune("0123456789.-+", r) }) {
		return 0, false // strconv knows infinities, exponents and other bases, too
	}
	v, err := strconv.ParseFloat(digits, 64)
	return v, err == nil
}

// thousands are the numbers with their thousands apart, by the mark that parts them.
var thousands = func() map[string]*regexp.Regexp {
	forms := map[string]*regexp.Regexp{}
	for _, mark := range []string{",", ".", "'", "’", " "} {
		forms[mark] = regexp.MustCompile(`^([-+]?[1-9]\d{0,2})((?:` + regexp.QuoteMeta(mark) + `\d{3})+)(?:([.,])(\d+))?$`)
	}
	return forms
}()

// ungrouped are the ways to write a number whose thousands stand apart: two where
// a comma may also be the decimal one, as in 4,000; none for any other text.
func ungrouped(digits string) (ways []string) {
	for mark, form := range thousands {
		m := form.FindStringSubmatch(digits)
		switch {
		case m == nil || m[3] == mark:
		case m[3] == "" && mark == "." && len(m[2]) == 4: // 4.000 is 4
		case m[3] == "" && mark == "," && len(m[2]) == 4:
			return []string{m[1] + m[2][1:], m[1] + "." + m[2][1:]}
		case m[3] == "":
			return []string{m[1] + strings.ReplaceAll(m[2], mark, "")}
		default:
			return []string{m[1] + strings.ReplaceAll(m[2], mark, "") + "." + m[4]}
		}
	}
	return nil
}

// LooksNegative tells whether a word of the command line is a number below 0 and
// no flag.
func LooksNegative(word string) bool {
	rest, minus := strings.CutPrefix(word, "-")
	rest = strings.TrimLeft(rest, ".,")
	return minus && rest != "" && unicode.IsDigit(rune(rest[0]))
}

// Longhand is a number in digits, thousands apart where there are many.
func Longhand(v float64) string {
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
