package agent

import (
	"context"
	"runtime/debug"
	"sync"
	"time"
)

// loop is the state that one goroutine owns: three groups, which know nothing of each
// other, and the ways in. It carries values from one group to the next.
type loop struct {
	o     Options
	ctx   context.Context
	hands sync.WaitGroup // the goroutines that send to the loop

	desk    *desk     // what is known of the desk
	exports *underway // exports on their way
	voice   *voice    // what is said

	edits   lookout // of the profile and its log
	folders lookout // of the folders of the profile
	photos  lookout // of the light folder
	answers answers

	tidyAt time.Time // when the memory that work has taken is given back; zero: it has been
	quit   bool
}

// answers are the ways on which errands come back.
type answers struct {
	exports   chan examined
	papers    chan answer[string, sheet]
	photos    chan lightPhoto
	sensor    chan sensed
	page      chan answer[nothing, nothing] // the desk page
	firstPage chan answer[string, nothing]
	watches   chan answer[string, nothing] // one that has ended, by what it watches
}

// nothing is what an errand is about, or finds, that is about or finds nothing.
type nothing = struct{}

func newLoop(ctx context.Context, o Options, s *state) *loop {
	return &loop{
		o: o, ctx: ctx,
		desk:    knowNothing(o.ProfilePath, o.StateDir),
		exports: nothingUnderway(s),
		voice:   &voice{},
		answers: answers{
			exports:   make(chan examined),
			papers:    make(chan answer[string, sheet]),
			photos:    make(chan lightPhoto),
			sensor:    make(chan sensed),
			page:      make(chan answer[nothing, nothing]),
			firstPage: make(chan answer[string, nothing]),
			watches:   make(chan answer[string, nothing]),
		},
	}
}

// start loads the profile and sets the helpers of the loop going.
func (l *loop) start() {
	l.voice.recall(l.exports.state.last(printsKept))
	l.writeJournal() // there is nothing to write, but maybe something to say of it
	l.watchProfile()
	l.loadProfile()
	l.sense(senseEvery)
	l.show()
	l.busy()
}

// run is the loop. It ends with ctx or when the user quits.
func (l *loop) run() {
	for !l.quit {
		alarm := time.NewTimer(l.untilAlarm(l.o.Now()))
		select {
		case <-l.ctx.Done():
			l.quit = true
		case e := <-l.folders.events:
			l.busy()
			l.onEvent(e)
		case e := <-l.edits.events:
			l.onEdited(e)
		case a := <-l.answers.papers:
			l.onPaper(a)
		case r := <-l.answers.exports:
			l.busy()
			l.onRead(r)
		case a := <-l.answers.page:
			l.onPage(a)
		case a := <-l.answers.firstPage:
			l.onFirstPage(a)
		case e := <-l.photos.events:
			l.onLight(e)
		case p := <-l.answers.photos:
			l.onPhoto(p)
		case s := <-l.answers.sensor:
			l.onSensed(s)
		case a := <-l.answers.watches:
			l.onWatchEnded(a)
		case c := <-l.o.Desktop.Commands():
			l.busy()
			l.onCommand(c)
		case <-alarm.C:
		}
		alarm.Stop()
		l.tend(l.o.Now())
	}
	l.writeJournal() // the last try; what it doesn't take is caught up at the next start
}

// tend does whatever is due.
func (l *loop) tend(now time.Time) {
	l.voice.forget(l.desk.profile.Quiet, now)
	l.planAnew(now)
	if l.exports.retryDue(now) {
		l.writeJournal()
	}
	l.sense(senseEvery)
	if l.desk.papers.retry(l.desk.good.profile, now) {
		l.askPapers()
	}
	l.feed(now)
	l.feedPhotos()
	if n, due := l.voice.notice(l.exports.idle(), now); due {
		l.o.Desktop.Notify(n)
	}
	l.show()
	l.tidy(now)
}

// planAnew brings back what lies further in the future than it was ever planned,
// because the clock was set back since.
func (l *loop) planAnew(now time.Time) {
	l.desk.planAnew(now)
	l.exports.planAnew(now)
	l.voice.planAnew(now)
}

// untilAlarm is the time until something is due without any event, at least 0
// and at most refresh. What is overdue gives 0, and tend sees to it that
// nothing stays overdue.
func (l *loop) untilAlarm(now time.Time) time.Duration {
	wait := refresh
	feed, _ := l.feedDue()
	for _, t := range append(l.voice.due(l.exports.idle(), now), l.exports.retryAt, l.tidyAt, feed) {
		if !t.IsZero() {
			wait = min(wait, max(0, t.Sub(now)))
		}
	}
	return wait
}

// tidyAfter is how long nothing must have happened before memory is given back to
// the system: an editor that exports one picture exports another.
const tidyAfter = 20 * time.Second

// tidy gives back, once, what start-up or work has taken.
func (l *loop) tidy(now time.Time) {
	if l.tidyAt.IsZero() || now.Before(l.tidyAt) && l.tidyAt.Sub(now) <= tidyAfter {
		return
	}
	l.tidyAt = time.Time{}
	l.exports.rest()
	debug.FreeOSMemory()
	letGoOfProgram()
}

// busy notes that there is work, which takes memory.
func (l *loop) busy() { l.tidyAt = l.o.Now().Add(tidyAfter) }
