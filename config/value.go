package config

import (
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"lampblack/config/scalar"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// read turns a decoded value into the one the key stands for: string, bool,
// float64, rules.Range, colour.XY, []string or time.Time. Otherwise why says
// what was found and what is allowed.
func (k key) read(v any) (value any, why string) {
	switch k.kind {
	case kindText, kindPath:
		return k.readText(v)
	case kindFlag:
		b, ok := v.(bool)
		return b, k.unless(ok, v)
	case kindNumber, kindWhole:
		n, ok := scalar.Number(v)
		ok = ok && k.holds(n) && (k.kind == kindNumber || n == math.Trunc(n))
		return n, k.unless(ok, v)
	case kindInterval:
		return k.readInterval(v)
	case kindWhiteXY:
		x, y, ok := k.readPair(v)
		return colour.XY{X: x, Y: y}, k.unless(ok, v)
	case kindPatterns:
		return k.readPatterns(v)
	case kindChoice:
		return k.readChoice(v)
	default:
		t, ok := k.readTime(v)
		return t, k.unless(ok, v)
	}
}

// unless is the usual complaint about v, or nothing when it is sound.
func (k key) unless(sound bool, v any) string {
	if sound {
		return ""
	}
	return fmt.Sprintf("found %s, allowed is %s", k.describe(v), k.allowed())
}

// holds tells whether n is in the key's range; NaN is in none.
func (k key) holds(n float64) bool { return k.low <= n && n <= k.high }

func (k key) readText(v any) (string, string) {
	s, ok := v.(string)
	if ok && scalar.HasControl(s) {
		if k.kind == kindPath {
			return "", fmt.Sprintf(`found %q, in which a backslash in double quotes has made a control character; `+
				`write paths in single quotes, or with /`, shorten(s))
		}
		return "", fmt.Sprintf("found %q, a text with a line end or another control character; allowed is one line", shorten(s))
	}
	ok = ok && strings.TrimSpace(s) != ""
	if k.kind == kindText {
		s = strings.TrimSpace(s)
	}
	return s, k.unless(ok, v)
}

func (k key) readChoice(v any) (string, string) {
	c, ok := scalar.Choice(v, k.choices)
	return c, k.unless(ok, v)
}

func (k key) readInterval(v any) (rules.Range, string) {
	low, high, ok := k.readPair(v)
	if ok && low > high {
		return rules.Range{}, fmt.Sprintf("the low end %s is above the high end %s; the low end comes first",
			plainNumber(low), plainNumber(high))
	}
	why := k.unless(ok, v)
	if list, is := v.([]any); is && len(list) == 4 {
		why += "; decimals take a point, 0.15, since a comma separates the two"
	}
	return rules.Range{Low: low, High: high}, why
}

// readPair reads a list of two numbers of the key's range.
func (k key) readPair(v any) (a, b float64, ok bool) {
	list, isList := v.([]any)
	if !isList || len(list) != 2 {
		return 0, 0, false
	}
	a, okA := scalar.Number(list[0])
	b, okB := scalar.Number(list[1])
	return a, b, okA && okB && k.holds(a) && k.holds(b)
}

func (k key) readPatterns(v any) ([]string, string) {
	list, ok := v.([]any)
	if !ok {
		return nil, k.unless(false, v)
	}
	if len(list) == 0 {
		return nil, "an empty list matches no file, so the folder would be watched for nothing"
	}
	var globs []string
	for _, element := range list {
		glob, ok := element.(string)
		if !ok || glob == "" {
			return nil, fmt.Sprintf("found %s in the list, allowed are texts in quotes", k.describe(element))
		}
		if _, err := filepath.Match(glob, "x"); err != nil {
			return nil, fmt.Sprintf("%q is not a pattern; * stands for any letters, ? for one, [abc] for one of these", shorten(glob))
		}
		if strings.ContainsAny(glob, `/\`) {
			return nil, fmt.Sprintf("%q has a folder in it; patterns match file names, the folder is path", shorten(glob))
		}
		globs = append(globs, glob)
	}
	return globs, ""
}

// readTime reads a date, or a date and time.
func (k key) readTime(v any) (time.Time, bool) {
	if k.kind == kindDay {
		return scalar.Day(v)
	}
	return scalar.Moment(v)
}

// describe says in words what was found.
func (k key) describe(v any) string {
	if n, ok := scalar.Number(v); ok {
		return strings.TrimSpace(plainNumber(n) + " " + k.unit)
	}
	switch v := v.(type) {
	case string:
		return fmt.Sprintf("the text %q", shorten(v))
	case bool:
		return fmt.Sprint(v)
	case time.Time:
		return describeTime(v)
	case []any:
		return k.describeList(v)
	}
	return "a table"
}

func (k key) describeList(list []any) string {
	if len(list) != 2 {
		return fmt.Sprintf("a list of %d", len(list))
	}
	return fmt.Sprintf("[%s, %s]", k.describe(list[0]), k.describe(list[1]))
}

func describeTime(t time.Time) string {
	switch t.Location().String() {
	case "date-local":
		return "the date " + t.Format(time.DateOnly)
	case "time-local":
		return "the time " + t.Format(time.TimeOnly)
	}
	return "the date and time " + t.Format(time.DateTime)
}

// plainNumber writes a number the way people do: 10000, not 1e+04.
func plainNumber(n float64) string {
	if math.Abs(n) < 1e15 && (n == 0 || math.Abs(n) >= 1e-6) {
		return strconv.FormatFloat(n, 'f', -1, 64)
	}
	return strconv.FormatFloat(n, 'g', -1, 64)
}

// shorten keeps what people typed from filling the screen.
func shorten(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
