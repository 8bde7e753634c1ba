//go:build desktop

package desktoptest

import (
	"errors"
	"sync"
	"sync/atomic"
	"time"

	"github.com/godbus/dbus/v5"
)

// The names of the panel's and the notification server's services.
const (
	WatcherName = "org.kde.StatusNotifierWatcher"
	ServerName  = "org.freedesktop.Notifications"
	watcherPath = "/StatusNotifierWatcher"
	serverPath  = "/org/freedesktop/Notifications"
)

// Watcher stands in for a panel with a tray.
type Watcher struct {
	Registered chan string // the bus names of the items that came
	conn       *dbus.Conn
	mu         sync.Mutex
	items      []string
	deaf       bool // to the first registration
}

// StartWatcher puts a panel on the bus.
func (s *Session) StartWatcher() *Watcher {
	s.t.Helper()
	return s.startWatcher(&Watcher{})
}

// StartDeafWatcher puts a panel on the bus that misses the first registration.
func (s *Session) StartDeafWatcher() *Watcher {
	s.t.Helper()
	return s.startWatcher(&Watcher{deaf: true})
}

func (s *Session) startWatcher(w *Watcher) *Watcher {
	s.t.Helper()
	w.Registered, w.conn = make(chan string, 16), s.Connect()
	if err := w.conn.Export(propertyMethods{w}, watcherPath, "org.freedesktop.DBus.Properties"); err != nil {
		s.t.Fatal(err)
	}
	s.export(w.conn, watcherMethods{w}, watcherPath, WatcherName)
	return w
}

// Close takes the panel off the bus, as a crash does.
func (w *Watcher) Close() { w.conn.Close() }

type watcherMethods struct{ w *Watcher }

func (m watcherMethods) RegisterStatusNotifierItem(from dbus.Sender, path string) *dbus.Error {
	m.w.mu.Lock()
	if m.w.deaf {
		m.w.deaf = false
	} else {
		m.w.items = append(m.w.items, string(from)+path)
	}
	m.w.mu.Unlock()
	m.w.Registered <- string(from)
	return nil
}

type propertyMethods struct{ w *Watcher }

func (m propertyMethods) Get(_, name string) (dbus.Variant, *dbus.Error) {
	m.w.mu.Lock()
	defer m.w.mu.Unlock()
	if name != "RegisteredStatusNotifierItems" {
		return dbus.Variant{}, dbus.MakeFailedError(errors.New("no property " + name))
	}
	return dbus.MakeVariant(append([]string{}, m.w.items...)), nil
}

// Shown is one call to show a notice.
type Shown struct {
	App, Icon, Summary, Body string
	Replaces, ID             uint32
	Actions                  []string
	Hints                    map[string]dbus.Variant
	Expire                   int32
}

// Server stands in for a notification server.
type Server struct {
	Shown chan Shown
	delay atomic.Int64
	last  atomic.Uint32
	can   []string
	conn  *dbus.Conn
}

// StartServer puts a notification server on the bus. It can do what can says,
// and a server started after another counts its notices from first.
func (s *Session) StartServer(first uint32, can ...string) *Server {
	s.t.Helper()
	n := &Server{Shown: make(chan Shown, 64), can: can, conn: s.Connect()}
	n.last.Store(first - 1)
	s.export(n.conn, serverMethods{n}, serverPath, ServerName)
	return n
}

// Slow makes the server think for d before each answer.
func (n *Server) Slow(d time.Duration) { n.delay.Store(int64(d)) }

// Close takes the server off the bus.
func (n *Server) Close() { n.conn.Close() }

// Emit sends a signal of the server to everyone.
func (n *Server) Emit(member string, args ...any) error {
	return n.conn.Emit(serverPath, ServerName+"."+member, args...)
}

type serverMethods struct{ n *Server }

func (m serverMethods) GetCapabilities() ([]string, *dbus.Error) {
	time.Sleep(time.Duration(m.n.delay.Load()))
	return m.n.can, nil
}

func (m serverMethods) Notify(app string, replaces uint32, icon, summary, body string,
	actions []string, hints map[string]dbus.Variant, expire int32) (uint32, *dbus.Error) {
	time.Sleep(time.Duration(m.n.delay.Load()))
	id := replaces
	if id == 0 {
		id = m.n.last.Add(1)
	}
	m.n.Shown <- Shown{app, icon, summary, body, replaces, id, actions, hints, expire}
	return id, nil
}

func (s *Session) export(conn *dbus.Conn, methods any, path dbus.ObjectPath, name string) {
	s.t.Helper()
	if err := conn.Export(methods, path, name); err != nil {
		s.t.Fatal(err)
	}
	reply, err := conn.RequestName(name, dbus.NameFlagDoNotQueue)
	if err != nil || reply != dbus.RequestNameReplyPrimaryOwner {
		s.t.Fatalf("%s is taken: %v, %v", name, reply, err)
	}
}
