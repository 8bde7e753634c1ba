package watch

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"sync"
	"time"

	"github.com/fsnotify/fsnotify"

	"lampblack/rules"
)

const (
	// firstRetry is the wait before the second try to open a folder; each
	// further wait is twice as long, up to the tick. A program that replaces
	// its export folder is done well within it.
	firstRetry = 250 * time.Millisecond

	// answerWithin is how long a drive may take before that is a trouble.
	answerWithin = 10 * time.Second

	// remoteRest is how many times longer a file must rest where other
	// computers write: a network drive may repeat an old size and modification
	// time for three seconds or more before it asks the server again.
	remoteRest = 15
)

// watched is one folder. The goroutine in run owns all of it; calls that touch
// the disk go through ask, because a dead drive never returns from one.
type watched struct {
	ctx   context.Context
	index int
	Folder
	o     Options
	out   chan<- Event
	start time.Time       // the ticks of all folders are counted from here
	hands *sync.WaitGroup // goroutines that may hang in a system call

	files   *settler
	seen    *seen
	trouble map[string]bool // codes told and not yet over

	opened  *opened       // nil while the folder can't be watched
	retry   time.Duration // the wait before the next try to open
	catchUp bool          // no complete scan since the folder came into sight

	poll time.Time // the next scan by choice; zero: there is none

	timer *time.Timer
	armed time.Time // when timer fires
	tick  time.Time // the next tick
	again time.Time // the next try to open; only while opened is nil
}

func newWatched(ctx context.Context, index int, folder Folder, o Options, out chan<- Event) *watched {
	return &watched{
		ctx: ctx, index: index, Folder: folder, o: o, out: out,
		files:   newSettler(o.Settle, o.MaxWait),
		seen:    newSeen(maxSeen),
		trouble: map[string]bool{},
		catchUp: true,
	}
}

// run watches until the context ends.
func (w *watched) run() {
	w.timer = time.NewTimer(0)
	defer w.timer.Stop()
	defer w.close()
	w.tick = w.nextTick()
	w.open()
	w.arm()
	for w.ctx.Err() == nil {
		events, failures := w.opened.channels()
		select {
		case <-w.ctx.Done():
		case <-w.timer.C:
			w.wake()
			w.arm()
		case e, ok := <-events:
			if !ok {
				w.reopen()
				continue
			}
			w.event(e)
		case err := <-failures:
			w.failure(err)
			w.arm()
		}
	}
}

// event takes a note of what happened; the disk is not asked here.
func (w *watched) event(e fsnotify.Event) {
	gone := e.Has(fsnotify.Remove) || e.Has(fsnotify.Rename)
	if filepath.Clean(e.Name) == w.Path {
		if gone {
			w.retry = 0
			w.reopen()
		}
		return
	}
	name, err := filepath.Rel(w.Path, e.Name)
	switch {
	case err != nil:
	case gone:
		w.files.drop(name)
		w.forsake(name)
	case rules.NamesExport(w.Match, filepath.Base(name)), w.Subfolders && e.Has(fsnotify.Create) && !rules.HiddenName(filepath.Base(name)):
		now := time.Now()
		w.files.touch(name, e.Has(fsnotify.Create) || e.Has(fsnotify.Write), now)
		w.wakeBy(now.Add(w.o.Settle))
	}
}

// failure handles an error of the watcher: lost events, or a watcher that is
// of no more use.
func (w *watched) failure(err error) {
	if !errors.Is(err, fsnotify.ErrEventOverflow) {
		w.reopen()
		return
	}
	w.tell(Overflow, fmt.Sprintf("more happened in %q at once than the system could report, so it is being read again", w.Path))
	w.scan()
	w.over(Overflow, fmt.Sprintf("%q has been read again; nothing was missed", w.Path))
}

// wake does whatever is due.
func (w *watched) wake() {
	now := time.Now()
	w.settleDue(now)
	if w.files.missed && len(w.files.files) <= w.files.max/2 {
		w.scan()
	}
	if w.opened == nil && !now.Before(w.again) {
		w.open()
	}
	if !w.poll.IsZero() && !now.Before(w.poll) {
		w.poll = time.Time{}
		w.scan() // it plans the next
	}
	if !now.Before(w.tick) {
		w.tick = w.nextTick()
		w.check()
	}
}

// settleDue hands over the files that have come to rest.
func (w *watched) settleDue(now time.Time) {
	due := w.files.due(now)
	looks, ok := ask(w, func() []look { return lookAll(w.Path, due) })
	if !ok {
		return
	}
	now = time.Now()
	var folders []string
	for i, name := range due {
		catchUp, written := w.files.history(name)
		if looks[i].folder && w.Subfolders {
			folders = append(folders, name)
		}
		if !w.files.judge(name, looks[i], now) {
			continue
		}
		w.files.drop(name)
		if !w.handOver(name, looks[i].state, catchUp, written) {
			return
		}
	}
	for _, name := range folders {
		w.adopt(name)
	}
	w.tellGrowing(now)
}

// handOver sends a file in its finished state, unless that was done before.
// It returns false when the context has ended.
func (w *watched) handOver(name string, st state, catchUp, written bool) bool {
	if w.seen.has(name, st) && !(written && st.coarse()) || !rules.NamesExport(w.Match, filepath.Base(name)) {
		return true
	}
	f := w.file(name, st, catchUp, written)
	if !w.o.Known(f) && !w.send(Event{File: &f}) {
		return false
	}
	w.seen.add(name, st)
	return true
}

func (w *watched) file(name string, st state, catchUp, written bool) File {
	f := File{
		Folder: w.index, Path: filepath.Join(w.Path, name),
		Size: st.size, ModTime: time.Unix(0, st.mtime), Written: written, CatchUp: catchUp,
	}
	if st.change != 0 {
		f.Changed = time.Unix(0, st.change)
	}
	return f
}

// open starts to watch the folder, or plans the next try.
func (w *watched) open() {
	r, ok := ask(w, func() openResult { return openFolder(w.Path) })
	if !ok {
		return
	}
	if r.err != nil {
		w.catchUp = true
		w.waitLonger()
		w.again = time.Now().Add(w.retry)
		w.tellClosed(r.err)
		return
	}
	w.opened = r.opened
	w.opened.remote = w.opened.remote || w.Poll > 0
	w.scan()
}

// reopen drops a watch that is of no more use, and opens the folder anew: at
// once, or with growing pauses when it fails again and again within one tick,
// lest a broken drive keeps us busy.
func (w *watched) reopen() {
	w.close()
	w.catchUp = true
	w.again = time.Now().Add(w.retry)
	w.waitLonger()
	w.arm()
}

func (w *watched) waitLonger() { w.retry = min(max(2*w.retry, firstRetry), w.o.Tick) }

// check is the tick: is the folder still the one that was opened, and can its
// events be trusted?
func (w *watched) check() {
	if w.opened == nil {
		return // open is being retried
	}
	valid, ok := ask(w, w.opened.valid)
	if !ok {
		return
	}
	w.retry = 0
	switch {
	case !valid:
		w.reopen()
	case w.opened.limit != nil && w.opened.watcher == nil:
		w.close()
		w.open() // there may be room by now; it scans in any case
	case w.opened.limit != nil, w.opened.partial != nil, w.opened.remote && w.Poll == 0:
		w.scan()
	}
}

// close lets go of the folder. A closed watcher sends no more events.
func (w *watched) close() {
	if w.opened != nil {
		w.hands.Go(w.opened.close)
		w.opened = nil
	}
}

// arm sets the timer to the next thing that is due.
func (w *watched) arm() {
	next := w.tick
	if t, ok := w.files.next(); ok && t.Before(next) {
		next = t
	}
	if w.opened == nil && w.again.Before(next) {
		next = w.again
	}
	if !w.poll.IsZero() && w.poll.Before(next) {
		next = w.poll
	}
	w.armed = next
	w.timer.Reset(time.Until(next))
}

// wakeBy makes sure that the timer fires at t or before. Most events find it
// set already, which keeps a burst of thousands cheap.
func (w *watched) wakeBy(t time.Time) {
	if t.Before(w.armed) {
		w.armed = t
		w.timer.Reset(time.Until(t))
	}
}

func (w *watched) nextTick() time.Time {
	passed := time.Since(w.start) / w.o.Tick
	return w.start.Add((passed + 1) * w.o.Tick)
}
