package agent

import (
	"errors"
	"time"

	"lampblack/agent/journal"
)

const (
	// keepRetry is the wait before an entry that could not be written is tried
	// again: drives come back and disks are cleared, and nobody tells us.
	keepRetry = time.Minute

	// mostUnkept bounds what waits for the journal, some 4 KB each. Exports beyond
	// it are not lost: the journal doesn't know them, so they are caught up when it
	// can be written again.
	mostUnkept = 2000
)

// keep takes an entry that the journal is to have.
func (u *underway) keep(e journal.Entry) {
	if len(u.unkept) == mostUnkept {
		u.letGo()
		u.letGone = true
	}
	u.unkept = append(u.unkept, e)
}

// writing is what came of a try to write the journal.
type writing struct {
	tidings
	opened bool // the state directory could be opened, which it couldn't before
	rival  bool // another agent has it
	again  bool // the folders must be watched anew, to catch up what was let go
}

// write writes what the journal still lacks. What can't be written is told, and tried
// again after keepRetry. It goes to the back, so that it holds up no other.
func (u *underway) write(now time.Time) writing {
	w, open := u.openState(now)
	if !open {
		return w
	}
	for len(u.unkept) > 0 {
		e := u.unkept[0]
		if !u.state.has(e.Path, e.Size, e.ModTime, e.Hash) {
			if err := u.state.journal.Append(e); err != nil {
				u.unkept = append(u.unkept[1:], e)
				w.add(u.tryLater(err, now))
				return w
			}
		}
		u.letGo()
	}
	u.unkept, u.retryAt = nil, time.Time{}
	w.end(journalTrouble, "")
	u.state.saveFolders()
	if s := u.state.journal.Recovered(); s != "" {
		w.say(s)
	}
	w.again, u.letGone = u.letGone, false
	return w
}

// openState opens the state directory, where the journal is, if it couldn't be
// opened before or has gone away since.
func (u *underway) openState(now time.Time) (w writing, open bool) {
	u.state.verify()
	if u.state.journal != nil {
		return w, true
	}
	err := u.state.open()
	if errors.Is(err, ErrRunning) { // it was started while we could not lock
		w.say(err.Error())
		w.rival = true
	}
	if err != nil {
		w.add(u.tryLater(err, now))
		return w, false
	}
	w.opened = true
	u.letGone = true // what was there before was passed over
	return w, true
}

// tryLater plans the next try. The menu keeps the first reason until all is
// written: it need not change with every try.
func (u *underway) tryLater(err error, now time.Time) (t tidings) {
	if u.retryAt.IsZero() {
		t.sayAndBegin(journalTrouble, "", err.Error())
	}
	u.retryAt = now.Add(keepRetry)
	return t
}

// retryDue tells whether the next try is due.
func (u *underway) retryDue(now time.Time) bool {
	return !u.retryAt.IsZero() && !now.Before(u.retryAt)
}

// letGo forgets the entry that waits longest.
func (u *underway) letGo() {
	e := u.unkept[0]
	u.unkept = u.unkept[1:]
	u.release(e.Identity())
}
