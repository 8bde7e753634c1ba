package rules

import (
	"math"
	"path/filepath"
	"strings"
)

// What is said of one export is here; of a condition in conditionwords.go, of the desk
// in deskwords.go, of a remedy in remedywords.go, of where it hangs in hungwords.go, of a
// file that was raised in raisedwords.go, of what prints teach in learntwords.go, of a
// metered light in meterwords.go, of a file in remarks.go, of what becomes of it in
// printwords.go; the page that explains a report is in explained.go, numbers in numbers.go.
// Sentences are short, and say what, how much and what to do. Numbers are in the units of
// the trade: cd/m², lx, K, stops.

// Headline is the verdict on an export in one line, without its name:
//
//	Likely dark: about ½ stop in the shadows (±0.2)
func Headline(r *Report) string {
	if r.Verdict == Holds && !r.isOfThePerson() && raisedDetail(r) == "" {
		return holdsText(r)
	}
	if perhaps := perhapsText(r); perhaps != "" {
		return perhaps
	}
	return fillIn("{verdict}: {detail}", "verdict", likely(r.Verdict), "detail", Detail(r))
}

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

// Words is the verdict in a word or two, for lists.
func (v Verdict) Words() string {
	if v == Unsure {
		return "can't tell"
	}
	return string(v)
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
		return fillIn("{stops} in the shadows (±{off})", "stops", roughly(shadows), "off", halfWidth(t.Spread.Shadows))
	}
	return fillIn("{stops} (±{off})", "stops", roughly(whole), "off", halfWidth(t.Spread.Whole))
}

// leastLoss is the share of colour, contrast or fine detail from which a loss is told.
const leastLoss = 0.005

// usualLimits are the losses of colour, contrast and fine detail that make a print drab
// where a profile states none. They say which of several losses is the greatest: a
// headline has one number, and the page has the others.
var usualLimits = [3]float64{0.07, 0.10, 0.25}

// lossSentences say what of colour, contrast and fine detail is lost.
var lossSentences = [3]string{
	"about {share} less colourful",
	"about {share} flatter",
	"about {share} of the fine detail in the shadows lost",
}

// losses names what is lost most, by how much it takes to matter.
func losses(r *Report) string {
	t, s := r.Prediction.Targets, r.Prediction.Steps
	lost := [3]float64{
		loss(1 - float64(t.Colourfulness)),
		loss(1 - float64(t.Contrast)),
		loss(stepsLost(float64(s.Screen), float64(s.AtTargets))),
	}
	most := 0
	for i := range lost {
		if lost[i]/usualLimits[i] > lost[most]/usualLimits[most] {
			most = i
		}
	}
	if lost[most] < leastLoss {
		return "colour, contrast or fine detail may be lost"
	}
	return fillIn(lossSentences[most], "share", percent(lost[most]))
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
		return lowerFirst(clause(c))
	default:
		return wordingOf(c).close
	}
}

// leastBias is the learnt bias from which a shift is laid to it, in stops.
const leastBias = 0.1

// onlyBlack is said of a picture that has no tones to compare.
const onlyBlack = "the picture is entirely black"

// isOfThePerson tells a shift that is laid to what this person's prints always do.
func (r *Report) isOfThePerson() bool {
	s := r.Prediction.Targets.Spread
	return s != nil && s.Whole.Median.Known() && tenth(float64(s.Whole.Median)) != 0 && math.Abs(r.Learnt.Correct(0, 0)) >= leastBias
}

// margin is how near the targets a picture that should hold comes out.
func margin(r *Report) string {
	i := r.Prediction.Targets.Spread.Whole
	if !i.Median.Known() {
		return onlyBlack
	}
	sentence := "about {stops} than at your targets (±{off})"
	switch {
	case tenth(float64(i.Median)) == 0:
		sentence = "as at your targets (±{off} stop)"
	case r.isOfThePerson():
		sentence = "your prints usually come out about {stops} (±{off})"
	}
	return fillIn(sentence, "stops", inStops(float64(i.Median)), "off", halfWidth(i))
}

// NoticeFor is the notice on one export.
func NoticeFor(r *Report) Notice {
	body := []string{fillIn("{file}.", "file", filepath.Base(r.File))}
	if s := causeSentence(r); s != "" {
		body = append(body, s)
	}
	if r.Remedy != nil {
		body = append(body, r.Remedy.Text)
		if r.Remedy.Caution {
			body = append(body, briefCaution)
		}
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
		n.Body = fillIn("{warned} of {total} exports. Worst: {body}", "warned", len(warned), "total", total, "body", n.Body)
	}
	return n
}

// BrokenProfile is the notice on a profile that can't be used; mistake is its
// first mistake with file, line and key.
func BrokenProfile(mistake string) Notice {
	return Notice{
		Title: "The profile has a mistake",
		Body:  fillIn("The previous version stays in use. {mistake}", "mistake", mistake),
	}
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
// light is 180 lx (target 16–64)."
func stateSentence(c Condition) string {
	switch {
	case c.Name == "" || !c.Value.Known():
		return ""
	case c.InTarget || !c.HasTarget():
		return fillIn("{clause}.", "clause", valueClause(c))
	default:
		return fillIn("{clause} (target {target}).", "clause", valueClause(c), "target", targetText(c))
	}
}
