package watch

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"
)

// scan looks through the whole folder for files that were not handed over.
func (w *watched) scan() {
	if w.opened == nil {
		return
	}
	w.files.missed = false
	w.opened.partial = nil
	if w.opened.watcher != nil {
		w.opened.limit = nil // there may be room by now
	}
	clear(w.opened.folders)
	begun := time.Now()
	all, ok := w.walk("", w.catchUp)
	if !ok {
		return
	}
	w.polled(time.Since(begun))
	w.over(Missing, fmt.Sprintf("the folder %q is back", w.Path))
	w.overUnless(w.opened.partial != nil, Unreadable, fmt.Sprintf("the folder %q can be read again", w.Path))
	if w.opened.limit != nil {
		w.tell(Limit, fmt.Sprintf("the system can't watch one more folder (%v), so %q is looked at every %v; close other programs that watch folders",
			w.opened.limit, w.Path, w.o.Tick))
	}
	w.overUnless(w.opened.limit != nil, Limit, fmt.Sprintf("the folder %q is watched again", w.Path))
	w.overUnless(all.tooDeep, TooDeep, fmt.Sprintf("all subfolders of %q are watched again", w.Path))
	if !w.files.missed {
		w.catchUp = false
	}
}

// adopt begins to watch a subfolder that has come into sight. What was in it before
// may be older than its coming here.
func (w *watched) adopt(name string) {
	w.forsake(name) // whatever had this name before
	w.walk(name, true)
}

// forsake stops watching a subfolder that has gone away, and those below it. One
// that was moved would go on sending events under its old name.
func (w *watched) forsake(name string) {
	if w.opened == nil || !w.opened.folders[name] {
		return
	}
	for sub := range w.opened.folders {
		if sub == name || strings.HasPrefix(sub, name+string(filepath.Separator)) {
			delete(w.opened.folders, sub)
			if w.opened.watcher != nil {
				_ = w.opened.watcher.Remove(filepath.Join(w.Path, sub)) // mostly gone already
			}
		}
	}
}

// walk looks through a subfolder ("" for all of the folder). It goes in batches, so
// that a full folder costs no memory. It gives what else there is to tell; ok is
// false when the folder can't be read or the context has ended. While the root is
// closed there is nothing to walk: once it is open again, all of it is scanned.
func (w *watched) walk(from string, catchUp bool) (all batch, ok bool) {
	if w.opened == nil {
		return all, false
	}
	dir := newScanner(w.opened, w.Match, w.Subfolders, from)
	for all.more = true; all.more; {
		b, ok := ask(w, dir.next)
		if !ok {
			return all, false
		}
		if b.err != nil {
			w.files.missed = true // so that the next wake, at the latest the tick, tries again
			w.tellClosed(b.err)
			return all, false
		}
		for _, f := range b.files {
			w.met(f, catchUp)
		}
		for _, name := range b.folders {
			w.opened.folders[name] = true
		}
		w.tellBatch(b)
		all.more, all.tooDeep = b.more, all.tooDeep || b.tooDeep
	}
	return all, true
}

// met takes a file that a scan found.
func (w *watched) met(f foundFile, catchUp bool) {
	switch {
	case w.seen.has(f.name, f.state):
	case w.o.Known(w.file(f.name, f.state, catchUp, false)):
		w.seen.add(f.name, f.state)
	case w.seen.full():
		w.tell(TooMany, fmt.Sprintf("%q holds more than %d exports; only new ones are followed, so move old ones to another folder",
			w.Path, w.seen.max))
	default:
		w.files.found(f.name, f.state, w.rest(), catchUp, time.Now())
	}
}

// rest is how long a file that a scan found must rest.
func (w *watched) rest() time.Duration {
	if w.opened.remote {
		return remoteRest * w.o.Settle
	}
	return w.o.Settle
}

// pollShare bounds what polling costs: a scan is followed by a pause that is at
// least this many times longer.
const pollShare = 50

// polled plans the next scan of a folder that is polled by choice.
func (w *watched) polled(took time.Duration) {
	if w.Poll > 0 {
		w.poll = time.Now().Add(max(w.Poll, pollShare*took))
	}
}
