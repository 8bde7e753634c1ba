// Package tray is Lampblack's face: an icon in the desktop's tray, the menu
// under it, and the quiet notice. It holds no opinion and no state of the desk:
// it shows the last [State] it was given and passes on what was clicked, as a
// [Command]. There is a file for each system; where none fits, nothing is shown.
package tray

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"lampblack/rules"
)

// State is everything the tray shows.
type State struct {
	Summary  rules.Summary
	Troubles []string // plain sentences; none when all is well
	Surround string   // name of the current surround, for the check mark
	White    float64  // white of the editing display, cd/m²; 0 when it is not known
	Lux      float64  // room light last logged, lx; 0 when there is no reading
	Resting  bool
	Logged   string  // what was just logged by a click and can be taken back; empty: nothing
	Prints   []Print // the last exports for print, the newest first, to be told of
}

// Print is an export whose print can be told of.
type Print struct {
	ID     string // comes back with the command
	Text   string // its name, and what is known of it
	Chosen bool   // an outcome that is clicked is this one's
}

// Kind says what a command asks for.
type Kind string

// The kinds of commands.
const (
	LogLight       Kind = "log room light"  // Lux holds the choice
	SetSurround    Kind = "set surround"    // Surround holds the choice
	SetWhite       Kind = "set white"       // White holds the choice, of the editing display
	ChoosePrint    Kind = "choose print"    // Print holds the choice
	TellOutcome    Kind = "tell outcome"    // of the print that is chosen; Print and Outcome hold the choice
	MarkCalibrated Kind = "mark calibrated" // the editing display, today
	TakeBack       Kind = "take back"       // what State.Logged says
	OpenProfile    Kind = "open profile"
	OpenPage       Kind = "open page" // the desk page, written anew
	Rest           Kind = "rest"      // a toggle: rest for an hour, or wake up now
	Quit           Kind = "quit"
	NoticeClicked  Kind = "notice clicked"
)

// Command is one click of the user.
type Command struct {
	Kind     Kind
	Lux      float64 // lx, > 0; only with LogLight
	Surround string  // only with SetSurround
	White    float64 // cd/m², > 0; only with SetWhite

	Print   string        // ID of a print; only with ChoosePrint and TellOutcome
	Outcome rules.Outcome // only with TellOutcome

	place int // of the print in the menu, until it is looked up
}

// Options say what the tray offers. The zero value of each field has a default.
type Options struct {
	ID              string    // identifies the icon to the desktop, "lampblack"
	LuxChoices      []float64 // room light on offer, lx
	SurroundChoices []string
	WhiteChoices    []float64    // white of the editing display on offer, cd/m²
	Log             func(string) // takes plain sentences about the tray itself; may be nil

	// Probe is the time between two looks for a session bus, while there is
	// none (30 s). Patience is how long a desktop may be without a tray before
	// that is said (10 s): at login the panel often starts after us.
	Probe    time.Duration
	Patience time.Duration

	settle []time.Duration // see bus.listen; for tests
}

func (o Options) withDefaults() Options {
	if o.ID == "" {
		o.ID = "lampblack"
	}
	if o.LuxChoices == nil {
		for _, step := range rules.RoomSteps() {
			o.LuxChoices = append(o.LuxChoices, float64(step.Light))
		}
	}
	if o.SurroundChoices == nil {
		o.SurroundChoices = rules.SurroundNames()
	}
	if o.WhiteChoices == nil {
		o.WhiteChoices = []float64{80, 90, 100, 110, 120, 140, 160, 200, 250, 300}
	}
	if o.Log == nil {
		o.Log = func(string) {}
	}
	if o.Probe <= 0 {
		o.Probe = 30 * time.Second
	}
	if o.Patience <= 0 {
		o.Patience = 10 * time.Second
	}
	if o.settle == nil {
		o.settle = []time.Duration{time.Second, 10 * time.Second}
	}
	return o
}

// ErrBusLost is returned by Run when the session bus ends under a shown tray,
// which is what happens at the end of most sessions. A process can't show its
// tray twice: the agent ends quietly, or starts itself anew.
var ErrBusLost = errors.New("the session bus is gone, and the tray with it")

// ErrNotShown is returned by Run on Windows when the taskbar did not take the
// icon within ten seconds, as can happen at login. The agent starts itself anew.
var ErrNotShown = errors.New("the taskbar did not take the icon")

// Tray is the icon, its menu and the notice. There is one in a process.
//
// What it promises, by system:
//
//   - Linux and the BSDs: StatusNotifierItem and dbusmenu on the session bus;
//     notices by org.freedesktop.Notifications, low urgency, without sound, one
//     at a time. No bus, no tray host, no notification server: each is waited
//     for. A restarted panel gets the icon and the full menu again. Run against
//     XFCE's panel and dunst; not run against GNOME or KDE.
//   - Windows: notification area icon, and balloon notices without sound that
//     honour quiet time. A click on a notice is not reported. Run under Wine,
//     not on Windows.
//   - macOS, built with cgo: status item; notices by osascript, shown under
//     Script Editor's name, whose clicks are not reported. Not run.
//   - macOS without cgo, and everything else: nothing is shown; Run says so.
type Tray struct {
	o        Options
	states   mailbox[State]
	notices  mailbox[rules.Notice]
	commands chan Command
	shown    atomic.Bool
}

// New makes a tray that isn't shown yet.
func New(o Options) *Tray {
	return &Tray{
		o:        o.withDefaults(),
		states:   newMailbox[State](),
		notices:  newMailbox[rules.Notice](),
		commands: make(chan Command, 64),
	}
}

// Run shows the tray and blocks until ctx ends, which gives nil; ErrBusLost and
// ErrNotShown are the other ends. It must be called on the main goroutine, once
// in the life of the process: some systems tie their menus to the main thread.
func (t *Tray) Run(ctx context.Context) error { return t.run(ctx) }

// Shown tells whether the icon is on a panel right now.
func (t *Tray) Shown() bool { return t.shown.Load() }

// Show replaces what the tray shows. It never blocks; of several states in the
// same second only the last is shown. The tray keeps s: don't change its slices.
func (t *Tray) Show(s State) { t.states.put(s) }

// Notify shows the notice, in place of the one before. It never blocks; a
// notice that can't be shown is dropped, because the icon carries the state.
func (t *Tray) Notify(n rules.Notice) { t.notices.put(n) }

// Commands gives what was clicked. Clicks are dropped when 64 wait already.
func (t *Tray) Commands() <-chan Command { return t.commands }

func (t *Tray) send(c Command) {
	select {
	case t.commands <- c:
	default:
	}
}

// deliver hands notices to show until ctx ends. What show can't do is lost on
// purpose: a second try would nag.
func (t *Tray) deliver(ctx context.Context, show func(context.Context, rules.Notice) error) {
	for {
		select {
		case <-ctx.Done():
			return
		case n := <-t.notices:
			_ = show(ctx, n)
		}
	}
}
