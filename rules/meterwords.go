package rules

import (
	"math"
	"strconv"
)

// The words about what a camera or a meter has told.

// meterHeadlines are the result in one line, by what was metered.
var meterHeadlines = map[Subject]string{
	OfPaper:    "About {value} {unit} on the paper ({low}–{high}, ± {off})",
	OfGreyCard: "About {value} {unit} on the grey card ({low}–{high}, ± {off})",
	OfScreen:   "About {value} {unit} from the screen ({low}–{high}, ± {off})",
	OfReceptor: "About {value} {unit} on the flat receptor ({low}–{high}, ± {off})",
	OfDome:     "About {value} {unit} on the dome ({low}–{high}, ± {off})",
}

// Headline is the result in one line: "About 54 lx on the paper (36–80, ± 40 %)".
func (m Metered) Headline() string {
	return fillIn(meterHeadlines[m.Of], "value", about(float64(m.Value)), "unit", m.Unit,
		"low", about(float64(m.Low)), "high", about(float64(m.High)), "off", percent(float64(m.Sigma)))
}

// Explanation is what the result rests on, a sentence each.
func (m Metered) Explanation() []string {
	lines := []string{m.exposureLine()}
	if m.C.Known() {
		return append(lines, fillIn("The light that falls on a receptor is C·N²/(t·S) with C = {c} lx·s (ISO 2720).", "c", short(float64(m.C))), m.doubt())
	}
	lines = append(lines, fillIn("A meter takes what fills the frame to be K·N²/(t·S) bright, with K = {k} cd/m²·s (ISO 2720).",
		"k", strconv.FormatFloat(float64(m.K), 'f', -1, 64)))
	lines = append(lines, m.levelLines()...)
	lines = append(lines, fillIn("So it was {luminance} cd/m² bright.", "luminance", about(float64(m.Luminance))))
	if m.Reflectance.Known() {
		lines = append(lines, fillIn("A matt sheet that reflects {reflectance} of its light is that bright at π·L/R, {lux} lx.",
			"reflectance", strconv.FormatFloat(float64(m.Reflectance), 'f', -1, 64), "lux", about(float64(m.Value))))
	}
	if m.Of == OfScreen && float64(m.Seconds) < steadyTime {
		lines = append(lines, "A screen that is dimmed by flickering may be caught bright or dark in so short a time: take 1/30 s or longer.")
	}
	return append(lines, m.doubt())
}

// exposureLine is the exposure, and what it comes to.
func (m Metered) exposureLine() string {
	sentence := "The exposure: {time}, f/{aperture} and ISO {iso}, which is EV {ev} at ISO 100."
	if m.Compensation != 0 {
		sentence = "The exposure: {time}, f/{aperture} and ISO {iso}, which is EV {ev} at ISO 100 without the correction of {correction}."
	}
	return fillIn(sentence, "time", shutter(float64(m.Seconds)), "aperture", short(float64(m.Aperture)), "iso", short(float64(m.ISO)),
		"ev", strconv.FormatFloat(float64(m.EV100), 'f', 1, 64), "correction", signed(float64(m.Compensation)))
}

// steadyTime is an exposure time, in seconds, over which screens that flicker do
// it several times (common practice, no source).
const steadyTime = 1.0 / 45

// levelLines are about the photograph itself.
func (m Metered) levelLines() []string {
	if !m.Level.Known() {
		return []string{"How bright it came out in the picture is not known, so the meter is believed: a frame that is filled by one sheet comes out mid grey."}
	}
	over := math.Log2(float64(m.Level)/meteredY) / curveContrast
	sentence := "It came out at {level} of the picture's white, and a metered sheet comes out at {metered} (ISO 12232): as the meter meant it."
	switch v := tenth(over); {
	case v > 0:
		sentence = "It came out at {level} of the picture's white, and a metered sheet comes out at {metered} (ISO 12232): by a camera's usual curve that is {stops} brighter, which is allowed for."
	case v < 0:
		sentence = "It came out at {level} of the picture's white, and a metered sheet comes out at {metered} (ISO 12232): by a camera's usual curve that is {stops} darker, which is allowed for."
	}
	lines := []string{fillIn(sentence, "level", percent(float64(m.Level)), "metered", percent(meteredY), "stops", stopsText(over))}
	if m.Evenness > evenSheet {
		lines = append(lines, fillIn("It isn't even (± {stops}): a shadow, or the light of a lamp nearby, or more than the sheet in the frame.", "stops", stopsText(float64(m.Evenness))))
	}
	return lines
}

// meterDoubts say where the uncertainty comes from, by what was metered.
var meterDoubts = map[Subject]string{
	OfPaper:    "Good to about ± {stops} stop, two times in three: cameras and their meters differ by that much, and sheets a little.",
	OfGreyCard: "Good to about ± {stops} stop, two times in three: cameras and their meters differ by that much, and sheets a little.",
	OfScreen:   "Good to about ± {stops} stop, two times in three: cameras and their meters differ by that much. A colorimeter is ten times better.",
	OfReceptor: "Good to about ± {stops} stop, two times in three: meters, and what makers take for C, differ by that much.",
	OfDome:     "Good to about ± {stops} stop, two times in three: meters, and what makers take for C, differ by that much.",
}

func (m Metered) doubt() string {
	return fillIn(meterDoubts[m.Of], "stops", strconv.FormatFloat(float64(m.Sigma)/math.Ln2, 'f', 1, 64))
}

// shutter is a time as cameras write it.
func shutter(seconds float64) string {
	if seconds < 0.3 {
		return fillIn("1/{part} s", "part", wholeNumber(1/seconds))
	}
	return fillIn("{seconds} s", "seconds", short(seconds))
}
