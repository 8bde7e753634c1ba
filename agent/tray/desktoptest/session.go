//go:build desktop

package desktoptest

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/godbus/dbus/v5"
)

// Options choose the session. The zero value is a bus and nothing else.
type Options struct {
	NoBus  bool // StartBus will be called later, or never
	Screen bool // an X display with window manager, panel and notification server
	Dark   bool // the panel and its menus are dark
	Double bool // a screen of twice the pixels each way, with everything on it as large as ever
}

// Session is a desktop session, alone in its own folders. It ends with the test.
type Session struct {
	t       testing.TB
	o       Options
	dir     string
	display string // ":7", or empty
	bus     *Process
	panel   *Process
	env     []string
}

// Start begins a session and waits until all its parts answer.
func Start(t testing.TB, o Options) *Session {
	t.Helper()
	s := &Session{t: t, o: o, dir: shortDir(t)}
	for _, d := range []string{"run", "config", "cache", "data"} {
		if err := os.Mkdir(filepath.Join(s.dir, d), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	s.env = []string{
		"PATH=" + os.Getenv("PATH"),
		"LANG=C.UTF-8",
		"HOME=" + s.dir,
		"XDG_RUNTIME_DIR=" + s.Path("run"),
		"XDG_CONFIG_HOME=" + s.Path("config"),
		"XDG_CACHE_HOME=" + s.Path("cache"),
		"XDG_DATA_HOME=" + s.Path("data"),
		"DBUS_SESSION_BUS_ADDRESS=" + s.BusAddress(),
	}
	if o.Screen {
		s.startDisplay()
	}
	if !o.NoBus {
		s.StartBus()
	}
	if o.Screen {
		s.startDesktop()
	}
	return s
}

// shortDir is a temporary folder with a name short enough for a socket in it.
func shortDir(t testing.TB) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "desk")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return dir
}

// Path is a path in the session's home.
func (s *Session) Path(elem ...string) string {
	return filepath.Join(append([]string{s.dir}, elem...)...)
}

// Env is the whole environment of a program of the test desktop.
func (s *Session) Env() []string { return append([]string(nil), s.env...) }

// BusAddress is where the session bus listens, or will.
func (s *Session) BusAddress() string { return "unix:path=" + s.Path("run", "bus") }

// StartBus starts the session bus and waits until it takes connections.
func (s *Session) StartBus() {
	s.t.Helper()
	services := ""
	if s.o.Screen { // the panel's settings are started on demand
		services = "<standard_session_servicedirs/>"
	}
	config := s.Path("bus.conf")
	s.write(config, `<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN"
 "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig><type>session</type><listen>`+s.BusAddress()+`</listen>`+services+`
<policy context="default"><allow send_destination="*" eavesdrop="true"/><allow eavesdrop="true"/><allow own="*"/></policy>
</busconfig>`)
	s.bus = s.Run("dbus-daemon", "--nofork", "--nopidfile", "--config-file="+config)
	Wait(s.t, "the session bus", func() bool {
		conn, err := dbus.Connect(s.BusAddress())
		if err == nil {
			conn.Close()
		}
		return err == nil
	})
}

// StopBus kills the session bus, as the end of a session does.
func (s *Session) StopBus() {
	s.t.Helper()
	s.bus.Stop()
	os.Remove(s.Path("run", "bus"))
}

// Connect makes a connection to the bus that ends with the test.
func (s *Session) Connect() *dbus.Conn {
	s.t.Helper()
	conn, err := dbus.Connect(s.BusAddress())
	if err != nil {
		s.t.Fatalf("no connection to the session bus: %v", err)
	}
	s.t.Cleanup(func() { conn.Close() })
	return conn
}

// HasOwner tells whether a name on the bus is taken.
func (s *Session) HasOwner(name string) bool {
	conn, err := dbus.Connect(s.BusAddress())
	if err != nil {
		return false
	}
	defer conn.Close()
	var has bool
	err = conn.BusObject().Call("org.freedesktop.DBus.NameHasOwner", 0, name).Store(&has)
	return err == nil && has
}

func (s *Session) write(path, text string) {
	s.t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		s.t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		s.t.Fatal(err)
	}
}

// Process is a running program of the session.
type Process struct {
	Cmd   *exec.Cmd
	ended chan struct{}
	once  sync.Once
	log   bytes.Buffer // read it when the process has ended
}

// Run starts a program in the session. It ends with the test at the latest.
func (s *Session) Run(name string, args ...string) *Process {
	s.t.Helper()
	return s.RunCmd(exec.Command(name, args...))
}

// RunCmd is Run for a prepared command; it adds the session to its Env.
func (s *Session) RunCmd(cmd *exec.Cmd) *Process {
	s.t.Helper()
	p := &Process{Cmd: cmd, ended: make(chan struct{})}
	cmd.Env = append(s.Env(), cmd.Env...)
	if cmd.Stderr == nil {
		cmd.Stderr = &p.log
	}
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
	if err := cmd.Start(); err != nil {
		s.t.Fatalf("the desktop tests need %s: %v", cmd.Path, err)
	}
	go func() { cmd.Wait(); close(p.ended) }()
	s.t.Cleanup(func() {
		p.Stop()
		if s.t.Failed() && p.log.Len() > 0 {
			s.t.Logf("%s said:\n%s", filepath.Base(cmd.Path), p.log.String())
		}
	})
	return p
}

// Stop kills the process and its children and waits for its end.
func (p *Process) Stop() {
	p.once.Do(func() { syscall.Kill(-p.Cmd.Process.Pid, syscall.SIGKILL) })
	<-p.ended
}

// Ended is closed when the process has ended.
func (p *Process) Ended() <-chan struct{} { return p.ended }

// patience is how long a part of the desktop may take: loaded machines are slow.
const patience = time.Minute

// Wait fails the test when cond doesn't come true in time.
func Wait(t testing.TB, what string, cond func() bool) {
	t.Helper()
	for end := time.Now().Add(patience); !cond(); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("waited %v in vain: %s", patience, what)
		}
	}
}

// Receive gives the next value of a channel, or fails the test.
func Receive[T any](t testing.TB, what string, from <-chan T) T {
	t.Helper()
	select {
	case v, ok := <-from:
		if !ok {
			t.Fatalf("%s: there will be none", what)
		}
		return v
	case <-time.After(patience):
		t.Fatalf("waited %v in vain: %s", patience, what)
	}
	panic(fmt.Sprint("unreachable: ", what))
}
