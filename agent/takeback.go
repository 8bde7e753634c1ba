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
func (l *loop) justLogged(now time.Time) string {
	if l.clicked.at.IsZero() || now.Sub(l.clicked.at).Abs() > takeBackFor { // Abs: the clock may have been set back
		return ""
	}
	return l.clicked.text
}

// logClick logs what was clicked in the menu, and remembers how to take it back.
func (l *loop) logClick(what config.Log, c clicked) {
	if l.note(what) {
		l.clicked = c
	}
}

// takeBack takes back what a click has logged last.
func (l *loop) takeBack(now time.Time) {
	if l.justLogged(now) == "" {
		return
	}
	err := l.log.Withdraw(l.clicked.fact, now)
	l.tellLog("writing", err)
	if err == nil {
		l.clicked = clicked{}
		l.layOver()
	}
}
