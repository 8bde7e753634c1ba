//go:build linux || freebsd || openbsd || netbsd

package tray

import (
	"context"
	"slices"
	"sync"
	"time"

	"github.com/godbus/dbus/v5"

	"lampblack/config/legible"
	"lampblack/rules"
)

// noticeStays is how long a notice is on the screen: time to read three lines.
const noticeStays = 10 * time.Second

// server is the desktop's notification server as we know it: what it can do,
// and which of its notices is ours. Servers come and go; forget starts afresh.
type server struct {
	conn    *dbus.Conn
	id      string
	clicked func()

	mu     sync.Mutex // show and the signals come from two goroutines
	asked  bool
	can    []string
	notice uint32 // our notice on the screen; 0: none
	closed uint32 // the notice last heard to be closed since show began
	owners int    // how often the server has come or gone
}

func newServer(conn *dbus.Conn, id string, clicked func()) *server {
	return &server{conn: conn, id: id, clicked: clicked}
}

// show puts n on the screen in place of the notice before. It takes at most
// twice callTime, however the server behaves.
func (s *server) show(ctx context.Context, n rules.Notice) error {
	can, err := s.capabilities(ctx)
	if err != nil {
		return err
	}
	body := cut(legible.PlainLines(n.Body), maxBody)
	if slices.Contains(can, "body-markup") {
		body = escapeMarkup(body)
	}
	var actions []string
	if slices.Contains(can, "actions") {
		actions = []string{"default", "Open profile"}
	}
	hints := map[string]dbus.Variant{
		"urgency":        dbus.MakeVariant(byte(0)),
		"suppress-sound": dbus.MakeVariant(true),
		"desktop-entry":  dbus.MakeVariant(s.id),
	}
	s.mu.Lock()
	replaces, owners := s.notice, s.owners
	s.closed = 0
	s.mu.Unlock()

	var id uint32
	err = s.call(ctx, "Notify", "Lampblack", replaces, "", cut(legible.Plain(n.Title), maxLine), body,
		actions, hints, int32(noticeStays.Milliseconds())).Store(&id)
	if err != nil {
		return err
	}
	s.mu.Lock()
	if s.notice = id; s.closed == id || s.owners != owners {
		s.notice = 0 // its end was heard before its number, or the number may be another server's
	}
	s.mu.Unlock()
	return nil
}

// capabilities asks each server once.
func (s *server) capabilities(ctx context.Context) ([]string, error) {
	s.mu.Lock()
	asked, can := s.asked, s.can
	s.mu.Unlock()
	if asked {
		return can, nil
	}
	if err := s.call(ctx, "GetCapabilities").Store(&can); err != nil {
		return nil, err
	}
	s.mu.Lock()
	s.asked, s.can = true, can
	s.mu.Unlock()
	return can, nil
}

// call starts the server when the desktop starts it on demand, as many do.
func (s *server) call(ctx context.Context, method string, args ...any) *dbus.Call {
	ctx, cancel := context.WithTimeout(ctx, callTime)
	defer cancel()
	return s.conn.Object(serverName, serverPath).CallWithContext(ctx, serverName+"."+method, 0, args...)
}

// forget is called when the server has come or gone.
func (s *server) forget() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.asked, s.can, s.notice = false, nil, 0
	s.owners++
}

// hear takes a signal of the server. Any program may send a malformed one.
func (s *server) hear(sig *dbus.Signal) {
	if len(sig.Body) != 2 {
		return
	}
	id, ok := sig.Body[0].(uint32)
	s.mu.Lock()
	ours := ok && id != 0 && id == s.notice
	if ok && sig.Name == serverName+".NotificationClosed" {
		s.closed = id
		if ours {
			s.notice = 0
		}
	}
	s.mu.Unlock()
	if key, _ := sig.Body[1].(string); ours && sig.Name == serverName+".ActionInvoked" && key == "default" {
		s.clicked()
	}
}
