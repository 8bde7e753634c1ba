package agent

import (
	"time"

	"lampblack/agent/watch"
)

// This file is how long is waited for things, and how far is looked back, where more
// than one group goes by it.

// refresh is how often the ages in the menu are brought up to date. Nothing
// else wakes an idle loop.
const refresh = 5 * time.Minute

// catchUpLimit is how old an export may be and still be caught up. After that
// its verdict helps nobody, and the journal may no longer know that it has it.
const catchUpLimit = 30 * 24 * time.Hour

// stampSlack is how far a file's time can lag behind the clock: a tick of the
// kernel's on Linux, two seconds on a FAT drive. An export written just after its
// folder came to be watched must not look older than that.
const stampSlack = 2 * time.Second

// came is when a file came to where it is, as far as its times tell: a file that is
// moved or linked into a folder keeps the time at which it was written.
func came(f watch.File) time.Time {
	if f.Changed.After(f.ModTime) {
		return f.Changed
	}
	return f.ModTime
}

const (
	// unfinishedTries is how often a file that ends in the middle is read before it
	// counts as broken: its writer may only have paused.
	unfinishedTries = 3
	unfinishedWait  = time.Second
)
