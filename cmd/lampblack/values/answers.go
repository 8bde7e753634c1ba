package values

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"lampblack/config/legible"
	"lampblack/rules"
)

// The answers of a first run, as people type them. An empty one says that the
// person doesn't know, and gives the zero value. An error is one sentence.

// WhiteAnswer is a luminance such as "120", "about 120 cd/m²" or "118,5 nits"; 0
// when it is not known.
func WhiteAnswer(text string) (rules.Luminance, error) {
	if plain(text) == "" {
		return 0, nil
	}
	v, err := whiteFigure.read(text)
	return rules.Luminance(v), err
}

// DayAnswer is a day that is not in the future, as seen from now; the zero time
// for "never" and when it is not known.
func DayAnswer(text string, now time.Time) (time.Time, error) {
	typed := strings.TrimSpace(text)
	text = plain(text)
	if text == "" || text == "never" {
		return time.Time{}, nil
	}
	day, err := stretchOf(text, now)
	switch {
	case err != nil && len(meantDays(text)) > 0:
		return time.Time{}, err
	case err != nil:
		return time.Time{}, fmt.Errorf(`%q is not a day like 2026-02-10, "3 weeks ago", today or never`, legible.Line(typed))
	case day.from.After(now):
		return time.Time{}, fmt.Errorf("%q has yet to come", legible.Line(typed))
	}
	return day.from, nil
}

// YesOrNoAnswer is yes or no; nil when it is not known.
func YesOrNoAnswer(text string) (*bool, error) {
	switch plain(text) {
	case "":
		return nil, nil
	case "yes", "y", "true":
		return new(true), nil
	case "no", "n", "false":
		return new(false), nil
	}
	return nil, fmt.Errorf("%q is neither yes nor no", legible.Line(strings.TrimSpace(text)))
}

// judgings are what people say they look at once a print has come out, and what that
// makes of how they judge it.
var judgings = []struct {
	says rules.Judging
	like []string
}{
	{rules.Beside, []string{"the screen beside it", "screen beside it", "beside the screen", "beside it", "next to the screen"}},
	{rules.ByItself, []string{"the print alone, elsewhere", "print alone, elsewhere", "alone", "elsewhere", "by itself", "only the print", "later"}},
	{rules.JudgedUnsaid, []string{"both, it varies", "it varies", "varies"}},
}

// JudgedAnswer is how prints are judged, by what is looked at: beside the screen, by
// themselves, or both, which is nothing that can be said. The beginning of an answer
// will do where it is that of one alone.
func JudgedAnswer(text string) (rules.Judging, error) {
	typed := strings.TrimSpace(text)
	text = strings.Trim(plain(text), `."`)
	if text == "" {
		return rules.JudgedUnsaid, nil
	}
	var meant []rules.Judging
	var answers []string
	for _, j := range judgings {
		if slices.ContainsFunc(j.like, func(answer string) bool { return strings.HasPrefix(answer, text) }) {
			meant, answers = append(meant, j.says), append(answers, j.like[0])
		}
	}
	switch len(meant) {
	case 0:
		return "", fmt.Errorf("%q is none of screen, alone and both", legible.Line(typed))
	case 1:
		return meant[0], nil
	default:
		return "", fmt.Errorf("%q may mean %s: say which", legible.Line(typed), strings.Join(answers, " or "))
	}
}

// RoomAnswer is a room light, by a number of lux or by what it looks like; nil
// when it is not known. A look is no measurement, and says so.
func RoomAnswer(text string) (*rules.Reading, error) {
	typed := strings.TrimSpace(text)
	text = plain(text)
	if text == "" {
		return nil, nil
	}
	if _, isNumber := luxFigure.number(text); isNumber || len(luxFigure.meant(text)) > 0 {
		light, err := Lux(typed)
		if err != nil {
			return nil, err
		}
		return &rules.Reading{Light: light, Place: rules.AtScreen}, nil
	}
	switch like := rules.RoomsLike(text); len(like) {
	case 0:
		return nil, fmt.Errorf("%q is neither a number of lux nor one of %s", legible.Line(typed), roomNames(rules.RoomLooks()))
	case 1:
		return &rules.Reading{Light: like[0].Light, Place: rules.AtScreen, Sigma: rules.ByEye, Note: "by eye: " + like[0].Name}, nil
	default:
		return nil, fmt.Errorf("%q may mean %s: say which", legible.Line(typed), roomNames(like))
	}
}

func roomNames(looks []rules.RoomLook) string {
	var names []string
	for _, l := range looks {
		names = append(names, l.Name)
	}
	return strings.Join(names, ", ")
}
