package rules

import (
	"fmt"
	"math"
	"strings"

	"lampblack/rules/colour"
)

// The sentences of the remedies, for remedy.go.
const (
	measureScreenText = "Measure the screen's white again, and note the day in the profile."
)

// leastLeft is the shift, in stops, from which it is owned up to that it is left.
const leastLeft = 0.02

// settingText is a setting as a sentence without its end.
func settingText(c *Conditions, k *kind, s solution) string {
	return k.set.sentence(c, s.value) + beyondText(c, k.name, s.value) + leftText(s.left)
}

// beyondText owns up to a value outside of the condition's own target, which is
// where a profile's reference may lie.
func beyondText(c *Conditions, name string, v float64) string {
	k := c.Get(name)
	const rounding = 1e-9
	if !(Range{float64(k.Target[0]), float64(k.Target[1])}.beyond(v) > rounding) {
		return ""
	}
	return ", outside your target of " + targetText(k)
}

// greyText is a grey as editors take it: its 8-bit sRGB value and its L*.
func greyText(y float64) string {
	return fmt.Sprintf("sRGB %.0f, L* %.0f", 255*colour.SRGB.Encode(y), colour.Lightness(y))
}

// liftSentence is the exposure that compensates, as a sentence of its own.
func liftSentence(name string, stops float64) string {
	what := "this file"
	if name == LiftShadows {
		what = "the shadows of this file"
	}
	if stops < 0 {
		return fmt.Sprintf("Lower %s by about %s stop.", what, strings.TrimPrefix(signed(-stops), "+"))
	}
	return fmt.Sprintf("Lift %s by about %s stop.", what, signed(stops))
}

// viewingText is the light at the viewing place, as a sentence.
func viewingText(place string, s solution) string {
	if math.Abs(s.left) >= leastLeft {
		return fmt.Sprintf("No light at %s makes up for it: even about %s lx would leave about %s stop.", place, about(s.value), signed(s.left))
	}
	return fmt.Sprintf("Light the print at %s with about %s lx.", place, about(s.value))
}

// leastLift is the exposure, in stops, from which it is worth a word.
const leastLift = 0.05

// liftText offers the exposure that would compensate in this file.
func liftText(lift float64) string {
	if !(math.Abs(lift) >= leastLift) {
		return ""
	}
	if lift < 0 {
		return ", or lower this file by " + strings.TrimPrefix(signed(-lift), "+")
	}
	return fmt.Sprintf(", or lift this file by %s", signed(lift))
}

// leftText owns up to what the setting does not put right.
func leftText(left float64) string {
	switch size := math.Abs(left); {
	case !(size >= leastLeft):
		return ""
	case size < 0.1:
		return ", which leaves less than 0.1 stop"
	default:
		return fmt.Sprintf(", which leaves about %s stop", signed(left))
	}
}

func dimText(limit float64) string {
	return fillIn("Dim the room light below {limit} lx at the screen, then look at the picture again.", "limit", short(limit))
}

func checkSurroundText(y float64) string {
	return fmt.Sprintf("Check that the editor's surround is a grey of %s of white (%s), and note it.", percent(y), greyText(y))
}

func logLightText(limit float64, again bool) string {
	log := "Log the room light"
	if again {
		log += " again"
	}
	return fmt.Sprintf("%s: up to %s lx at the screen is good.", log, short(limit))
}
