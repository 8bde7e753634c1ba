package rules

import (
	"math"
	"strings"

	"lampblack/rules/colour"
)

// The sentences of the remedies, for remedy.go. Each is whole; a remedy's text is some
// of them in a row.
const (
	measureScreenText = "Measure the screen's white again, and note the day in the profile."
	measureFirstText  = "Measure the screen's white, and note it with the day in the profile."
	lookAgainText     = "Then look at the picture again."
	judgeAgainText    = "Then judge this file again before printing it."
	printsTellText    = "Reporting how a print or two came out would tell more."
	bothText          = "It takes both."
	everythingText    = "Nothing less would do."
)

// lightFades has to be said with much light.
const lightFades = "Light fades prints: displayed prints are kept at 50 to 200 lx (common practice, no source)."

// said are the sentences that say something.
func said(sentences ...string) []string {
	out := []string{}
	for _, s := range sentences {
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// saying is the remedy with its sentences.
func (m Remedy) saying(sentences ...string) Remedy {
	m.Steps = said(sentences...)
	m.Text = strings.Join(m.Steps, " ")
	return m
}

// settingSteps are what is to be set, what that leaves, and what else to do.
func (f *fault) settingSteps(o option, afterwards []string) (steps []string) {
	for _, ch := range o.changes {
		steps = append(steps, ch.kind.set.sentence(f.c, ch.value)+".", beyondText(f.c, ch), f.wantingText(o, ch))
	}
	switch {
	case len(o.changes) == 2:
		steps = append(steps, bothText)
	case len(o.changes) > 2:
		steps = append(steps, everythingText)
	}
	steps = append(steps, f.leftText(o)...)
	return append(steps, afterwards...)
}

// wantingText owns up to a condition that is changed although it is in its target.
func (f *fault) wantingText(o option, ch change) string {
	k := f.c.Get(ch.kind.name)
	if !o.wanting || !k.InTarget {
		return ""
	}
	return fillIn("It is in its target at {value}, but nothing outside of its own would be enough.", "value", valueText(k))
}

// beyondText owns up to a value outside of the condition's own target, which is
// where a profile's reference may lie.
func beyondText(c *Conditions, ch change) string {
	k := c.Get(ch.kind.name)
	const rounding = 1e-9
	if !(Range{float64(k.Target[0]), float64(k.Target[1])}.beyond(ch.value) > rounding) {
		return ""
	}
	return fillIn("That is outside your target of {target}, where your reference is.", "target", targetText(k))
}

// greyText is a grey as editors take it: its 8-bit sRGB value and its L*.
func greyText(y float64) string {
	return fillIn("sRGB {value}, L* {lightness}",
		"value", wholeNumber(255*colour.SRGB.Encode(y)), "lightness", wholeNumber(colour.Lightness(y)))
}

// leftText owns up to what a setting does not put right.
func (f *fault) leftText(o option) []string {
	if f.kind == faultOfLoss {
		return f.lossLeftText(o)
	}
	return []string{f.shiftLeftText(o.whole, o.shadows)}
}

// shiftLeftText is what is left of the shift: of the shadows where it is about them, or
// where it matters more there; else of the whole.
func (f *fault) shiftLeftText(whole, shadows float64) string {
	least := float64(f.quiet.Clear)
	if f.kind == faultOfShadows {
		least = leastChange
	}
	left, sentence := whole, ""
	ofShadows := math.Abs(shadows) >= math.Max(least, math.Abs(whole))
	if ofShadows {
		left = shadows
	}
	darker := left > 0
	switch still := darker == f.darker; { // the way the verdict has it
	case ofShadows && still && darker:
		sentence = "The shadows would still print {left} darker."
	case ofShadows && still:
		sentence = "The shadows would still print {left} lighter."
	case ofShadows && darker:
		sentence = "The shadows would then print {left} darker."
	case ofShadows:
		sentence = "The shadows would then print {left} lighter."
	case !(math.Abs(whole) >= leastChange):
		return ""
	case still && darker:
		sentence = "It would still print {left} darker."
	case still:
		sentence = "It would still print {left} lighter."
	case darker:
		sentence = "It would then print {left} darker."
	default:
		sentence = "It would then print {left} lighter."
	}
	return fillIn(sentence, "left", roughly(math.Abs(left)))
}

// lossLeftText is the same of a drab print.
func (f *fault) lossLeftText(o option) (steps []string) {
	left, limits := f.lossesAt(o.then, f.should, f.quiet), lossLimits(f.quiet)
	sentences := [3]string{
		lossOfColour:   "It would still be about {lost} less colourful.",
		lossOfContrast: "It would still be about {lost} flatter.",
		lossOfSteps:    "About {lost} of the fine detail in the shadows would still be lost.",
	}
	for i, sentence := range sentences {
		const worthWords = 0.02
		if lost := left[i] * limits[i]; f.counted[i] && lost >= worthWords {
			steps = append(steps, fillIn(sentence, "lost", percent(lost)))
		}
	}
	return steps
}

// raiseFileText offers to raise this file, or to lower it, instead.
func raiseFileText(stops float64) string {
	switch {
	case !(math.Abs(stops) >= leastChange):
		return ""
	case stops < 0:
		return fillIn("Or lower this file's midtones by about {stops} stop (white stays).", "stops", tenths(-stops))
	default:
		return fillIn("Or raise this file's midtones by about {stops} stop (white stays).", "stops", tenths(stops))
	}
}

// curveText is the raise of a file, in the values of its own encoding.
func curveText(pic *Picture, stops float64) string {
	e, assumed := encodingOf(pic)
	sentence := "If it must be printed now: on a copy, take mid grey from {from} to {to} in a curve; black and white stay."
	if assumed {
		sentence = "If it must be printed now: on a copy, take mid grey from {from} to {to} (sRGB) in a curve; black and white stay."
	}
	return fillIn(sentence, "from", wholeNumber(255*e.Encode(midGrey)), "to", wholeNumber(255*e.Encode(midGrey*math.Exp2(stops))))
}

// encodings are the curves of encodings by what stands in the descriptions of colour
// profiles.
var encodings = []struct {
	says     string
	encoding colour.Encoding
}{
	{"srgb", colour.SRGB},
	{"iec61966-2", colour.SRGB},
	{"(1998)", colour.AdobeRGB},
	{"gamma 2.2", colour.AdobeRGB}, // of 563/256, which is the same to a code value
	{"romm", colour.ROMM},
	{"gamma 1.8", colour.ROMM},
}

// encodingOf is the encoding of a picture, as far as its profile's description tells it;
// else sRGB is assumed.
func encodingOf(pic *Picture) (e colour.Encoding, assumed bool) {
	description := strings.ToLower(pic.Profile)
	for _, known := range encodings {
		if !pic.Assumed && strings.Contains(description, known.says) {
			return known.encoding, false
		}
	}
	return colour.SRGB, true
}

// viewingSteps are the light at the viewing place, and what has to be said with it.
func viewingSteps(place string, lux, left float64) []string {
	there, fades := "", ""
	switch {
	case left >= leastChange:
		there = fillIn("It would still look {left} darker there.", "left", roughly(left))
	case left <= -leastChange:
		there = fillIn("It would still look {left} lighter there.", "left", roughly(-left))
	}
	if lux > fadingLight {
		fades = lightFades
	}
	return []string{
		fillIn("Light the print at {place} with about {light} lx, in which the paper is as bright as the screen.", "place", place, "light", about(lux)),
		there, fades,
	}
}

func dimText(limit float64) string {
	return fillIn("Dim the room light below {limit} lx at the screen, then look at the picture again.", "limit", short(limit))
}

func checkSurroundText(y float64) string {
	return fillIn("Check that the editor's surround is a grey of {share} of white ({grey}), and note it.", "share", percent(y), "grey", greyText(y))
}

func logLightText(limit float64, again bool) string {
	if again {
		return fillIn("Log the room light again: up to {limit} lx at the screen is good.", "limit", short(limit))
	}
	return fillIn("Log the room light: up to {limit} lx at the screen is good.", "limit", short(limit))
}
