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

// keep journals an entry.
func (l *loop) keep(e journal.Entry) {
	l.o.Observe(e)
	if len(l.unkept) == mostUnkept {
		l.letGo()
		l.letGone = true
	}
	l.unkept = append(l.unkept, e)
	l.writeJournal()
}

// openState opens the state directory, where the journal is, if it couldn't be
// opened before or has gone away since.
func (l *loop) openState() (opened bool) {
	l.state.verify()
	if l.state.journal != nil {
		return true
	}
	err := l.state.open()
	if errors.Is(err, ErrRunning) { // it was started while we could not lock
		l.say(err.Error())
		l.quit = true
	}
	if err != nil {
		l.tellUnkept(err)
		return false
	}
	if l.last == nil && l.lastLine == "" { // otherwise there is newer to tell
		l.recall()
	}
	l.state.tellRunning(l.o.ProfilePath, l.o.Now())
	l.letGone = true // what was there before was passed over
	return true
}

// writeJournal writes what the journal still lacks. What can't be written is
// told, and tried again after keepRetry. It goes to the back, so that it holds
// up no other.
func (l *loop) writeJournal() {
	if !l.openState() {
		return
	}
	for len(l.unkept) > 0 {
		e := l.unkept[0]
		if !l.state.has(e.Path, e.Size, e.ModTime, e.Hash) {
			if err := l.state.journal.Append(e); err != nil {
				l.unkept = append(l.unkept[1:], e)
				l.tellUnkept(err)
				return
			}
		}
		l.letGo()
	}
	l.unkept, l.retryAt = nil, time.Time{}
	l.troubles.end(journalTrouble, "")
	l.state.saveFolders()
	if s := l.state.journal.Recovered(); s != "" {
		l.say(s)
	}
	if l.letGone {
		l.letGone = false
		l.watchAgain()
	}
}

// tellUnkept plans the next try. The menu keeps the first reason until all is
// written: it need not change with every try.
func (l *loop) tellUnkept(err error) {
	now := l.o.Now()
	if l.retryAt.IsZero() {
		l.say(err.Error())
		l.troubles.begin(journalTrouble, "", err.Error(), now)
	}
	l.retryAt = now.Add(keepRetry)
}

// retryJournal is writeJournal when its time has come.
func (l *loop) retryJournal(now time.Time) {
	if !l.retryAt.IsZero() && !now.Before(l.retryAt) {
		l.writeJournal()
	}
}

// letGo forgets the entry that waits longest.
func (l *loop) letGo() {
	e := l.unkept[0]
	l.unkept = l.unkept[1:]
	l.release(journal.Identify(e.Path, e.Size, e.ModTime))
}
