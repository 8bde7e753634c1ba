package rules

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
)

// What is said of one export is here; of a condition in conditionwords.go, of the desk
// in deskwords.go, of a remedy in remedywords.go, of a metered light in meterwords.go,
// of a file in remarks.go; the page that explains a report is in explained.go, numbers
// in numbers.go. Sentences are short, and say what, how much and what to do. Numbers
// are in the units of the trade: cd/m², lx, K, stops.

// Headline is the verdict on an export in one line, without its name:
//
//	Likely dark: about ½ stop in the shadows (±0.2)
func Headline(r *Report) string { return likely(r.Verdict) + ": " + Detail(r) }

// likely are the words for a verdict.
func likely(v Verdict) string {
	switch v {
	case Darker:
		return "Likely dark"
	case Lighter:
		return "Likely light"
	case Drab:
		return "Likely drab"
	case Unsure:
		return "Can't tell"
	default:
		return "Should hold"
	}
}

// Detail is what stands behind the words for a verdict: how much and how sure, or
// what is in doubt.
func Detail(r *Report) string {
	if text := raisedDetail(r); text != "" {
		return text
	}
	switch r.Verdict {
	case Darker:
		return amount(r, +1)
	case Lighter:
		return amount(r, -1)
	case Drab:
		return losses(r)
	case Unsure:
		return doubt(r)
	default:
		return margin(r)
	}
}

// InBrief is the verdict on an export as it follows its name; of one for the screen no
// word of how it would print, which would be a warning.
func InBrief(r *Report) string {
	if r.Purpose == ForScreen {
		return "for the screen, not judged as a print"
	}
	return lowerFirst(Headline(r))
}

// amount is the shift in the direction of sign, of the zone where it shows most.
func amount(r *Report, sign float64) string {
	t := r.Prediction.Targets
	shift := t.Expected()
	whole, shadows := sign*float64(shift.Whole), sign*float64(shift.Shadows)
	if math.IsNaN(whole) {
		return onlyBlack
	}
	if shadows > whole+0.1 {
		return fmt.Sprintf("%s in the shadows (±%s)", roughly(shadows), halfWidth(t.Spread.Shadows))
	}
	return fmt.Sprintf("%s (±%s)", roughly(whole), halfWidth(t.Spread.Whole))
}

// leastLoss is the share of steps or colour from which a loss is named beside a
// greater one: either may be what makes a print drab, by its own limit.
const leastLoss = 0.05

// losses names what is lost of the colourfulness, of the shadow steps, or of both.
func losses(r *Report) string {
	s := r.Prediction.Steps
	steps := stepsLost(float64(s.Screen), float64(s.AtTargets))
	colour := 1 - float64(r.Prediction.Targets.Colourfulness)
	less, lost := percent(colour)+" less colourful", percent(steps)+" of the shadow steps lost"
	switch {
	case steps >= leastLoss && colour >= leastLoss:
		return "about " + less + " and " + lost
	case steps >= 0.005 && !(colour > steps):
		return "about " + lost
	case colour >= 0.005:
		return "about " + less
	default:
		return "shadow steps or colours may be lost"
	}
}

// doubt says what stands in the way of a verdict.
func doubt(r *Report) string {
	c := r.Condition(r.Unsettled)
	k, _ := kindOf(r.Unsettled)
	switch {
	case k.doubt != nil:
		return k.doubt(r, c)
	case c.Doubt != "":
		return c.Doubt
	case c.Name == "":
		return "it is close"
	case !c.InTarget:
		return wordingOf(c).subject + " is " + state(c)
	default:
		return "it is close, and hangs on " + wordingOf(c).subject
	}
}

// leastBias is the learnt bias from which a shift is laid to it, in stops.
const leastBias = 0.1

// onlyBlack is said of a picture that has no tones to compare.
const onlyBlack = "there is nothing but black in it"

// margin is how near the targets a picture that should hold comes out.
func margin(r *Report) string {
	i := r.Prediction.Targets.Spread.Whole
	if !i.Median.Known() {
		return onlyBlack
	}
	shift := signed(float64(i.Median))
	switch {
	case shift == "0.0":
		return fmt.Sprintf("as at your targets (±%s stop)", halfWidth(i))
	case math.Abs(r.Learnt.Correct(0, 0)) >= leastBias:
		return fmt.Sprintf("your prints always come out at about %s stop (±%s)", shift, halfWidth(i))
	default:
		return fmt.Sprintf("%s stop off your targets (±%s)", shift, halfWidth(i))
	}
}

// NoticeFor is the notice on one export.
func NoticeFor(r *Report) Notice {
	body := []string{filepath.Base(r.File) + "."}
	if s := causeSentence(r); s != "" {
		body = append(body, s)
	}
	if r.Remedy != nil {
		body = append(body, r.Remedy.Text)
	}
	return Notice{Title: Headline(r), Body: strings.Join(body, " ")}
}

// NoticeForMany is the one notice on a burst of exports, all warned about;
// total counts those as well about which there was nothing to say.
func NoticeForMany(warned []*Report, total int) Notice {
	worst := warned[0]
	for _, r := range warned {
		if severity(r) > severity(worst) {
			worst = r
		}
	}
	n := NoticeFor(worst)
	if total > 1 {
		n.Body = fmt.Sprintf("%d of %d exports. Worst: %s", len(warned), total, n.Body)
	}
	return n
}

// BrokenProfile is the notice on a profile that can't be used; mistake is its
// first mistake with file, line and key, and may end in a question.
func BrokenProfile(mistake string) Notice {
	if !strings.HasSuffix(mistake, "?") {
		mistake += "."
	}
	return Notice{Title: "The profile has a mistake", Body: mistake + " The last good one stays in force."}
}

// severity orders reports for NoticeForMany: what is known to be dark before
// what is drab, and that before what is uncertain.
func severity(r *Report) float64 {
	rank := map[Verdict]float64{Darker: 20, Drab: 10}[r.Verdict]
	return rank + math.Max(float64(r.Whole()), 0)
}

// causeSentence states the condition that the verdict is mostly due to.
func causeSentence(r *Report) string {
	about := r.About()
	if k, _ := kindOf(about); r.Verdict == Unsure && r.Unsettled != "" && !k.reading {
		return "" // the headline has said it
	}
	return stateSentence(r.Condition(about))
}

// stateSentence is a condition, with its target when it is out of it: "The room
// is 180 lx (target up to 64)."
func stateSentence(c Condition) string {
	if c.Name == "" || !c.Value.Known() {
		return ""
	}
	return fmt.Sprintf("%s is %s%s%s.", upperFirst(wordingOf(c).valueOf), hedge(c), valueText(c), targetNote(c))
}

// hedge goes before a value that nobody has measured.
func hedge(c Condition) string {
	switch {
	case c.Assumed:
		return "assumed to be "
	case isExpected(c):
		return "probably "
	default:
		return ""
	}
}

// isExpected tells a screen's white that is reckoned, not measured.
func isExpected(c Condition) bool { return strings.HasPrefix(c.Source, "expected") }

// targetNote is the target in brackets, for a condition that misses it.
func targetNote(c Condition) string {
	if c.InTarget || !c.HasTarget() {
		return ""
	}
	return " (target " + targetText(c) + ")"
}
