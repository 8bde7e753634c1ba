//go:build linux || freebsd || openbsd || netbsd

package tray

import (
	"context"

	"fyne.io/systray"

	"lampblack/rules"
)

// run waits for a session bus, shows the tray on it and stays until the bus or
// ctx ends. Without a bus the native tray must not be started at all: it can be
// started only once, and panics when it is ended.
func (t *Tray) run(ctx context.Context) error {
	b := t.awaitBus(ctx)
	if b == nil {
		return nil
	}
	defer b.conn.Close()
	t.notices.empty() // written before there was anyone to show it to

	life := b.conn.Context() // ends with the bus, and with ctx
	server := newServer(b.conn, t.o.ID, func() { t.send(Command{Kind: NoticeClicked}) })
	refills := make(chan struct{}, 1)
	defer t.shown.Store(false)
	go b.listen(t.o, refills, server, &t.shown)
	go t.deliver(life, server.show)

	// Before the native run: the item's lasting identity is taken from this
	// title, and without one the panel forgets what it knows of our icon.
	systray.SetTitle(t.o.ID)
	systray.SetIcon(iconPNG(rules.Wedge{}, iconSize))
	t.runNative(life, refills, make(chan struct{}))
	if ctx.Err() == nil {
		return ErrBusLost
	}
	return nil
}

// awaitBus looks for a session bus every Probe. It gives nil when ctx ends.
func (t *Tray) awaitBus(ctx context.Context) *bus {
	for said := false; ctx.Err() == nil; pause(ctx, t.o.Probe) {
		b, err := openBus(ctx)
		if err == nil {
			return b
		}
		if !said {
			if ctx.Err() == nil { // a tray that is ended before it looked has nothing to say
				t.o.Log("there is no tray here yet: the folders are watched, and the icon appears when there is one")
			}
			said = true
		}
	}
	return nil
}

// iconSize is that of the one picture the tray item can hold, in pixels. It is
// three times the smallest and twice the commonest size of panel icons.
const iconSize = 48

func iconSetter(string) func(rules.Wedge) {
	return func(w rules.Wedge) { systray.SetIcon(iconPNG(w, iconSize)) }
}

func tooltip(s string) string { return s }
