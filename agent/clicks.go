package agent

import (
	"fmt"
	"path/filepath"
	"time"

	"lampblack/agent/journal"
	"lampblack/config/log"
	"lampblack/rules"
)

// clicked is what a click in the menu has told last: the hand may have slipped.
type clicked struct {
	words    string                                              // what was told
	at       time.Time                                           // zero: nothing can be taken back
	takeBack func(d *desk, now time.Time) (done bool, t tidings) // tells whether it could
}

// takeBackFor is how long the menu offers to take back what a click has told. A click
// logs at once: to ask first would be a second click every time.
const takeBackFor = 10 * time.Minute

// justLogged is what can still be taken back from the menu; empty when nothing can.
func (d *desk) justLogged(now time.Time) string {
	if d.clicked.at.IsZero() || now.Sub(d.clicked.at).Abs() > takeBackFor { // Abs: the clock may have been set back
		return ""
	}
	return d.clicked.words
}

// logClickedLight notes the room light that was picked from the menu.
func (d *desk) logClickedLight(now time.Time, light rules.Lux) tidings {
	r := rules.Reading{At: now, Light: light, Place: rules.AtScreen, Source: rules.FromClick}
	return d.logClick(&log.Reading{Reading: r}, now)
}

// logSurround notes how the editor's surround is now.
func (d *desk) logSurround(now time.Time, name string) tidings {
	return d.logClick(&log.Surround{About: log.About{At: now, Source: rules.FromClick}, Name: name}, now)
}

// logWhite notes the white that the editing display is set to now.
func (d *desk) logWhite(now time.Time, white rules.Luminance) tidings {
	return d.logClick(&log.White{About: d.ofEditing(now), White: white}, now)
}

// logCalibrated notes that the editing display was calibrated today.
func (d *desk) logCalibrated(now time.Time) tidings {
	return d.logClick(&log.Calibrated{About: d.ofEditing(now)}, now)
}

// ofEditing is that something was clicked about the editing display.
func (d *desk) ofEditing(now time.Time) log.About {
	return log.About{At: now, Source: rules.FromClick, Display: d.profile.EditingDisplay().Name}
}

// logClick logs what was clicked in the menu, and remembers how to take it back.
func (d *desk) logClick(f log.Fact, now time.Time) tidings {
	noted, t := d.note(f, now)
	if noted {
		d.clicked = clicked{f.Words(), now, func(d *desk, now time.Time) (bool, tidings) {
			err := d.log.TakeBack(f, now)
			return err == nil, ofLog("writing", err)
		}}
	}
	return t
}

// noteOutcome notes an outcome of a print that was picked from the menu, and remembers
// how to take it back.
func (d *desk) noteOutcome(journalDir string, e journal.Entry, word rules.Outcome, now time.Time) tidings {
	o := asOutcome(e, now, word, word.Found())
	kept, t := d.keptOutcome(journalDir, journal.AppendOutcome(journalDir, o))
	if kept {
		told := fmt.Sprintf("%s came out %s", filepath.Base(e.Path), rules.OutcomeText(word, o.Found))
		d.clicked = clicked{told, now, func(d *desk, now time.Time) (bool, tidings) {
			return d.keptOutcome(journalDir, journal.TakeBackOutcome(journalDir, o, now))
		}}
	}
	return t
}

// takeBack takes back what a click has told last.
func (d *desk) takeBack(now time.Time) (t tidings) {
	if d.justLogged(now) == "" {
		return nil
	}
	done, t := d.clicked.takeBack(d, now)
	if done {
		d.clicked = clicked{}
		t.add(d.layOver(now))
	}
	return t
}
