//go:build linux || freebsd || openbsd || netbsd

package tray

import (
	"context"
	"fmt"
	"strings"
	"sync/atomic"
	"time"

	"github.com/godbus/dbus/v5"
)

// The names on the bus that matter here.
const (
	watcherName = "org.kde.StatusNotifierWatcher"
	serverName  = "org.freedesktop.Notifications"
	serverPath  = "/org/freedesktop/Notifications"
)

// callTime is how long anyone on the bus may take to answer.
const callTime = 2 * time.Second

// bus is a connection of our own to the session bus. The native tray uses the
// process's shared connection, and ceases to follow the panel when a signal it
// doesn't expect arrives there: all our signals come in here.
type bus struct {
	conn    *dbus.Conn
	signals chan *dbus.Signal
	shared  *dbus.Conn // the native tray's; for calls only
}

// openBus connects to the session bus if there is one; it never starts one.
// The connection ends with ctx.
func openBus(ctx context.Context) (*bus, error) {
	own, cancel := context.WithCancel(ctx)
	hung := time.AfterFunc(callTime, cancel)
	conn, err := connect(own)
	if err != nil {
		cancel()
		return nil, err
	}
	hung.Stop()
	b := &bus{conn: conn, signals: make(chan *dbus.Signal, 256)}
	conn.Signal(b.signals)
	if err := b.subscribe(); err != nil {
		cancel()
		return nil, err
	}
	// The connection that the native tray will take, made here because here
	// its failure can be dealt with.
	if b.shared, err = dbus.SessionBus(); err != nil {
		cancel()
		return nil, err
	}
	return b, nil
}

func connect(ctx context.Context) (*dbus.Conn, error) {
	conn, err := dbus.SessionBusPrivateNoAutoStartup(dbus.WithContext(ctx))
	if err != nil {
		return nil, fmt.Errorf("no session bus: %w", err)
	}
	if err := conn.Auth(nil); err != nil {
		conn.Close()
		return nil, fmt.Errorf("the session bus refuses us: %w", err)
	}
	if err := conn.Hello(); err != nil {
		conn.Close()
		return nil, fmt.Errorf("the session bus does not answer: %w", err)
	}
	return conn, nil
}

func (b *bus) subscribe() error {
	owner := []dbus.MatchOption{
		dbus.WithMatchSender("org.freedesktop.DBus"),
		dbus.WithMatchInterface("org.freedesktop.DBus"),
		dbus.WithMatchMember("NameOwnerChanged"),
	}
	for _, name := range []string{watcherName, serverName} {
		if err := b.conn.AddMatchSignal(append(owner[:3:3], dbus.WithMatchArg(0, name))...); err != nil {
			return err
		}
	}
	return b.conn.AddMatchSignal(
		dbus.WithMatchSender(serverName),
		dbus.WithMatchObjectPath(serverPath),
		dbus.WithMatchInterface(serverName),
	)
}

// listen follows the panel and the notification server until the bus ends. It
// says once when the desktop has no tray, and keeps in onPanel whether it has.
//
// A panel that has just come may have missed the icon, and may show blank
// submenus: many get a complete menu as parents and children in one answer, and
// forget the children. So listen asks for new submenus, after each of the times
// in o.settle: soon, and again for a panel that was slow to read the menu.
func (b *bus) listen(o Options, refills chan<- struct{}, server *server, onPanel *atomic.Bool) {
	var impatient, due <-chan time.Time
	var checks []time.Duration // still to come
	panelCame := func() {
		onPanel.Store(true)
		impatient = nil
		checks = o.settle
		due = time.After(checks[0])
	}
	if b.hasOwner(watcherName) {
		panelCame()
	} else {
		impatient = time.After(o.Patience)
	}
	for {
		select {
		case sig, ok := <-b.signals:
			if !ok {
				return
			}
			switch name, present := ownerChange(sig); {
			case name == watcherName && present:
				panelCame()
			case name == watcherName:
				onPanel.Store(false)
			case name == serverName:
				server.forget()
			default:
				server.hear(sig)
			}
		case <-impatient:
			impatient = nil
			o.Log("no tray on this desktop: watching goes on, and the icon appears when a panel with a tray does")
		case <-due:
			b.ensureRegistered()
			ask(refills)
			if checks, due = checks[1:], nil; len(checks) > 0 {
				due = time.After(checks[0])
			}
		}
	}
}

// ask puts a request where one waits at most.
func ask(requests chan<- struct{}) {
	select {
	case requests <- struct{}{}:
	default:
	}
}

// ensureRegistered makes up for a gap in the tray library: a panel that starts
// between its first try to register and its subscription, a millisecond later,
// never hears of the icon. Panels take a second registration as the first.
func (b *bus) ensureRegistered() {
	ctx, cancel := context.WithTimeout(b.conn.Context(), callTime)
	defer cancel()
	var items []string
	err := b.conn.Object(watcherName, "/StatusNotifierWatcher").CallWithContext(ctx,
		"org.freedesktop.DBus.Properties.Get", 0, watcherName, "RegisteredStatusNotifierItems").Store(&items)
	if err != nil {
		return // a panel that doesn't tell
	}
	for _, item := range items { // ":1.5/path" or a name that we own
		for _, name := range b.shared.Names() {
			if strings.HasPrefix(item+"/", name+"/") {
				return
			}
		}
	}
	b.shared.Object(watcherName, "/StatusNotifierWatcher").CallWithContext(ctx,
		watcherName+".RegisterStatusNotifierItem", 0, "/StatusNotifierItem")
}

// ownerChange reads a NameOwnerChanged signal: whose name, and whether it has
// an owner now. The name is empty for every other signal.
func ownerChange(sig *dbus.Signal) (name string, present bool) {
	if sig.Name != "org.freedesktop.DBus.NameOwnerChanged" || len(sig.Body) != 3 {
		return "", false
	}
	name, _ = sig.Body[0].(string)
	owner, _ := sig.Body[2].(string)
	return name, owner != ""
}

func (b *bus) hasOwner(name string) bool {
	ctx, cancel := context.WithTimeout(b.conn.Context(), callTime)
	defer cancel()
	var has bool
	err := b.conn.BusObject().CallWithContext(ctx, "org.freedesktop.DBus.NameHasOwner", 0, name).Store(&has)
	return err == nil && has
}
