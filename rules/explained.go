package rules

import (
	"math"
	"slices"
	"strings"
)

// The page that explains a report, for the terminal: the verdict, and under five
// headings how one gets there, as somebody who teaches printing would read it out.

// Part is a heading of the page that explains a report, with its lines.
type Part struct {
	Heading string
	Lines   []string // none is empty
}

// The headings of the page that explains a report, in its order.
const (
	WhatYouSaw  = "What you saw"
	WhatItDoes  = "What the print will do"
	Why         = "Why"
	HowSure     = "How sure"
	WhatToDo    = "What to do"
	NotesOfFile = "Notes"
)

// Parts is a report in words, by headings; those without lines are left out.
func Parts(r *Report) []Part {
	parts := []Part{
		{WhatYouSaw, seen(r)},
		{WhatItDoes, foretold(r)},
		{Why, reasons(r)},
		{HowSure, trust(r)},
		{WhatToDo, advice(r)},
		{NotesOfFile, r.Notes},
	}
	return slices.DeleteFunc(parts, func(p Part) bool { return len(p.Lines) == 0 })
}

// Lines is a report in words: a line with the verdict, then headings, flush, with
// indented lines below. No line is empty; the notes come last.
func Lines(r *Report) []string {
	lines := []string{Headline(r)}
	if r.Purpose == ForScreen {
		lines[0] = fillIn("As a print: {headline}", "headline", lowerFirst(lines[0]))
	}
	for _, part := range Parts(r) {
		lines = append(lines, part.Heading)
		for _, l := range part.Lines {
			lines = append(lines, "  "+l)
		}
	}
	return lines
}

// seen are the conditions under which the picture was judged.
func seen(r *Report) []string {
	var lines []string
	for _, c := range r.Conditions {
		lines = append(lines, seenLine(c))
		if why := whyPredicted(c); why != "" {
			lines = append(lines, why)
		}
	}
	return lines
}

// foretold is what becomes of the picture: beside the desk as it should be, and
// where the print will hang.
func foretold(r *Report) []string {
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

// stepsText is what becomes of the fine detail: at the targets, where much of it would
// not be there either, and in the print, which holds no more than there was.
func stepsText(s ShadowSteps) string {
	sentence := "Fine detail in the shadows: about {screen} steps at your desk, {targets} at your targets; the print keeps about {print}."
	if stepsLost(float64(s.Screen), float64(s.AtTargets)) < leastLoss {
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
	return lines
}

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

// colourText is the cast and the change of colourfulness; empty where nobody
// would see them.
func colourText(a Against) string {
	ratio := float64(a.Colourfulness)
	cast := a.Cast.Word != castNone && a.Cast.Word != ""
	less, more := ratio <= 0.97, ratio >= 1.03
	sentence := ""
	switch {
	case cast && math.Hypot(float64(a.Cast.A), float64(a.Cast.B)) >= clearCast:
		// A light as far off as that takes from some hues and gives to others: a
		// mean over all of them says nothing about any.
		sentence = "Its colours: greys clearly {cast}."
	case cast && less:
		sentence = "Its colours: greys slightly {cast}, and about {less} less colourful."
	case cast && more:
		sentence = "Its colours: greys slightly {cast}, and about {more} more colourful."
	case cast:
		sentence = "Its colours: greys slightly {cast}."
	case less:
		sentence = "Its colours: about {less} less colourful."
	case more:
		sentence = "Its colours: about {more} more colourful."
	}
	return fillIn(sentence, "cast", a.Cast.Word, "less", percent(1-ratio), "more", percent(ratio-1))
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

// leastReason is the share, in stops, from which a cause is worth a line.
const leastReason = 0.05

// reasonOf says what a cause does, as it darkens or lightens; of one that only a
// later version knows, which it is.
func reasonOf(c Cause) string {
	i := slices.IndexFunc(departures, func(d departure) bool { return d.name == c.Name })
	switch {
	case i < 0 || departures[i].darkens == "":
		return fillIn("the {name} is not at your target", "name", c.Name)
	case c.Stops < 0:
		return departures[i].lightens
	default:
		return departures[i].darkens
	}
}

// reasons are the causes with their shares, and what they add up to.
func reasons(r *Report) []string {
	var lines []string
	for _, c := range r.Causes {
		stops := float64(c.Stops)
		if !(math.Abs(tenth(stops)) > 0) {
			continue
		}
		lines = append(lines, fillIn("{stops} in print: {reason}.", "stops", upperFirst(inStops(stops)), "reason", reasonOf(c)))
	}
	whole := float64(r.Prediction.Targets.Shift.Whole)
	switch {
	case math.IsNaN(whole):
		return nil
	case len(lines) == 0:
		lines = []string{"Nothing at the desk moves the print by as much as 0.05 stop."}
	case len(lines) > 1 && tenth(whole) == 0:
		lines = append(lines, "Together they cancel out, counting causes too small to list.")
	case len(lines) > 1:
		lines = append(lines, fillIn("Together about {stops}, counting causes too small to list.", "stops", inStops(whole)))
	}
	if l := correctedText(r); l != "" {
		lines = append(lines, l)
	}
	return lines
}

// mostlyModel is the share of the variance from which an uncertainty is laid to the
// model itself.
const mostlyModel = 0.5

// trust is how far to believe all this.
func trust(r *Report) []string {
	s := r.Prediction.Targets.Spread
	if s == nil {
		return nil
	}
	lines := []string{fillIn("Chance that it prints darker: {darker}; lighter: {lighter}; drab: {drab}.",
		"darker", Chance(s.Darker), "lighter", Chance(s.Lighter), "drab", Chance(s.Drab))}
	if s.Whole.Median.Known() {
		lines = append(lines, intervalText(s.Whole))
	}
	if s.Measure != "" && s.newsOfAll() >= 0.3 {
		lines = append(lines, wordingOf(Condition{Name: s.Measure}).measure)
	}
	if s.ModelShare > mostlyModel {
		lines = append(lines, "Most of this doubt is about how you see prints: reporting how a print or two came out would tell more.")
	}
	for _, c := range r.Conditions {
		if k, _ := kindOf(c.Name); k.why != "" && !c.InTarget && c.Value.Known() {
			lines = append(lines, k.why)
		}
	}
	return lines
}

// newsOfAll is the part of the whole variance that the best measurement would take away.
func (s *Spread) newsOfAll() float64 {
	if s.DeskShare+s.ModelShare == 0 {
		return s.Explains // an older journal doesn't hold the model's share
	}
	return s.Explains * s.DeskShare
}

// intervalText is where the shift of the whole picture lies.
func intervalText(i Interval) string {
	low, high := tenth(float64(i.Low)), tenth(float64(i.High))
	sentence := ""
	switch {
	case low == 0 && high == 0:
		sentence = "Two times in three, the whole picture prints as light as you saw it, within a tenth of a stop."
	case low == high && low > 0:
		sentence = "Two times in three, the whole picture prints about {high} darker."
	case low == high:
		sentence = "Two times in three, the whole picture prints about {low} lighter."
	case low > 0:
		sentence = "Two times in three, the whole picture prints {from} to {high} darker."
	case high < 0:
		sentence = "Two times in three, the whole picture prints {to} to {low} lighter."
	case low == 0:
		sentence = "Two times in three, the whole picture prints up to {high} darker."
	case high == 0:
		sentence = "Two times in three, the whole picture prints up to {low} lighter."
	default:
		sentence = "Two times in three, the whole picture prints between {low} lighter and {high} darker."
	}
	return fillIn(sentence, "low", stopsText(low), "high", stopsText(high), "from", short(math.Abs(low)), "to", short(math.Abs(high)))
}

// correctedText is what earlier prints have taught, with their number.
func correctedText(r *Report) string {
	t := r.Prediction.Targets
	if r.Learnt.Prints == 0 || t.Corrected == nil || !t.Shift.Whole.Known() {
		return ""
	}
	found, predicted := float64(t.Corrected.Whole), float64(t.Shift.Whole)
	sentence := "From {prints} of yours: {found}, where the prediction alone says {predicted}."
	if tenth(found) == tenth(predicted) {
		sentence = "From {prints} of yours: they come out as predicted."
	}
	return fillIn(sentence, "prints", plural(float64(r.Learnt.Prints), "print"), "found", inStops(found), "predicted", inStops(predicted))
}

// advice is what to do now, what could be done instead, and the caution that
// goes with lamps, once.
func advice(r *Report) []string {
	if r.Verdict == Unread {
		return nil
	}
	wall, lamps := r.atWall()
	lines := []string{nothingToDo(r, lamps)}
	if r.Remedy != nil {
		lines = []string{r.Remedy.Text}
		lamps = lamps || r.Remedy.Caution
	}
	for _, m := range r.instead() {
		lines = append(lines, fillIn("Or: {remedy}", "remedy", lowerFirst(m.Text)))
		lamps = lamps || m.Caution
	}
	if wall.Text != "" {
		lines = append(lines, fillIn("For the place where it hangs: {remedy}", "remedy", lowerFirst(wall.Text)))
	}
	if lamps {
		lines = append(lines, lampCaution)
	}
	return lines
}

// nothingToDo is said where there is no remedy.
func nothingToDo(r *Report, atWall bool) string {
	switch {
	case r.Verdict == Darker || r.Verdict == Lighter || r.Verdict == Drab:
		return "Nothing that could be set at the desk."
	case r.Verdict == Unsure:
		return "Nothing at the desk would settle it."
	case atWall:
		return "Nothing at the desk: at your targets it holds."
	default:
		return "Nothing: it is fit to print."
	}
}

// atWall is the remedy for the place where the print hangs, and whether there is one:
// none for the screen, while nobody can tell, where the light is right as it is, and
// where a standard has set it.
func (r *Report) atWall() (m Remedy, is bool) {
	_, standard := StandardViewing(r.Viewing)
	if standard || r.Purpose == ForScreen || r.Verdict == Unsure || !(size(r.Prediction.Viewing.Shift.Whole) >= leastAtWall) {
		return Remedy{}, false
	}
	m = r.offered(ViewingLight)
	return m, m.Text != ""
}

func size(f Figure) float64 { return math.Abs(float64(f)) }

// leastAtWall is the shift where the print hangs from which its light is worth a
// line, in stops.
const leastAtWall = 0.15

// instead are the remedies that could take the place of the one advised, each
// with what it leaves, as far as they help. While nobody can tell there are none,
// and none that is solved for lightness helps a drab print.
func (r *Report) instead() []Remedy {
	if r.Remedy == nil || r.Verdict != Darker && r.Verdict != Lighter {
		return nil
	}
	shift := size(r.Whole())
	return slices.DeleteFunc(slices.Clone(r.Remedies), func(m Remedy) bool {
		switch m.Name {
		case r.Remedy.Name, ViewingLight:
			return true
		case Lift:
			return size(m.Value) < leastReason || r.Remedy.Name == r.Main // whose remedy offers it in the same sentence
		case LiftShadows:
			return size(m.Value) < leastReason
		default:
			return !(size(m.Left) < min(shift/2, shift-leastReason)) // it has to mend most of it
		}
	})
}

// What has to be said with every remedy that sends somebody to a lamp: in a notice, and
// on a page.
const (
	briefCaution = "Lamps get hot: use the switch or dimmer."
	lampCaution  = "Lamps get hot. Leave mains wiring and ladders to people trained for them, and follow local regulations."
)
