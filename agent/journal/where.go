package journal

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampblack/rules"
)

// Where is a demand on one condition of an entry, such as "room > 100".
type Where struct {
	name  string // of the condition
	sign  string // one of signs
	value float64
	word  string // one of stateWords, in place of a value
}

// signs are the comparisons, of which one that begins with another stands first.
var signs = []string{"<=", ">=", "!=", "<", ">", "="}

// stateWords are what a condition can be besides a number.
var stateWords = []string{"in", "out", "assumed", "measured"}

// howWhere ends the sentence about a demand that can't be read.
const howWhere = `write it like "room > 100", "screen <= 120" or "room = out"`

// Numeral reads a number as people may type it where they are asked. What is none is
// not ok; where it may still mean a number, or two, ways are how to write those.
type Numeral func(text string) (v float64, ways []string, ok bool)

// ParseWhere reads a demand: a condition, a comparison, and a number with or
// without its unit, or with = and != one of the words in, out (of its target),
// assumed and measured. A condition may be shortened as long as it is clear which
// is meant: room is room light. An error is one sentence.
func ParseWhere(text string, read Numeral) (Where, error) {
	at := strings.IndexAny(text, "<>=!")
	if at < 0 {
		return Where{}, fmt.Errorf("there is no comparison in %q: %s, in quotes, since a shell takes < and > for itself", text, howWhere)
	}
	i := slices.IndexFunc(signs, func(s string) bool { return strings.HasPrefix(text[at:], s) })
	if i < 0 {
		return Where{}, fmt.Errorf("there is no comparison in %q: it is one of %s", text, strings.Join(signs, " "))
	}
	sign := signs[i]
	of, err := conditionNamed(strings.ToLower(strings.Join(strings.Fields(text[:at]), " ")))
	if err != nil {
		return Where{}, err
	}
	w := Where{name: of.Name, sign: sign}
	value := strings.ToLower(strings.TrimSpace(text[at+len(sign):]))
	if slices.Contains(stateWords, value) {
		if sign != "=" && sign != "!=" {
			return Where{}, fmt.Errorf("%q is no number: with %s only = and != make sense", value, value)
		}
		w.word = value
		return w, nil
	}
	w.value, err = numberWith(value, of.Unit.Typed, read)
	if share := of.Unit.Whole; err == nil && share != "" && w.value > 1 && !strings.HasSuffix(value, "%") {
		err = fmt.Errorf("%[1]q is no %[2]s, whose %[3]s is 1: write it like \"%[2]s > 10 %%\"", value, of.Name, share)
	}
	return w, err
}

// conditionNamed is the condition that is meant by its short name, or by the
// beginning of its name.
func conditionNamed(start string) (found rules.Description, err error) {
	var all []string
	several := 0
	for _, c := range rules.Catalogue() {
		all = append(all, c.Name)
		if start == "" {
			continue
		}
		if start == c.Short || start == c.Name {
			return c, nil
		}
		if strings.HasPrefix(c.Name, start) {
			found = c
			several++
		}
	}
	switch several {
	case 1:
		return found, nil
	case 0:
		return found, fmt.Errorf("%q is no condition: they are %s", start, strings.Join(all, ", "))
	}
	return found, fmt.Errorf("%q is the beginning of several conditions: they are %s", start, strings.Join(all, ", "))
}

// numberWith reads a number, in small letters, with at most one of the units behind
// it.
func numberWith(text string, units []string, read Numeral) (float64, error) {
	number, unit := text, ""
	for _, u := range units {
		if before, has := strings.CutSuffix(text, strings.ToLower(u)); has {
			number, unit = strings.TrimSpace(before), u
			break
		}
	}
	v, ways, ok := read(number)
	switch {
	case !ok && len(ways) > 0:
		return 0, fmt.Errorf("%q: write it %s", text, strings.Join(ways, " or "))
	case !ok || math.IsNaN(v) || math.IsInf(v, 0):
		in := ""
		if len(units) > 0 {
			in = " in " + units[0]
		}
		return 0, fmt.Errorf("%q is not a number%s: %s", text, in, howWhere)
	}
	if unit == "%" {
		v /= 100
	}
	return v, nil
}

// Holds tells whether an entry meets the demand. One that was not judged, or
// whose condition is not known, meets none about a number.
func (w Where) Holds(e Entry) bool {
	if e.Report == nil {
		return false
	}
	c := e.Report.Condition(w.name)
	if c.Name == "" {
		return false
	}
	if w.word != "" {
		return w.is(c) == (w.sign == "=")
	}
	return c.Value.Known() && w.compares(float64(c.Value), c.Shown())
}

func (w Where) is(c rules.Condition) bool {
	switch w.word {
	case "in":
		return c.InTarget
	case "out":
		return !c.InTarget
	case "assumed":
		return c.Assumed
	default:
		return !c.Assumed
	}
}

// compares compares a value with the demand's, to which it is equal, too, where it
// reads as that.
func (w Where) compares(v, shown float64) bool {
	equal := v == w.value || shown == w.value
	switch w.sign {
	case "<":
		return v < w.value
	case "<=":
		return v < w.value || equal
	case ">":
		return v > w.value
	case ">=":
		return v > w.value || equal
	case "=":
		return equal
	default:
		return !equal
	}
}
