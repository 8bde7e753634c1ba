package agent

import (
	"time"

	"lampblack/config"
)

// slip is what a click has logged last: the hand may have slipped.
type slip struct {
	text string
	at   time.Time // zero: there is none
	back config.Withdrawn
}

// takeBackFor is how long the menu offers to take back what a click has logged.
const takeBackFor = 10 * time.Minute

// justLogged is what can still be taken back from the menu; empty when nothing can.
func (l *loop) justLogged(now time.Time) string {
	if l.slip.at.IsZero() || now.Sub(l.slip.at).Abs() > takeBackFor {
		return ""
	}
	return l.slip.text
}

// click logs what was clicked in the menu, and remembers how to take it back.
func (l *loop) click(what config.Log, s slip) {
	if l.note(what) {
		l.slip = s
	}
}

// takeBack takes back what a click has logged last.
func (l *loop) takeBack(now time.Time) {
	if l.justLogged(now) == "" {
		return
	}
	err := config.Withdraw(LogPath(l.o.ProfilePath), l.slip.back, now)
	l.tellLog("writing", err)
	if err == nil {
		l.slip = slip{}
		l.layOver()
	}
}
