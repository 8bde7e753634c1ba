package rules

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// Numbers as a person would say them, for words.go.

// roughly is an amount of stops as a person would say it.
func roughly(stops float64) string {
	words := []wordsUpTo{
		{0.125, "less than ⅛ stop"}, {0.2, "about ⅙ stop"}, {0.29, "about ¼ stop"}, {0.42, "about ⅓ stop"},
		{0.58, "about ½ stop"}, {0.7, "about ⅔ stop"}, {0.87, "about ¾ stop"}, {1.15, "about 1 stop"},
	}
	return firstAbove(words, stops, fillIn("about {stops} stops", "stops", short(math.Round(stops*4)/4)))
}

// wordsUpTo are what is said of an amount below a limit.
type wordsUpTo struct {
	limit float64
	words string
}

// firstAbove is what is said of an amount by the first limit that it doesn't reach, else
// beyond.
func firstAbove(limits []wordsUpTo, amount float64, beyond string) string {
	for _, l := range limits {
		if amount < l.limit {
			return l.words
		}
	}
	return beyond
}

// signed is a number of stops with its sign, to a tenth: precision beyond that
// would be pretended.
func signed(v float64) string {
	text := strings.Replace(strconv.FormatFloat(v, 'f', 1, 64), "-", "−", 1)
	if text == "−0.0" || text == "0.0" {
		return "0.0"
	}
	if v > 0 {
		return "+" + text
	}
	return text
}

// tenth is a number of stops as it is told.
func tenth(stops float64) float64 { return toDecimals(stops, 1) + 0 }

// stopsText is a size of so many stops, to a tenth, without its direction.
func stopsText(stops float64) string {
	size := math.Abs(tenth(stops))
	if size > 1 {
		return short(size) + " stops"
	}
	return short(size) + " stop"
}

// inStops is a shift as a size and a direction; positive is darker.
func inStops(stops float64) string {
	switch {
	case tenth(stops) == 0:
		return "as light as you saw it"
	case stops > 0:
		return fillIn("{stops} darker", "stops", stopsText(stops))
	default:
		return fillIn("{stops} lighter", "stops", stopsText(stops))
	}
}

// Signed is a number of stops with its sign, to a tenth.
func Signed(s Figure) string {
	if !s.Known() || math.IsInf(float64(s), 0) {
		return "–"
	}
	return signed(float64(s))
}

// halfWidth is half of an interval, the ± of a notice.
func halfWidth(i Interval) string { return tenths(float64(i.High-i.Low) / 2) }

// tenths is an amount of stops to a tenth, and never nothing.
func tenths(stops float64) string { return strconv.FormatFloat(math.Max(0.1, stops), 'f', 1, 64) }

// percent is a share without decimals, or with one where there would be 0 left.
func percent(share float64) string { return percentNumber(share) + " %" }

// percentNumber is the same without the sign.
func percentNumber(share float64) string {
	decimals := percentDecimals(share)
	return strconv.FormatFloat(toDecimals(100*share, decimals), 'f', decimals, 64)
}

func percentDecimals(share float64) int {
	if share > 0 && 100*share <= 0.5 { // a half is rounded to even, to nothing
		return 1
	}
	return 0
}

// shownPercent is a share as [percent] writes it.
func shownPercent(share float64) float64 { return toDecimals(100*share, percentDecimals(share)) / 100 }

// fewDigits is below what a number has a digit behind its point.
const fewDigits = 10

// asShown is a number as [short] writes it: 120.5 is written 120.
func asShown(v float64) float64 {
	if math.Abs(v) < fewDigits {
		return toDecimals(v, 1)
	}
	return toDecimals(v, 0)
}

// toDecimals is a number rounded to so many decimals, exactly as it would be printed.
func toDecimals(v float64, decimals int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', decimals, 64), 64)
	if err != nil {
		return math.NaN() // never: it was printed as a number
	}
	return r
}

// short is a number with the digits that mean something: 180, 48, 2.5, 0.4.
func short(v float64) string {
	return strconv.FormatFloat(asShown(v)+0, 'f', -1, 64) // + 0: there is no −0
}

// wholeNumber is a number without decimals.
func wholeNumber(v float64) string { return strconv.FormatFloat(math.Round(v), 'f', 0, 64) }

// roundOff is an uncertainty, without digits that mean nothing.
func roundOff(v float64) string {
	if v >= 1 {
		v = math.Round(v)
	}
	return short(v)
}

// about is a number to two digits that mean something: 340, 1200, 48.
func about(v float64) string {
	if v < 100 {
		return short(v)
	}
	unit := math.Pow(10, math.Floor(math.Log10(v))-1)
	return short(unit * math.Round(v/unit))
}

func plural(n float64, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return short(n) + " " + unit + "s"
}

func hours(h Figure) time.Duration { return time.Duration(float64(h) * float64(time.Hour)) }

// span is a duration in the one unit that tells most: "50 min", "3 h", "15 days".
func span(d time.Duration) string {
	switch {
	case d < time.Minute:
		return "less than a minute"
	case d < 90*time.Minute:
		return wholeNumber(d.Minutes()) + " min"
	case d < 36*time.Hour:
		return wholeNumber(d.Hours()) + " h"
	default:
		return plural(math.Round(d.Hours()/24), "day")
	}
}
