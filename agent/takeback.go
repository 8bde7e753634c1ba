package agent

import (
	"time"

	"lampblack/config"
)

// clicked is what a click in the menu has logged last: the hand may have slipped.
type clicked struct {
	text string    // in the menu's words
	at   time.Time // zero: nothing can be taken back
	fact config.Fact
}

// takeBackFor is how long the menu offers to take back what a click has logged.
const takeBackFor = 10 * time.Minute

// justLogged is what can still be taken back from the menu; empty when nothing can.
func (d *desk) justLogged(now time.Time) string {
	if d.clicked.at.IsZero() || now.Sub(d.clicked.at).Abs() > takeBackFor { // Abs: the clock may have been set back
		return ""
	}
	return d.clicked.text
}

// logClick logs what was clicked in the menu, and remembers how to take it back.
func (d *desk) logClick(what config.Log, c clicked) tidings {
	noted, t := d.note(what, c.at)
	if noted {
		d.clicked = c
	}
	return t
}

// takeBack takes back what a click has logged last.
func (d *desk) takeBack(now time.Time) (t tidings) {
	if d.justLogged(now) == "" {
		return nil
	}
	err := d.log.Withdraw(d.clicked.fact, now)
	t.add(ofLog("writing", err))
	if err == nil {
		d.clicked = clicked{}
		t.add(d.layOver(now))
	}
	return t
}
