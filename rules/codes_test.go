package rules

import (
	"regexp"
	"testing"
	"time"
)

// TestCodes: a code is lower-case words with hyphens, and means something.
func TestCodes(t *testing.T) {
	all := Codes()
	if len(all) < 50 {
		t.Errorf("only %d codes", len(all))
	}
	for _, c := range all {
		if !regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`).MatchString(string(c)) || c.Meaning() == "" {
			t.Errorf("%q: %q", c, c.Meaning())
		}
	}
	if got := Code("hum").Meaning(); got != "" {
		t.Errorf("a code of a later version means %q", got)
	}
}

// TestEverySentenceHasACode: whatever the desk and the file, each sentence that stands in
// a report or a journal has a code that is in the table, and what says nothing has none.
func TestEverySentenceHasACode(t *testing.T) {
	r := seeded(57)
	seen := map[Code]int{}
	known := func(what string, c Code, text string) {
		t.Helper()
		seen[c]++
		if (c == "") != (text == "") || c != "" && c.Meaning() == "" {
			t.Errorf("%s: %q has the code %q", what, text, c)
		}
	}
	for i := range 300 {
		p := randomDesk(r)
		switch i % 6 {
		case 0:
			p = tidemark(room(Reading{At: noon, Light: 96, Place: OnDesk}))
		case 1:
			p.Readings = nil
		case 2:
			unmeasured(p)
		case 3:
			p.Displays[0].Measured = Assume(time.Time{})
		case 4:
			taught(Stops(r.Float64()), 1+r.IntN(20))(p)
		}
		e := exportOf(randomPicture(r))
		if i%5 == 0 {
			e.Folder.Purpose = ForScreen
		}
		report := Evaluate(p, e, noon)
		for _, c := range report.Conditions {
			known(c.Name+", its source", c.SourceCode, c.Source)
			known(c.Name+", its doubt", c.DoubtCode, c.Doubt)
		}
		for _, n := range notesOf(report) {
			known("a note", n.Code, n.Text)
		}
		for _, m := range report.Remedies {
			known("a remedy", m.Code, m.Text)
		}
		if report.Remedy != nil {
			known("the remedy", report.Remedy.Code, report.Remedy.Text)
		}
		s := Decide(report, p.Quiet, History{RestUntil: noon.Add(time.Duration(i%2) * time.Hour)}, noon)
		known("a silence", s.Code, s.Text)
	}
	for _, c := range []Code{
		SilenceForScreen, SilenceNoWarning, SilenceResting, SourceProfile, SourceUnmeasured, SourceNoReading, SourceUndated,
		SourceMeasured, SourcePredicted, SourceScreen, SourceDesk, SourceDayNotKnown,
		RemedySet, RemedyDim, RemedyBrighten, RemedyRaise, RemedyLower, RemedyRead, RemedyMeasure,
	} {
		if seen[c] == 0 {
			t.Errorf("nothing in 300 desks was %q: %v", c, seen)
		}
	}
}
