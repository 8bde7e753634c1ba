package agent

import (
	"context"
	"runtime/debug"
	"sync"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/config/log"
	"lampblack/rules"
)

// refresh is how often the ages in the menu are brought up to date. Nothing
// else wakes an idle loop.
const refresh = 5 * time.Minute

// loop is the state that one goroutine owns.
type loop struct {
	o     Options
	ctx   context.Context
	state *state
	hands sync.WaitGroup // the goroutines that send to the loop

	good      written // the last good profile
	log       *log.File
	papers    *papers
	profile   *rules.Profile // the good one with all that is known besides
	edited    chan watch.Event
	events    chan watch.Event
	stopWatch context.CancelFunc
	watched   []rules.Folder
	lights    *lightFolder
	sensing   *sensing

	taken   map[journal.Identity]stage // the exports that are queued, read, or not yet kept
	queue   []export
	torn    []torn // those that ended in the middle, the first to be read again first
	reading bool   // a picture is with the reader
	jobs    chan export
	read    chan reading
	unkept  []journal.Entry // what the journal lacks
	retryAt time.Time       // when that is tried again; zero when it lacks nothing
	letGone bool            // an entry was let go: its export must be caught up

	paging bool       // the desk page is being written
	paged  chan error // how that ended

	history  rules.History
	gathered gathering
	learnt   rules.Learnt
	prints   []journal.Entry // the last ones that can be told of, the newest first
	chosen   string          // that of them which the menu's outcomes are about
	told     map[journal.Identity]journal.Outcome
	last     *rules.Report
	lastLine string // what the menu says of the last export instead, when it could not be read
	troubles troubles
	said     []string // the last sentences said on the terminal: each once
	clicked  clicked
	quit     bool
	caughtUp time.Time // when the watch that runs began: it finds all that was changed before
	tidyAt   time.Time // when the memory that work has taken is given back; zero: it has been
}

func newLoop(ctx context.Context, o Options, s *state) *loop {
	return &loop{
		o: o, ctx: ctx, state: s,
		log: log.NewFile(LogPath(o.ProfilePath)), papers: newPapers(),
		lights: newLightFolder(o.StateDir), sensing: newSensing(),
		edited: make(chan watch.Event),
		events: make(chan watch.Event),
		taken:  map[journal.Identity]stage{},
		jobs:   make(chan export),
		read:   make(chan reading),
		paged:  make(chan error),
	}
}

// start loads the profile and sets the helpers of the loop going.
func (l *loop) start() {
	l.recall()
	l.writeJournal() // there is nothing to write, but maybe something to say of it
	l.hands.Go(l.readPictures)
	l.hands.Go(l.readLight)
	l.hands.Go(l.readSensor)
	l.hands.Go(l.watchProfile)
	l.loadProfile()
	l.sense(l.o.Now(), senseEvery)
	l.show()
	l.busy()
}

// recall takes from the journal what the menu tells of the time before.
func (l *loop) recall() {
	l.recallLast()
	l.recallPrints()
}

// recallLast lets the menu tell of the last export before this start.
func (l *loop) recallLast() {
	for _, e := range l.state.last(1) {
		if ours(e) {
			l.setLast(e)
		}
	}
}

// run is the loop. It ends with ctx or when the user quits.
func (l *loop) run() {
	for !l.quit {
		alarm := time.NewTimer(l.untilAlarm(l.o.Now()))
		select {
		case <-l.ctx.Done():
			l.quit = true
		case e := <-l.events:
			l.busy()
			l.onEvent(e)
		case e := <-l.edited:
			l.onEdited(e)
		case r := <-l.papers.read:
			l.onPaper(r)
		case r := <-l.read:
			l.busy()
			l.onRead(r)
		case err := <-l.paged:
			l.onPaged(err)
		case e := <-l.lights.events:
			l.onLight(e)
		case p := <-l.lights.read:
			l.onLightPhoto(p)
		case s := <-l.sensing.read:
			l.onSensed(s)
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

// tidyAfter is how long nothing must have happened before memory is given back to
// the system: an editor that exports one picture exports another.
const tidyAfter = 20 * time.Second

// tidy gives back, once, what start-up or work has taken.
func (l *loop) tidy(now time.Time) {
	if l.tidyAt.IsZero() || now.Before(l.tidyAt) && l.tidyAt.Sub(now) <= tidyAfter {
		return
	}
	l.tidyAt = time.Time{}
	if l.idle() && len(l.unkept) == 0 {
		l.state.hasLooked(l.caughtUp)
	}
	debug.FreeOSMemory()
	letGoOfProgram()
}

// busy notes that there is work, which takes memory.
func (l *loop) busy() { l.tidyAt = l.o.Now().Add(tidyAfter) }

// tend does whatever is due.
func (l *loop) tend(now time.Time) {
	l.forget(now)
	l.planAnew(now)
	l.retryJournal(now)
	l.sense(now, senseEvery)
	l.retryPapers(now)
	l.feed(now)
	l.feedLight()
	l.speak(now)
	l.show()
	l.tidy(now)
}

// planAnew brings back what lies further in the future than it was ever planned,
// because the clock was set back since.
func (l *loop) planAnew(now time.Time) {
	if l.retryAt.After(now.Add(keepRetry)) {
		l.retryAt = now
	}
	for _, t := range []*time.Time{&l.gathered.since, &l.gathered.arrived} {
		if t.After(now) {
			*t = now
		}
	}
	for i, t := range l.torn {
		if t.again.After(now.Add(unfinishedWait)) {
			l.torn[i].again = now
		}
	}
	for path, since := range l.papers.asked {
		if since.After(now) {
			l.papers.asked[path] = now
		}
	}
	l.troubles.notAfter(now)
}

// untilAlarm is the time until something is due without any event, at least 0
// and at most refresh. What is overdue gives 0, and tend sees to it that
// nothing stays overdue.
func (l *loop) untilAlarm(now time.Time) time.Duration {
	wait := refresh
	feed, _ := l.feedDue()
	for _, t := range []time.Time{l.gathered.due(l.idle()), l.history.RestUntil, l.retryAt, l.tidyAt, l.troubles.nextShown(now), feed} {
		if !t.IsZero() {
			wait = min(wait, max(0, t.Sub(now)))
		}
	}
	return wait
}

// idle tells whether no export waits or is being read.
func (l *loop) idle() bool { return len(l.queue)+len(l.torn) == 0 && !l.reading }

// show gives the tray what it shows. The tray itself drops what hasn't changed.
func (l *loop) show() {
	now := l.o.Now()
	c := rules.Resolve(l.profile, now)
	s := summarise(&c, l.profile.Quiet, l.last, l.lastLine)
	s.Wedge.Rest = l.resting()
	light := 0.0
	if room := c.Get(rules.RoomLight); !room.Assumed {
		light = float64(room.Value)
	}
	l.o.Desktop.Show(tray.State{
		Summary:  s,
		Troubles: l.troubles.shown(now),
		Surround: l.profile.Surround.Name,
		Lux:      light,
		White:    float64(l.profile.EditingDisplay().White.Value),
		Resting:  l.resting(),
		Logged:   l.justLogged(now),
		Prints:   l.tellable(),
	})
}

// onEvent takes what the watch found.
func (l *loop) onEvent(e watch.Event) {
	switch {
	case e.File != nil:
		l.enqueue(*e.File)
	case e.Trouble != nil:
		l.onFolderTrouble(*e.Trouble)
	}
}

// onCommand does what was clicked in the menu.
func (l *loop) onCommand(c tray.Command) {
	now := l.o.Now()
	switch c.Kind {
	case tray.LogLight:
		l.logClickedLight(now, rules.Lux(c.Lux))
	case tray.SetSurround:
		l.logSurround(now, c.Surround)
	case tray.SetWhite:
		l.logWhite(now, rules.Luminance(c.White))
	case tray.ChoosePrint:
		l.chosen = c.Print
	case tray.TellOutcome:
		l.tellOutcome(c.Print, c.Outcome)
	case tray.MarkCalibrated:
		l.logCalibrated(now)
	case tray.TakeBack:
		l.takeBack(now)
	case tray.OpenPage:
		l.openPage()
	case tray.OpenProfile, tray.NoticeClicked:
		l.openProfile()
	case tray.Rest:
		l.toggleRest(now)
	case tray.Quit:
		l.quit = true
	}
}
