package agent

import (
	"errors"
	"fmt"
	"path/filepath"
	"strconv"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/tray"
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

// printsKept is how many of the last prints the menu can be told of.
const printsKept = 5

// recallPrints finds the last prints that were judged before this start.
func (l *loop) recallPrints() {
	latest := l.state.journal.Last(printsKept)
	for i := len(latest) - 1; i >= 0; i-- {
		l.addPrint(latest[i])
	}
}

// addPrint makes an entry one of the prints that can be told of, if it is one.
func (l *loop) addPrint(e journal.Entry) {
	if e.Report == nil || e.Report.Purpose != rules.ForPrint || e.Report.Prediction.Targets.Spread == nil {
		return
	}
	l.prints = append([]journal.Entry{e}, l.prints...)
	if len(l.prints) > printsKept {
		l.prints = l.prints[:printsKept]
	}
}

// tellable are the prints as the tray shows them.
func (l *loop) tellable() []tray.Print {
	var ps []tray.Print
	for _, e := range l.prints {
		ps = append(ps, tray.Print{ID: printID(e), Text: fmt.Sprintf("%s (%s)", filepath.Base(e.Path), e.Report.Verdict)})
	}
	return ps
}

func printID(e journal.Entry) string {
	return e.Path + "\x00" + strconv.FormatInt(e.Size, 10) + "\x00" + strconv.FormatInt(e.ModTime.UnixNano(), 10)
}

// tellOutcome notes what was clicked, and learns from it at once.
func (l *loop) tellOutcome(id string, word rules.Outcome) {
	for _, e := range l.prints {
		if printID(e) == id {
			l.noteOutcome(e, word)
			return
		}
	}
}

func (l *loop) noteOutcome(e journal.Entry, word rules.Outcome) {
	err := TellOutcome(JournalDir(l.o.StateDir), l.o.Now(), e, word, word.Found())
	if err != nil {
		l.say(err.Error())
		l.troubles.begin(outcomeTrouble, "", err.Error(), l.o.Now())
		return
	}
	l.troubles.end(outcomeTrouble, "")
	l.learn()
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
