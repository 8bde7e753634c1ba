package rules

import (
	"math"
	"strings"
)

// What becomes of a picture, in words, for explained.go.

// predictedLines is what becomes of the picture: beside the desk as it should be, and
// where the print will hang.
func predictedLines(r *Report) []string {
	t, v := r.Prediction.Targets, r.Prediction.Viewing
	lines := comparison(t, t.Expected(), func(lightness string) string {
		return fillIn("Compared with a desk at your targets (this decides the verdict): {lightness}.", "lightness", lightness)
	})
	if r.Purpose == ForScreen {
		return lines
	}
	lines = append(lines, comparison(v, v.Shift, func(lightness string) string {
		return fillIn("At {viewing}, on {paper}: {lightness}.", "viewing", r.Viewing, "paper", r.Paper, "lightness", lightness)
	})...)
	if v.LostShare > 0.001 {
		lines = append(lines, fillIn("About {share} of the picture is lost in this paper's black.", "share", percent(float64(v.LostShare))))
	}
	if s := r.Prediction.Steps; s.Screen > 0 {
		lines = append(lines, stepsText(s))
	}
	return append(lines, matchText(r)...)
}

// leastTold is the share of the fine detail from which it is told what of it is the desk's.
const leastTold = 0.05

// stepsText is what becomes of the fine detail: at the targets, where much of it would
// not be there either, and in the print, which holds no more than there was.
func stepsText(s ShadowSteps) string {
	sentence := "Fine detail in the shadows: about {screen} steps at your desk, {targets} at your targets; the print keeps about {print}."
	if stepsLost(float64(s.Screen), float64(s.AtTargets)) < leastTold {
		sentence = "Fine detail in the shadows: you can tell about {screen} steps apart on the screen; the print keeps about {print}."
	}
	return fillIn(sentence, "screen", wholeNumber(float64(s.Screen)), "targets", wholeNumber(float64(s.AtTargets)),
		"print", wholeNumber(float64(max(0, min(s.Print, s.Screen)))))
}

// comparison is one reference in words: the whole, in the sentence for its lightness;
// the zones of tone, and its colours, where they differ.
func comparison(a Against, s Shift, sentence func(lightness string) string) []string {
	if !s.Whole.Known() {
		return []string{sentence("nothing to compare, since the picture is entirely black")}
	}
	lines := []string{sentence(lightness(float64(s.Whole)))}
	if z := zones(s); z != "" {
		lines = append(lines, z)
	}
	if colour := colourText(a); colour != "" {
		lines = append(lines, colour)
	}
	if lost := 1 - float64(a.Contrast); lost >= flatter {
		lines = append(lines, fillIn("Its contrast: about {share} flatter.", "share", percent(lost)))
	}
	return lines
}

// flatter is the share of the contrast from which its loss is told (common practice, no
// source): half of what makes a print drab where a profile says nothing else.
const flatter = 0.05

// lightness is a shift in words.
func lightness(stops float64) string {
	switch {
	case math.Abs(stops) < 0.05:
		return "as light as you saw it"
	case stops > 0:
		return fillIn("{stops} darker", "stops", roughly(stops))
	default:
		return fillIn("{stops} lighter", "stops", roughly(-stops))
	}
}

// zones are the shifts of the zones of tone, where they are not all as good as
// nothing.
func zones(s Shift) string {
	var parts []string
	some := false
	for _, z := range []struct {
		v                       Figure
		darker, lighter, asSeen string
	}{
		{s.Shadows, "shadows {stops} darker", "shadows {stops} lighter", "shadows as you saw them"},
		{s.Midtones, "midtones {stops} darker", "midtones {stops} lighter", "midtones as you saw them"},
		{s.Highlights, "highlights {stops} darker", "highlights {stops} lighter", "highlights as you saw them"},
	} {
		if !z.v.Known() {
			continue
		}
		sentence := z.asSeen
		switch v := tenth(float64(z.v)); {
		case v > 0:
			sentence, some = z.darker, true
		case v < 0:
			sentence, some = z.lighter, true
		}
		parts = append(parts, fillIn(sentence, "stops", stopsText(float64(z.v))))
	}
	if !some {
		return ""
	}
	return fillIn("{zones}.", "zones", upperFirst(strings.Join(parts, ", ")))
}

// clearCast is the distance in a'b' from which a cast is called more than slight
// (common practice, no source).
const clearCast = 6

// isSeen tells a cast that anybody would see, and isClear one that is more than slight.
func (c Cast) isSeen() bool { return c.Word != castNone && c.Word != "" }

func (c Cast) isClear() bool {
	return c.isSeen() && math.Hypot(float64(c.A), float64(c.B)) >= clearCast
}

// colourText is the cast and the change of colourfulness; empty where nobody
// would see them.
func colourText(a Against) string {
	ratio := float64(a.Colourfulness)
	greys := greysText(a.Cast)
	less, more := ratio <= 0.97, ratio >= 1.03
	sentence := ""
	switch {
	case a.Cast.isClear():
		// A light as far off as that takes from some hues and gives to others: a
		// mean over all of them says nothing about any.
		sentence = "Its colours: greys {greys}."
	case greys != "" && less:
		sentence = "Its colours: greys {greys}, and about {less} less colourful."
	case greys != "" && more:
		sentence = "Its colours: greys {greys}, and about {more} more colourful."
	case greys != "":
		sentence = "Its colours: greys {greys}."
	case less:
		sentence = "Its colours: about {less} less colourful."
	case more:
		sentence = "Its colours: about {more} more colourful."
	}
	return fillIn(sentence, "greys", greys, "less", percent(1-ratio), "more", percent(ratio-1))
}

// matchText tells which light on this paper is as bright as the screen's white,
// now and at its target, and which light there is.
func matchText(r *Report) []string {
	m, white := r.Prediction.Match, float64(r.Condition(ScreenLuminance).Value)
	if !(white > 0 && m.Now > 0) {
		return nil
	}
	sentence := "{Paper} is as bright as your screen's white ({white} cd/m²) in about {now} lx."
	if math.Abs(float64(m.Targets/m.Now)-1) >= 0.05 {
		sentence = "{Paper} is as bright as your screen's white ({white} cd/m²) in about {now} lx, and as your target of {target} cd/m² in about {then} lx."
	}
	return []string{
		fillIn(sentence, "Paper", upperFirst(r.Paper), "white", short(white), "now", about(float64(m.Now)),
			"target", short(white*float64(m.Targets/m.Now)), "then", about(float64(m.Targets))),
		fillIn("{Viewing} has {there} lx.", "Viewing", upperFirst(r.Viewing), "there", short(float64(m.There))),
	}
}
