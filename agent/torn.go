package agent

import (
	"errors"
	"time"

	"lampblack/agent/picture"
)

const (
	// unfinishedTries is how often a file that ends in the middle is read before it
	// counts as broken: its writer may only have paused.
	unfinishedTries = 3
	unfinishedWait  = time.Second
)

// torn is an export that ended in the middle, and when it is read again. Those that
// were not read yet come first.
type torn struct {
	export
	again time.Time
}

// putOff has an export that ended in the middle read again after a while. It tells
// whether that is to be.
func (l *loop) putOff(r reading) bool {
	if !errors.Is(r.err, picture.ErrUnfinished) || r.tries == unfinishedTries {
		return false
	}
	if id := r.identity(); l.taken[id] != queued { // else it was told of again while it was read
		l.taken[id] = queued
		l.torn = append(l.torn, torn{r.export, l.o.Now().Add(unfinishedWait)})
	}
	return true
}

// feedDue is when the next export may be read, zero for at once; false while there
// is none, or the reader or the sensor is at work and will tell when it is done.
func (l *loop) feedDue() (due time.Time, ok bool) {
	if l.reading || l.sensing.asked || len(l.queue)+len(l.torn) == 0 {
		return time.Time{}, false
	}
	due = l.papersDue()
	if len(l.queue) == 0 && l.torn[0].again.After(due) {
		due = l.torn[0].again
	}
	return due, true
}

// next takes out the export that is due: the first in the queue or, when none was
// left unread, the first that was torn.
func (l *loop) next() export {
	var e export
	if len(l.queue) > 0 {
		e, l.queue = l.queue[0], withoutFirst(l.queue)
	} else {
		e, l.torn = l.torn[0].export, withoutFirst(l.torn)
	}
	e.tries++
	return e
}

// withoutFirst is the rest of a queue. An empty one gives back what a burst has grown.
func withoutFirst[T any](queue []T) []T {
	if len(queue) == 1 {
		return nil
	}
	return queue[1:]
}
