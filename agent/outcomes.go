package agent

import (
	"errors"
	"fmt"
	"time"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// ReadLearnt is what the outcomes told so far have taught; note is a plain
// sentence about what was put up with, if anything was.
func ReadLearnt(journalDir string) (l rules.Learnt, note string, err error) {
	outcomes, note, err := readOutcomes(journalDir)
	return rules.Learn(journal.Judged(outcomes), rules.JudgedUnsaid), note, err
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
	return journal.Outcome{
		At: at, Path: e.Path, Size: e.Size, ModTime: e.ModTime,
		Predicted: e.Report.Prediction.Targets.Shift.Whole,
		Word:      word,
		Found:     found,
	}
}

// keptOutcome are the tidings in having written to the outcomes, which went well or not;
// what they teach now is taken over at once.
func (d *desk) keptOutcome(journalDir string, err error) (kept bool, t tidings) {
	if err != nil {
		t.say(err.Error())
		t.begin(outcomeTrouble, "", err.Error())
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
		d.learnt = rules.Learn(journal.Judged(outcomes), d.profile.Judged)
		d.told = map[journal.Identity]journal.Outcome{}
		for _, o := range outcomes {
			d.told[journal.Identify(o.Path, o.Size, o.ModTime)] = o
		}
	}
	d.profile.Learnt = d.learnt
	return t
}
