package rules

import (
	"time"

	"lampblack/rules/colour"
)

// Evaluate is the one line along which data flows: profile, readings and
// picture in; conditions, prediction, verdict, causes and remedy out. The
// agent, `explain` and `rehearse` all call it.
//
// A file that was raised since it was predicted dark is judged as it was before, as long
// as the desk would make that print dark still.
func Evaluate(p *Profile, e Export, now time.Time) *Report {
	c := ResolveFor(p, e.Folder, now)
	if up, is := raiseOf(e.Before, &e.Picture); is && e.Folder.Purpose != ForScreen {
		judged, by := up.takenOff(e.Picture)
		if c.printDark(judged, p.Quiet) {
			c.how.raised = by
			r := evaluate(p, e, c, judged, now)
			r.Raised, r.Gist = Figure(up.mid), &up.from
			return r
		}
	}
	r := evaluate(p, e, c, e.Picture, now)
	r.Gist = r.gist(&e.Picture)
	return r
}

// printDark tells that these conditions make a picture print dark, or that this is what
// makes it close.
func (c *Conditions) printDark(pic Picture, q Quiet) bool {
	r := Report{Picture: pic}
	r.decide(c, q)
	return r.printsDark()
}

// evaluate is the report on a file that holds a picture as it was judged, raised since
// by what the conditions say.
func evaluate(p *Profile, e Export, c Conditions, pic Picture, now time.Time) *Report {
	paper, paperNote := paperOf(p, e.Folder)
	viewing, viewingNote := viewingOf(p, e.Folder)
	r := &Report{
		File:       e.File,
		At:         now,
		Purpose:    e.Folder.Purpose,
		Judged:     p.Judged,
		Paper:      paper.Name,
		Viewing:    viewing.Name,
		Picture:    pic, // as it was judged, until all is told
		Conditions: c.List,
		Prediction: Predict(&c, paper, viewing, &pic),
		Causes:     causes(&c, &pic),
		Notes:      []string{},
		NoteCodes:  []Code{},
		Raised:     Unknown,
	}
	if r.Purpose == "" {
		r.Purpose = ForPrint
	}
	r.Learnt = p.Learnt
	r.Prediction.Targets.Corrected = p.Learnt.correctZones(r.Prediction.Targets)
	r.Prediction.answeredBy(c.how.raised)
	r.conclude(&c, p.Quiet)
	r.putRight(&c, p.Quiet, hung{&c, paper, viewing, e.Folder.Proof == viewing.Name})
	r.codeRemedies()
	r.note(e.Picture.Notes...)
	r.note(remarks(&e.Picture, e.Folder, paper)...)
	r.note(deskNotes(r, &c, p.Quiet)...)
	if r.Purpose != ForScreen {
		r.note(paperNote, viewingNote)
	}
	r.note(e.Folder.notAnExport(e.File))
	r.Picture = e.Picture
	return r
}

// note puts down what is remarked on the file; a Sentence that says nothing is left out.
func (r *Report) note(notes ...Sentence) {
	for _, n := range notes {
		if n.Text != "" {
			r.Notes, r.NoteCodes = append(r.Notes, n.Text), append(r.NoteCodes, n.Code)
		}
	}
}

// conclude is the verdict with all that a notice depends on, of a report that has its
// picture and the causes.
func (r *Report) conclude(c *Conditions, q Quiet) {
	r.decide(c, q)
	r.Main = mainCondition(c, r, q)
}

// decide is the verdict and what would settle it, of a report that has its picture.
func (r *Report) decide(c *Conditions, q Quiet) {
	s := spread(c, q, &r.Picture)
	r.Prediction.Targets.Spread = &s
	r.Verdict, r.far = judge(s, c.far, q), c.far
	r.Unsettled = c.far
	if r.Unsettled == "" {
		r.Unsettled = s.Measure
	}
	if r.Verdict == Darker && c.onlyGuessedDark(q, &r.Picture) {
		r.Verdict, r.Unsettled = Unsure, ScreenLuminance
	}
	if r.Verdict == Unsure && c.far == "" && r.Unsettled == s.Measure && s.ownDoubt() {
		r.Unsettled = ""
	}
}

// putRight fills in what could be done, and what to do now.
func (r *Report) putRight(c *Conditions, q Quiet, at hung) {
	f := faultOfReport(c, r, q)
	options := f.atDesk(r)
	r.Remedies = remedies(r, f, options, at)
	r.advise(c, f, options)
	r.SurroundAsMat = r.Purpose != ForScreen && at.onlyAsMat(r.Verdict, q, &r.Picture)
}

// onlyGuessedDark tells a verdict of darker that rests on a white which nobody has
// measured: with the white at its reference, and held, it would be none.
func (c *Conditions) onlyGuessedDark(q Quiet, pic *Picture) bool {
	if !c.Get(ScreenLuminance).Assumed {
		return false
	}
	right := *c
	right.white = estimate{float64(c.target.ReferenceWhite), sigmaWhiteMeasured}
	right.held, right.drift = true, 0
	return judge(spread(&right, q, pic), "", q) != Darker
}

// mainCondition is the condition that a verdict is mostly due to, if there is one.
// Of an unsure verdict it is what makes it close, where it is out of target and no
// measurement would tell more.
func mainCondition(c *Conditions, r *Report, q Quiet) string {
	switch {
	case r.Verdict == Holds || r.Verdict == Unsure && r.Unsettled != "":
		return ""
	case r.Verdict != Unsure:
		return mostlyDueTo(c, r, r.Verdict, q)
	}
	if name := mostlyDueTo(c, r, r.Prediction.Targets.Spread.leaning(), q); !c.Get(name).InTarget {
		return name
	}
	return ""
}

func mostlyDueTo(c *Conditions, r *Report, v Verdict, q Quiet) string {
	if v == Drab {
		return drabCause(c, &r.Picture, q)
	}
	cause, _ := mainCause(v, r.Causes)
	return conditionOf(cause.Name)
}

// paperOf is the paper of a folder, or the profile's first with a note.
func paperOf(p *Profile, f Folder) (Paper, Sentence) {
	for _, paper := range p.Papers {
		if paper.Name == f.Paper && f.Paper != "" {
			return paper, Sentence{}
		}
	}
	first := p.Papers[0]
	return first, Sentence{NotePaper, fillIn("No paper is named for this file; \"{paper}\" is assumed.", "paper", first.Name)}
}

// viewingOf is the viewing place of a folder, or the profile's first with a note.
func viewingOf(p *Profile, f Folder) (Viewing, Sentence) {
	if v, known := p.viewing(f.Viewing); known {
		return v, Sentence{}
	}
	first := p.Viewings[0]
	return first, Sentence{NoteViewing, fillIn("No viewing place is named for this file; \"{viewing}\" is assumed.", "viewing", first.Name)}
}

// patchTones are the tones of the icon's five patches, as L*.
var patchTones = [5]float64{5, 20, 40, 65, 90}

// wedgeOf is the icon's step wedge under the conditions c: a patch is hollow
// when its tone, in a picture of middling mean, would print at least a clear
// step darker than at the targets.
func wedgeOf(c *Conditions, q Quiet) Wedge {
	const middling = 0.18
	a, r := c.now().at(middling), c.reference().at(middling)
	var w Wedge
	for i, l := range patchTones {
		shift := shiftOf(&a, &r, colour.FromLightness(l))
		w.Hollow[i] = shift >= float64(q.Clear)
	}
	return w
}
