package rules

import (
	"fmt"
	"math"
	"strconv"
)

// The words about what a camera or a meter has told.

// Headline is the result in one line: "About 54 lx on the paper (36–80, ± 40 %)".
func (m Metered) Headline() string {
	where := map[Subject]string{
		OfPaper: "on the paper", OfGreyCard: "on the grey card", OfScreen: "from the screen",
		OfReceptor: "on the flat receptor", OfDome: "on the dome",
	}[m.Of]
	return fmt.Sprintf("About %s %s %s (%s–%s, ± %s)",
		about(float64(m.Value)), m.Unit, where, about(float64(m.Low)), about(float64(m.High)), percent(float64(m.Sigma)))
}

// Explanation is what the result rests on, a sentence each.
func (m Metered) Explanation() []string {
	lines := []string{fmt.Sprintf("The exposure: %s, f/%s and ISO %s, which is EV %s at ISO 100%s.",
		shutter(float64(m.Seconds)), short(float64(m.Aperture)), short(float64(m.ISO)),
		strconv.FormatFloat(float64(m.EV100), 'f', 1, 64), m.withoutCompensation())}
	if m.C.Known() {
		return append(lines, fmt.Sprintf("The light that falls on a receptor is C·N²/(t·S) with C = %s lx·s (ISO 2720).", short(float64(m.C))), m.doubt())
	}
	lines = append(lines, fmt.Sprintf("A meter takes what fills the frame to be K·N²/(t·S) bright, with K = %s cd/m²·s (ISO 2720).",
		strconv.FormatFloat(float64(m.K), 'f', -1, 64)))
	lines = append(lines, m.levelLines()...)
	lines = append(lines, fmt.Sprintf("So it was %s cd/m² bright.", about(float64(m.Luminance))))
	if m.Reflectance.Known() {
		lines = append(lines, fmt.Sprintf("A matt sheet that reflects %s of its light is that bright at π·L/R, %s lx.",
			strconv.FormatFloat(float64(m.Reflectance), 'f', -1, 64), about(float64(m.Value))))
	}
	if m.Of == OfScreen && float64(m.Seconds) < steadyTime {
		lines = append(lines, "A screen that is dimmed by flickering may be caught bright or dark in so short a time: take 1/30 s or longer.")
	}
	return append(lines, m.doubt())
}

// steadyTime is an exposure time, in seconds, over which screens that flicker do
// it several times (common practice, no source).
const steadyTime = 1.0 / 45

func (m Metered) withoutCompensation() string {
	if m.Compensation == 0 {
		return ""
	}
	return fmt.Sprintf(" without the correction of %s", signed(float64(m.Compensation)))
}

// levelLines are about the photograph itself.
func (m Metered) levelLines() []string {
	if !m.Level.Known() {
		return []string{"How bright it came out in the picture is not known, so the meter is believed: a frame that is filled by one sheet comes out mid grey."}
	}
	over := signed(math.Log2(float64(m.Level)/meteredY) / curveContrast)
	lines := []string{fmt.Sprintf("It came out at %s of the picture's white, and a metered sheet comes out at %s (ISO 12232)",
		percent(float64(m.Level)), percent(meteredY))}
	if over == "0.0" {
		lines[0] += ": as the meter meant it."
	} else {
		lines[0] += fmt.Sprintf(": by a camera's usual curve that is %s stops, which are reckoned in.", over)
	}
	if m.Evenness > evenSheet {
		lines = append(lines, fmt.Sprintf("It isn't even (± %s stops): a shadow, or the light of a lamp nearby, or more than the sheet in the frame.", signed(float64(m.Evenness))[1:]))
	}
	return lines
}

// doubt says where the uncertainty comes from.
func (m Metered) doubt() string {
	stops := strconv.FormatFloat(float64(m.Sigma)/math.Ln2, 'f', 1, 64)
	switch m.Of {
	case OfReceptor, OfDome:
		return fmt.Sprintf("Good to about ± %s stop, two times in three: meters, and what makers take for C, differ by that much.", stops)
	case OfScreen:
		return fmt.Sprintf("Good to about ± %s stop, two times in three: cameras and their meters differ by that much. A colorimeter is ten times better.", stops)
	default:
		return fmt.Sprintf("Good to about ± %s stop, two times in three: cameras and their meters differ by that much, and sheets a little.", stops)
	}
}

// shutter is a time as cameras write it.
func shutter(seconds float64) string {
	if seconds < 0.3 {
		return fmt.Sprintf("1/%.0f s", 1/seconds)
	}
	return short(seconds) + " s"
}
