package rules

import (
	"math"
	"slices"
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
		{WhatItDoes, predictedLines(r)},
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

// leastReason is the share, in stops, from which a cause is worth a line.
const leastReason = 0.05

// reasonOf says what a cause does, as it darkens or lightens; of one that only a
// later version knows, which it is. A condition in its target is told beside its
// reference, from which shifts are counted.
func reasonOf(c Cause, inTarget bool) string {
	aim := "target"
	if inTarget {
		aim = "reference"
	}
	i := slices.IndexFunc(departures, func(d departure) bool { return d.name == c.Name })
	switch {
	case i < 0 || departures[i].darkens == "":
		return fillIn("the {name} is not at your target", "name", c.Name)
	case c.Stops < 0:
		return fillIn(departures[i].lightens, "aim", aim)
	default:
		return fillIn(departures[i].darkens, "aim", aim)
	}
}

// inTarget tells whether the condition that a cause is of is known to be in its target.
func (r *Report) inTarget(cause string) bool {
	c := r.Condition(conditionOf(cause))
	return c.HasTarget() && c.InTarget
}

// reasons are the causes with their shares, and what they add up to.
func reasons(r *Report) []string {
	var lines []string
	for _, c := range r.Causes {
		stops := float64(c.Stops)
		if !(math.Abs(tenth(stops)) > 0) {
			continue
		}
		lines = append(lines, fillIn("{stops} in print: {reason}.", "stops", upperFirst(inStops(stops)), "reason", reasonOf(c, r.inTarget(c.Name))))
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
	return append(lines, raisedReason(r)...)
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
	lines := []string{nothingToDo(r)}
	if r.Remedy != nil {
		lines = r.Remedy.sentences()
		lamps = lamps || r.Remedy.Caution
	}
	for _, m := range r.instead() {
		lines = append(lines, behind("Or: {remedy}", m)...)
		lamps = lamps || m.Caution
	}
	if wall.Text != "" {
		lines = append(lines, behind("For the place where it hangs: {remedy}", wall)...)
	}
	if lamps {
		lines = append(lines, lampCaution)
	}
	return lines
}

// sentences are those of the remedy's text, one by one; all in one of a report from the
// journal, which doesn't know them apart.
func (m Remedy) sentences() []string {
	if len(m.Steps) == 0 {
		return []string{m.Text}
	}
	return slices.Clone(m.Steps)
}

// behind is a remedy whose first sentence stands behind what it is offered for.
func behind(offer string, m Remedy) []string {
	lines := m.sentences()
	lines[0] = fillIn(offer, "remedy", lowerFirst(lines[0]))
	return lines
}

// nothingToDo is said where there is no remedy.
func nothingToDo(r *Report) string {
	switch {
	case r.Verdict == Darker || r.Verdict == Lighter || r.Verdict == Drab:
		return "Nothing that could be set at the desk."
	case r.Verdict == Unsure:
		return "Nothing at the desk would settle it."
	default:
		return fitText(r)
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
		case RaiseFile:
			return r.Remedy.Name != Measure // what is set at the desk has offered it already
		case RaiseShadows:
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
