package agent

import (
	"time"

	"lampblack/config/log"
)

// clicked is what a click in the menu has told last: the hand may have slipped.
type clicked struct {
	words    string                   // what was told
	at       time.Time                // zero: nothing can be taken back
	takeBack func(now time.Time) bool // tells whether it could
}

// takeBackFor is how long the menu offers to take back what a click has told.
const takeBackFor = 10 * time.Minute

// justLogged is what can still be taken back from the menu; empty when nothing can.
func (l *loop) justLogged(now time.Time) string {
	if l.clicked.at.IsZero() || now.Sub(l.clicked.at).Abs() > takeBackFor { // Abs: the clock may have been set back
		return ""
	}
	return l.clicked.words
}

// logClick logs what was clicked in the menu, and remembers how to take it back.
func (l *loop) logClick(f log.Fact) {
	if l.note(f) {
		l.clicked = clicked{f.Words(), f.Told().At, func(now time.Time) bool {
			err := l.log.TakeBack(f, now)
			l.tellLog("writing", err)
			return err == nil
		}}
	}
}

// takeBack takes back what a click has told last.
func (l *loop) takeBack(now time.Time) {
	if l.justLogged(now) == "" {
		return
	}
	if l.clicked.takeBack(now) {
		l.clicked = clicked{}
		l.layOver()
	}
}
