package watch

import (
	"fmt"
	"time"
)

// scan looks through the whole folder for files that were not handed over.
// It goes in batches, so that a full folder costs no memory.
func (w *watched) scan() {
	if w.opened == nil {
		return
	}
	w.files.missed = false
	dir := &scanner{folder: w.Path, names: w.names}
	for more := true; more; {
		b, ok := ask(w, dir.next)
		if !ok {
			return
		}
		if b.err != nil {
			w.files.missed = true // so that the next wake, at the latest the tick, tries again
			w.tellClosed(b.err)
			return
		}
		for _, f := range b.files {
			w.met(f)
		}
		more = b.more
	}
	w.over(Missing, fmt.Sprintf("the folder %q is back", w.Path))
	w.over(Unreadable, fmt.Sprintf("the folder %q can be read again", w.Path))
	if !w.files.missed {
		w.catchUp = false
	}
}

// met takes a file that a scan found.
func (w *watched) met(f foundFile) {
	switch {
	case f.size == 0 || w.seen.has(f.name, f.state):
	case w.o.Known(w.file(f.name, f.state, w.catchUp)):
		w.seen.add(f.name, f.state)
	case w.seen.full():
		w.tell(TooMany, fmt.Sprintf("%q holds more than %d exports; only new ones are followed, so move old ones to another folder", w.Path, w.seen.max))
	default:
		w.files.found(f.name, f.state, w.rest(), w.catchUp, time.Now())
	}
}

// rest is how long a file that a scan found must rest.
func (w *watched) rest() time.Duration {
	if w.opened.remote {
		return remoteRest * w.o.Settle
	}
	return w.o.Settle
}
