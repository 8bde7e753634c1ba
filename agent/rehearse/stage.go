package rehearse

import (
	"context"
	"time"

	"lampblack/agent"
	"lampblack/agent/tray"
	"lampblack/rules"
)

// stage is the desktop of the rehearsal: it prints the notices, lets the play
// wait for what is shown, and passes everything on to the real desktop.
type stage struct {
	print   func(string)
	states  chan tray.State
	notices chan rules.Notice
	behind  agent.Desktop
}

func newStage(print func(string), behind agent.Desktop) *stage {
	return &stage{
		print:   print,
		states:  make(chan tray.State, 64),
		notices: make(chan rules.Notice, 64),
		behind:  behind,
	}
}

// Show keeps the newest states for whoever waits for one.
func (s *stage) Show(state tray.State) {
	select {
	case s.states <- state:
	default: // nobody waits; the next state comes soon enough
		select {
		case <-s.states:
		default:
		}
		s.states <- state
	}
	if s.behind != nil {
		s.behind.Show(state)
	}
}

// Notify keeps a notice for whoever waits for it.
func (s *stage) Notify(n rules.Notice) {
	s.notices <- n
	if s.behind != nil {
		s.behind.Notify(n)
	}
}

// Commands come from the real desktop, if there is one.
func (s *stage) Commands() <-chan tray.Command {
	if s.behind == nil {
		return nil
	}
	return s.behind.Commands()
}

// awaitNotice prints the next notice.
func (s *stage) awaitNotice(ctx context.Context, patience time.Duration) {
	select {
	case n := <-s.notices:
		s.print("  notice: " + n.Title)
		s.print("          " + n.Body)
	case <-time.After(patience):
		s.print("  the notice did not come")
	case <-ctx.Done():
	}
}
