package agent

import (
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// JournalDir is where the journal is kept below a state directory.
func JournalDir(state string) string { return filepath.Join(state, "journal") }

// ReadLearnt is what the outcomes told so far have taught; note is a plain
// sentence about what was put up with, if anything was.
func ReadLearnt(journalDir string) (l rules.Learnt, note string, err error) {
	outcomes, skipped, err := journal.ReadOutcomes(journalDir)
	if skipped > 0 {
		note = fmt.Sprintf("%d lines among the outcomes are damaged and left out", skipped)
	}
	return rules.Learn(journal.Judged(outcomes)), note, err
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
	return journal.AppendOutcome(journalDir, journal.Outcome{
		At: at, Path: e.Path, Size: e.Size, ModTime: e.ModTime,
		Predicted: e.Report.Prediction.Targets.Shift.Whole,
		Word:      word,
		Found:     found,
	})
}

// learn takes over the outcomes as they are on disk: the command line may have
// told of one, too. When they can't be read, what was learnt stays; what is wrong
// with their folder is told when the journal is written.
func (l *loop) learn() {
	learnt, note, err := ReadLearnt(JournalDir(l.o.StateDir))
	if note != "" {
		l.say(note)
	}
	if err == nil {
		l.learnt = learnt
	}
	l.profile.Learnt = l.learnt
}
