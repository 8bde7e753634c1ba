package agent

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// ReadLearnt is what the outcomes told so far have taught of the person of a profile;
// note is a plain sentence about what was put up with, if anything was.
func ReadLearnt(journalDir string, p *rules.Profile) (l rules.Learnt, note string, err error) {
	outcomes, note, err := readOutcomes(journalDir)
	return rules.Learn(olderWhites{}.judged(journalDir, p, outcomes), p.Judged), note, err
}

// olderWhites are the luminances of the screen's white, in cd/m², in the entries behind
// outcomes of the first version, which kept only the whole of a prediction; Unknown where
// the journal has no such entry. It is searched once for each.
type olderWhites map[journal.Identity]rules.Figure

// judged are the outcomes as pairs to learn from. Those of the first version are completed
// with what their entries kept; without an entry they teach nothing.
func (w olderWhites) judged(journalDir string, p *rules.Profile, outcomes []journal.Outcome) []rules.Judged {
	w.lookUp(journalDir, outcomes)
	completed := slices.Clone(outcomes)
	for i, o := range completed {
		if !o.Lacks() {
			continue
		}
		if white, looked := w[o.Identity()]; looked {
			completed[i].Tone, completed[i].White = p.OlderParts(o.Predicted, white)
		}
	}
	return journal.Judged(completed)
}

// lookUp searches the journal for entries of which it has not been asked before. What
// can't be read is asked for again: the drive of the journal may come back.
func (w olderWhites) lookUp(journalDir string, outcomes []journal.Outcome) {
	wanted := map[journal.Identity]bool{}
	for _, o := range outcomes {
		id := o.Identity()
		if _, looked := w[id]; o.Lacks() && !looked {
			wanted[id] = true
		}
	}
	if len(wanted) == 0 {
		return
	}
	found, err := journal.FindAll(journalDir, wanted)
	if err != nil {
		return
	}
	for id := range wanted {
		w[id] = rules.Unknown
		if c := found[id].Report.Condition(rules.ScreenLuminance); c.Name != "" {
			w[id] = c.Value
		}
	}
}

func readOutcomes(journalDir string) (outcomes []journal.Outcome, note string, err error) {
	outcomes, skipped, err := journal.ReadOutcomes(journalDir)
	switch {
	case skipped == 1:
		note = "1 line among the outcomes is damaged and left out"
	case skipped > 1:
		note = fmt.Sprintf("%d lines among the outcomes are damaged and left out", skipped)
	}
	return outcomes, note, err
}

// ErrNoPrediction means that an outcome is about an export that was never
// judged: there is nothing to learn from it.
var ErrNoPrediction = errors.New("no prediction of it is in the journal")

// TellOutcome notes at a time how the print of a journaled export came out: as a
// word, or in stops (positive darker) with an empty word.
func TellOutcome(journalDir string, at time.Time, e journal.Entry, word rules.Outcome, found rules.Figure) error {
	if e.Report == nil {
		return ErrNoPrediction
	}
	return journal.AppendOutcome(journalDir, asOutcome(e, at, word, found))
}

// asOutcome is an outcome of an export that was judged.
func asOutcome(e journal.Entry, at time.Time, word rules.Outcome, found rules.Figure) journal.Outcome {
	t := e.Report.Prediction.Targets
	return journal.Outcome{
		At: at, Path: e.Path, Size: e.Size, ModTime: e.ModTime,
		Predicted: t.Shift.Whole,
		Tone:      t.Shift.Whole - t.Unabsorbed,
		White:     t.WhiteChange,
		Raised:    raisedBy(e.Report),
		Word:      word,
		Found:     found,
	}
}

// raisedBy is by how much the whole picture was raised after it was judged, in stops;
// Unknown when it was not.
func raisedBy(r *rules.Report) rules.Figure {
	t := r.Prediction.Targets
	if !r.WasRaised() || t.Left == nil {
		return rules.Unknown
	}
	return t.AsJudged().Whole - t.Left.Whole
}

// keptOutcome are the tidings in having written to the outcomes, which went well or not;
// what they teach now is taken over at once.
func (d *desk) keptOutcome(journalDir string, err error) (kept bool, t tidings) {
	if err != nil {
		t.sayAndBegin(outcomeTrouble, "", err.Error())
		return false, t
	}
	t.end(outcomeTrouble, "")
	t.add(d.learn(journalDir))
	return true, t
}

// learn takes over the outcomes as they are on disk: the command line may have
// told of one, too. When they can't be read, what was learnt stays; what is wrong
// with their folder is told when the journal is written.
func (d *desk) learn(journalDir string) (t tidings) {
	outcomes, note, err := readOutcomes(journalDir)
	if note != "" {
		t.say(note)
	}
	if err == nil {
		d.learnt = rules.Learn(d.older.judged(journalDir, d.profile, outcomes), d.profile.Judged)
		d.told = map[journal.Identity]journal.Outcome{}
		for _, o := range outcomes {
			d.told[o.Identity()] = o
		}
	}
	d.profile.Learnt = d.learnt
	return t
}
