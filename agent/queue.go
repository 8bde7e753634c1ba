package agent

import (
	"errors"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
)

// unfinished is an export that ended in the middle, and when it is read again. Those
// that were not read yet come first.
type unfinished struct {
	export
	again time.Time
}

// putOff has an export that ended in the middle read again after a while. It tells
// whether that is to be.
func (u *underway) putOff(r examined, now time.Time) bool {
	e := r.about
	if !errors.Is(r.err, picture.ErrUnfinished) || e.tries == unfinishedTries {
		return false
	}
	if id := e.identity(); u.stages[id] != queued { // else it was told of again while it was read
		u.stages[id] = queued
		u.unfinished = append(u.unfinished, unfinished{e, now.Add(unfinishedWait)})
	}
	return true
}

// due is when the next export is to be read, at the earliest at from; false while there
// is none, or the reader is at work and will tell when it is done.
func (u *underway) due(from time.Time) (due time.Time, ok bool) {
	if u.atReader || u.idle() {
		return time.Time{}, false
	}
	if len(u.queue) == 0 && u.unfinished[0].again.After(from) {
		return u.unfinished[0].again, true
	}
	return from, true
}

// idle tells whether no export waits or is being read.
func (u *underway) idle() bool { return len(u.queue)+len(u.unfinished) == 0 && !u.atReader }

// next hands out the export that is due: the first in the queue or, when none was left
// unread, the first that was unfinished.
func (u *underway) next() export {
	var e export
	if len(u.queue) > 0 {
		e, u.queue = u.queue[0], withoutFirst(u.queue)
	} else {
		e, u.unfinished = u.unfinished[0].export, withoutFirst(u.unfinished)
	}
	e.tries++
	u.atReader, u.stages[e.identity()] = true, handed
	return e
}

// withoutFirst is the rest of a queue. An empty one gives back what a burst has grown.
func withoutFirst[T any](queue []T) []T {
	if len(queue) == 1 {
		return nil
	}
	return queue[1:]
}

// release forgets that an export is on its way.
func (u *underway) release(id journal.Identity) {
	delete(u.stages, id)
	if len(u.stages) == 0 {
		u.stages = map[journal.Identity]stage{} // a map never gives back what a burst has grown
	}
}

// identity tells exports apart before they are read.
func (e export) identity() journal.Identity { return journal.Identify(e.Path, e.Size, e.ModTime) }
