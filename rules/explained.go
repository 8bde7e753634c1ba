package rules

import (
	"fmt"
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
		lines[0] = "As a print: " + lowerFirst(lines[0])
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
		line := upperFirst(c.Name) + " " + seenValue(c)
		if origin := seenOrigin(c); origin != "" {
			line += ", " + origin
		}
		if c.HasTarget() {
			line += fmt.Sprintf(": %s (target %s)", seenState(c), targetText(c))
		}
		lines = append(lines, line)
	}
	return lines
}

// foretold is what becomes of the picture: beside the desk as it should be, and
// where the print will hang.
func foretold(r *Report) []string {
	t, v := r.Prediction.Targets, r.Prediction.Viewing
	lines := comparison("Against your targets, which the verdict is about", "Its colours", t, t.Expected())
	if r.Purpose == ForScreen {
		return lines
	}
	lines = append(lines, comparison(fmt.Sprintf("At %s, on %s", r.Viewing, r.Paper), "Its colours in that light", v, v.Expected())...)
	if v.LostShare > 0.001 {
		lines = append(lines, fmt.Sprintf("About %s of the picture is lost in this paper's black.", percent(float64(v.LostShare))))
	}
	if s := r.Prediction.Steps; s.Screen > 0 {
		lines = append(lines, stepsText(s))
	}
	if m := matchText(r); m != "" {
		lines = append(lines, m)
	}
	return lines
}

// stepsText is what becomes of the shadow steps: at the targets, where many of
// them would not be there either, and in the print.
func stepsText(s ShadowSteps) string {
	seen := fmt.Sprintf("Of about %.0f shadow steps you see, ", s.Screen)
	held := fmt.Sprintf("the print will hold about %.0f.", math.Max(0, float64(s.Print)))
	if stepsLost(float64(s.Screen), float64(s.AtTargets)) < leastLoss {
		return seen + held
	}
	return fmt.Sprintf("%sabout %.0f would be there at your targets, and %s", seen, s.AtTargets, held)
}

// comparison is one reference in words: the whole, the zones of tone, and its
// colours where they differ.
func comparison(where, colours string, a Against, s Shift) []string {
	if !s.Whole.Known() {
		return []string{where + ": nothing to compare, " + onlyBlack + "."}
	}
	lines := []string{where + ": " + lightness(float64(s.Whole)) + zones(s) + "."}
	if colour := colourText(a); colour != "" {
		lines = append(lines, colours+": "+colour+".")
	}
	return lines
}

// lightness is a shift in words.
func lightness(stops float64) string {
	switch {
	case math.Abs(stops) < 0.05:
		return "as light as you saw it"
	case stops > 0:
		return roughly(stops) + " darker"
	default:
		return roughly(-stops) + " lighter"
	}
}

// zones are the shifts of the zones of tone, where they are not all as good as
// nothing.
func zones(s Shift) string {
	var parts []string
	some := false
	for _, z := range []struct {
		name string
		v    Figure
	}{{"shadows", s.Shadows}, {"midtones", s.Midtones}, {"highlights", s.Highlights}} {
		if z.v.Known() {
			some = some || math.Abs(float64(z.v)) >= 0.05
			parts = append(parts, z.name+" "+signed(float64(z.v)))
		}
	}
	if !some {
		return ""
	}
	return " (" + strings.Join(parts, ", ") + "; + is darker)"
}

// clearCast is the distance in a'b' from which a cast is called more than slight
// (common practice, no source).
const clearCast = 6

// colourText is the cast and the change of colourfulness; empty where nobody
// would see them.
func colourText(a Against) string {
	var parts []string
	if a.Cast.Word != castNone && a.Cast.Word != "" {
		if math.Hypot(float64(a.Cast.A), float64(a.Cast.B)) >= clearCast {
			// A light as far off as that takes from some hues and gives to others: a
			// mean over all of them says nothing about any.
			return "greys clearly " + a.Cast.Word
		}
		parts = append(parts, "greys slightly "+a.Cast.Word)
	}
	switch ratio := float64(a.Colourfulness); {
	case ratio <= 0.97:
		parts = append(parts, fmt.Sprintf("about %s less colourful", percent(1-ratio)))
	case ratio >= 1.03:
		parts = append(parts, fmt.Sprintf("about %s more colourful", percent(ratio-1)))
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, ", ")
}

// matchText tells which light on this paper is as bright as the screen's white,
// now and at its target, and which light there is.
func matchText(r *Report) string {
	m, white := r.Prediction.Match, float64(r.Condition(ScreenLuminance).Value)
	if !(white > 0 && m.Now > 0) {
		return ""
	}
	text := fmt.Sprintf("A sheet of %s is as bright as your %s cd/m² in about %s lx", r.Paper, short(white), about(float64(m.Now)))
	if math.Abs(float64(m.Targets/m.Now)-1) >= 0.05 {
		text += fmt.Sprintf(", as your target's %s in about %s", short(white*float64(m.Targets/m.Now)), about(float64(m.Targets)))
	}
	return fmt.Sprintf("%s; %s has %s lx.", text, r.Viewing, short(float64(m.There)))
}

// leastReason is the share, in stops, from which a cause is worth a line.
const leastReason = 0.05

// reasonOf says what a cause does, as it darkens or lightens; of one that only a
// later version knows, which it is.
func reasonOf(c Cause) string {
	i := slices.IndexFunc(departures, func(d departure) bool { return d.name == c.Name })
	switch {
	case i < 0 || departures[i].darkens == "":
		return "the " + c.Name + " is not as you aim for"
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
		if !(math.Abs(stops) >= leastReason) {
			continue
		}
		lines = append(lines, fmt.Sprintf("About %s stop: %s.", signed(stops), reasonOf(c)))
	}
	whole := r.Prediction.Targets.Shift.Whole
	switch {
	case !whole.Known():
		return nil
	case len(lines) == 0:
		lines = []string{"Nothing at the desk moves the print by as much as 0.05 stop."}
	case len(lines) > 1:
		lines = append(lines, fmt.Sprintf("Together about %s stop, with what is too small to name.", signed(float64(whole))))
	}
	if l := correctedText(r); l != "" {
		lines = append(lines, l)
	}
	return append(lines, raisedReason(r)...)
}

// trust is how far to believe all this.
func trust(r *Report) []string {
	s := r.Prediction.Targets.Spread
	if s == nil {
		return nil
	}
	lines := []string{fmt.Sprintf("Darker %s, lighter %s, drab %s.", percent(s.Darker), percent(s.Lighter), percent(s.Drab))}
	if s.Whole.Median.Known() {
		lines = append(lines, "Two times in three the whole picture is "+intervalText(s.Whole)+" stop off.")
	}
	if s.Measure != "" && s.Explains >= 0.3 {
		lines = append(lines, fmt.Sprintf("Measuring the %s now would take away much of the doubt.", s.Measure))
	}
	for _, c := range r.Conditions {
		if k, _ := kindOf(c.Name); k.why != "" && !c.InTarget && c.Value.Known() {
			lines = append(lines, k.why)
		}
	}
	return lines
}

func intervalText(i Interval) string {
	low, high := signed(float64(i.Low)), signed(float64(i.High))
	if low == high {
		return "about " + low
	}
	return fmt.Sprintf("between %s and %s", low, high)
}

// correctedText is what earlier prints have taught, with their number.
func correctedText(r *Report) string {
	t := r.Prediction.Targets
	if r.Learnt.Prints == 0 || t.Corrected == nil || !t.Shift.Whole.Known() {
		return ""
	}
	found, reckoned := signed(float64(t.Corrected.Whole)), signed(float64(t.Shift.Whole))
	text := "Learnt from " + plural(float64(r.Learnt.Prints), "print") + " of yours: "
	if found == reckoned {
		return text + "they come out as reckoned."
	}
	return text + fmt.Sprintf("about %s stop where reckoning alone gives %s.", found, reckoned)
}

// advice is what to do now, what could be done instead, and the caution that
// goes with lamps, once.
func advice(r *Report) []string {
	if r.Verdict == Unread {
		return nil
	}
	lines := []string{"Nothing: it is fit to print."}
	switch {
	case r.Remedy != nil:
		lines = []string{r.Remedy.Text}
	case r.Verdict == Darker || r.Verdict == Lighter || r.Verdict == Drab:
		lines = []string{"Nothing that could be set at the desk."}
	}
	for _, m := range r.instead() {
		lines = append(lines, "Or: "+lowerFirst(m.Text))
	}
	if text := r.atWall(); text != "" {
		lines = append(lines, "For the place where it hangs: "+lowerFirst(text))
	}
	return cautionedOnce(lines)
}

// atWall is the light for the place where the print hangs; empty for the screen,
// while nobody can tell, where it is right as it is, and where a standard has set it.
func (r *Report) atWall() string {
	_, standard := StandardViewing(r.Viewing)
	if standard || r.Purpose == ForScreen || r.Verdict == Unsure || !(size(r.Prediction.Viewing.Shift.Whole) >= leastAtWall) {
		return ""
	}
	return r.offered(ViewingLight).Text
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
			return size(m.Value) < leastReason || strings.Contains(r.Remedy.Text, liftText(float64(m.Value)))
		case LiftShadows:
			return size(m.Value) < leastReason
		default:
			return !(size(m.Left) < min(shift/2, shift-leastReason)) // it has to mend most of it
		}
	})
}

// cautionedOnce takes the caution about lamps out of every line and puts it
// behind them, in full.
func cautionedOnce(lines []string) []string {
	short, found := lampsGetHot, false
	for i, l := range lines {
		if strings.Contains(l, short) {
			lines[i], found = strings.ReplaceAll(l, short, ""), true
		}
	}
	if found {
		lines = append(lines, lampCaution)
	}
	return lines
}

// lampCaution goes with every remedy that is about a lamp.
const lampCaution = "Lamps get hot, and mains wiring and ladders are for people trained for them; follow local codes."
