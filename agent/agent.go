// Package agent is the loop: it joins the profile, the watched folders, the
// picture reader, the rules, the journal and the tray.
//
// One goroutine owns all state. Everything else sends to it and gets copies
// back, so there is no mutex here. Files, time and processes live in this
// package and below it; decisions live in package rules. What may take long, or hang
// on a dead drive, runs beside the loop. Nothing large is made at the start: idle, the
// agent is held to 12 MB and two wake-ups a minute (package watch has what they are).
//
// What the loop knows is in three groups. None calls another: what one needs of
// another the loop passes in, and what it has to tell it gives back, as tidings.
// Values go one way, from the desk by way of the exports to what is said. A function is
// called in its own file or from a file above it, and a test sees to that:
//
//	agent.go                                   [Run], and what it joins
//	loop.go                                    what comes in, and what is due
//	turns.go                                   what is done then
//	lookout.go openpage.go openprofile.go      watches; what is opened
//	tell.go                                    what is told, and shown in the menu
//
//	of the desk         exports on their way   what is said
//	desk.go             exports.go             voice.go
//	clicks.go           journaling.go          notices.go
//	lightfolder.go      queue.go               prints.go
//	facts.go            folders.go             summary.go
//	inforce.go          state.go
//	profile.go photographs.go
//	papers.go sensing.go outcomes.go
//
//	tidings.go                                 what a group has to tell
//	troubles.go waits.go errand.go             what can be wrong, how long that may be; work beside the loop
//
// Beside them stand the desk page, and what differs between systems.
package agent

import (
	"context"
	"errors"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/rules"
)

// Reader reads a picture file, a paper's colour profile or a photograph of a sheet
// into what the rules need. picture.Worker does it in a process of its own.
type Reader interface {
	Examine(ctx context.Context, path string) (picture.Examined, error)
	PaperReader
	PhotoReader
}

// Desktop is what the loop needs of the tray.
type Desktop interface {
	Show(tray.State)
	Notify(rules.Notice)
	Commands() <-chan tray.Command
}

// Options join the parts of an agent. ProfilePath, StateDir and Reader must be given.
type Options struct {
	ProfilePath string // the profile; it need not exist
	StateDir    string // journal, lock, and when each folder was first watched
	Reader      Reader
	Desktop     Desktop                 // nil: no tray
	Sensor      LightSensor             // read where the profile asks for it; nil: there is none
	Say         func(string)            // takes plain sentences for the terminal; may be nil
	Observe     func(journal.Entry)     // sees every journal entry as it is made; may be nil
	Open        func(path string) error // opens a file for the user; nil: the desktop's own way
	OpenPage    func(path string) error // opens a page for the user; nil: the desktop's own way
	Settle      time.Duration           // see watch.Options; 0: its default

	// Explain makes the page at FirstPage(StateDir), which explains a first profile,
	// when one has just been written; nil: there is no such page. It is called from
	// a goroutine of its own, and ends with its context.
	Explain func(context.Context) error

	// Page writes the desk page and opens it, in a process of its own; nil: it can't.
	Page func(context.Context) error

	// Watch and Now are there to be replaced in tests.
	Watch func(context.Context, []watch.Folder, watch.Options, chan<- watch.Event)
	Now   func() time.Time
}

func (o Options) withDefaults() Options {
	if o.Desktop == nil {
		o.Desktop = noDesktop{}
	}
	if o.Say == nil {
		o.Say = func(string) {}
	}
	if o.Observe == nil {
		o.Observe = func(journal.Entry) {}
	}
	if o.Open == nil {
		o.Open = openFile
	}
	if o.OpenPage == nil {
		o.OpenPage = OpenPage
	}
	if o.Page == nil {
		o.Page = func(context.Context) error { return errors.New("this program has none") }
	}
	if o.Watch == nil {
		o.Watch = watch.Watch
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	return o
}

// noDesktop is a desktop on which nothing is ever shown.
type noDesktop struct{}

func (noDesktop) Show(tray.State)               {}
func (noDesktop) Notify(rules.Notice)           {}
func (noDesktop) Commands() <-chan tray.Command { return nil }

// Run watches, judges, journals and warns until ctx ends or the user quits;
// that gives nil. An error means that it could not start.
func Run(ctx context.Context, o Options) error {
	o = o.withDefaults()
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	state, err := openState(o.StateDir)
	if err != nil {
		return err
	}
	defer state.close()
	state.tellRunning(o.ProfilePath, o.Now())
	l := newLoop(ctx, o, state)
	l.start()
	l.run()
	cancel()
	l.leave()
	return nil
}

// mostLeave is how long the end waits for what the loop has set going.
const mostLeave = 5 * time.Second

// leave waits for the helpers of the loop, but not for one that hangs: a file on a
// dead network drive can hold it for good, and nothing of it is wanted any more.
func (l *loop) leave() {
	left := make(chan struct{})
	go func() {
		l.hands.Wait()
		close(left)
	}()
	select {
	case <-left:
	case <-time.After(mostLeave):
	}
}
