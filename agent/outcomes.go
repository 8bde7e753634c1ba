package agent

import (
	"errors"
	"fmt"
	"math"
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
	outcomes, note, err := readOutcomes(journalDir)
	return rules.Learn(journal.Judged(outcomes)), note, err
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

// printsKept is how many of the last prints the menu can be told of.
const printsKept = 5

// recallPrints finds the last prints that were judged before this start.
func (l *loop) recallPrints() {
	latest := l.state.last(printsKept) // the newest first
	for i := range latest {
		l.addPrint(latest[len(latest)-1-i])
	}
}

// addPrint makes an entry one of the prints that can be told of, if it is one,
// and the one that is chosen.
func (l *loop) addPrint(e journal.Entry) {
	if e.Report == nil || e.Report.Purpose != rules.ForPrint || e.Report.Prediction.Targets.Spread == nil {
		return
	}
	l.prints = append([]journal.Entry{e}, l.prints...)
	l.prints = l.prints[:min(len(l.prints), printsKept)]
	l.chosen = printID(e)
}

// tellable are the prints as the tray shows them.
func (l *loop) tellable() []tray.Print {
	var ps []tray.Print
	for _, e := range l.prints {
		known := "verdict: " + string(e.Report.Verdict)
		if o, told := l.told[identityOf(e)]; told {
			known = "came out " + OutcomeName(o.Word, o.Found)
		}
		ps = append(ps, tray.Print{ID: printID(e), Text: filepath.Base(e.Path) + " (" + known + ")", Chosen: printID(e) == l.chosen})
	}
	return ps
}

// OutcomeName is an outcome in words, as [TellOutcome] takes it.
func OutcomeName(word rules.Outcome, found rules.Figure) string {
	if word != "" {
		return word.Words()
	}
	stops := strconv.FormatFloat(math.Abs(math.Round(100*float64(found))/100), 'f', -1, 64) // hundredths, as strips have them
	if found < 0 {
		return stops + " stop lighter"
	}
	return stops + " stop darker"
}

func printID(e journal.Entry) string { return identityOf(e).String() }

func identityOf(e journal.Entry) journal.Identity { return journal.Identify(e.Path, e.Size, e.ModTime) }

// tellOutcome notes what was clicked, and learns from it at once.
func (l *loop) tellOutcome(id string, word rules.Outcome) {
	for _, e := range l.prints {
		if printID(e) == id {
			l.noteOutcome(e, word)
			return
		}
	}
}

// noteOutcome notes an outcome of one of the prints that can be told of, and remembers
// how to take it back.
func (l *loop) noteOutcome(e journal.Entry, word rules.Outcome) {
	dir, now := JournalDir(l.o.StateDir), l.o.Now()
	o := asOutcome(e, now, word, word.Found())
	if !l.keptOutcome(journal.AppendOutcome(dir, o)) {
		return
	}
	l.clicked = clicked{filepath.Base(e.Path) + " came out " + OutcomeName(word, o.Found), now, func(now time.Time) bool {
		return l.keptOutcome(journal.TakeBackOutcome(dir, o, now))
	}}
}

// keptOutcome takes over what the outcomes teach now, unless there was an error in
// writing to them, which it tells.
func (l *loop) keptOutcome(err error) bool {
	if err != nil {
		l.say(err.Error())
		l.troubles.begin(outcomeTrouble, "", err.Error(), l.o.Now())
		return false
	}
	l.troubles.end(outcomeTrouble, "")
	l.learn()
	return true
}

// learn takes over the outcomes as they are on disk: the command line may have
// told of one, too. When they can't be read, what was learnt stays; what is wrong
// with their folder is told when the journal is written.
func (l *loop) learn() {
	outcomes, note, err := readOutcomes(JournalDir(l.o.StateDir))
	if note != "" {
		l.say(note)
	}
	if err == nil {
		l.learnt = rules.Learn(journal.Judged(outcomes))
		l.told = map[journal.Identity]journal.Outcome{}
		for _, o := range outcomes {
			l.told[journal.Identify(o.Path, o.Size, o.ModTime)] = o
		}
	}
	l.profile.Learnt = l.learnt
}
