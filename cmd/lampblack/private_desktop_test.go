//go:build desktop

package main

import (
	"bufio"
	"fmt"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lampblack/agent/tray/desktoptest"
)

// playPrivate looks at the running agent from outside: it listens to nobody, and
// what it keeps is its user's alone.
func playPrivate(t *testing.T, program string) {
	s, server := onBus(t, program)
	s.save(s.profile("180.0", "mid grey", "40.0"))
	a := s.show()
	a.Click("Log room light", "150 lx")
	a.awaitLine("The room is too bright:", "150 lx")
	s.export("portrait.jpg", "portrait.jpg")
	s.awaitEntries(1)
	desktoptest.Receive(t, "the notice", server.Shown)

	wantSeen(t)
	pid := a.Cmd.Process.Pid
	if open := internetSockets(t, pid); len(open) > 0 {
		t.Errorf("the agent has internet sockets: %q", open)
	}
	if open := listeners(t, pid); len(open) > 0 {
		t.Errorf("the agent listens: %q", open)
	}
	wantPrivate(t, s.stateDir(), "lock", "folders.json", "journal")
	wantPrivate(t, filepath.Dir(s.logPath()), "readings.toml")
}

// wantSeen checks that this test sees what it looks for, in its own process.
func wantSeen(t *testing.T) {
	t.Helper()
	for network, seen := range map[string]func(*testing.T, int) []string{"tcp": internetSockets, "unix": listeners} {
		address := map[string]string{"tcp": "127.0.0.1:0", "unix": filepath.Join(t.TempDir(), "socket")}[network]
		l, err := net.Listen(network, address)
		if err != nil {
			t.Fatal(err)
		}
		if len(seen(t, os.Getpid())) == 0 {
			t.Errorf("a %s socket that listens was not seen", network)
		}
		l.Close()
	}
}

// sockets are the inodes of a process's sockets.
func sockets(t *testing.T, pid int) map[string]bool {
	t.Helper()
	fds, err := filepath.Glob(fmt.Sprintf("/proc/%d/fd/*", pid))
	if err != nil {
		t.Fatal(err)
	}
	inodes := map[string]bool{}
	for _, fd := range fds {
		if to, err := os.Readlink(fd); err == nil && strings.HasPrefix(to, "socket:[") {
			inodes[strings.Trim(to, "socket:[]")] = true
		}
	}
	if len(inodes) == 0 {
		t.Fatal("the agent has no socket at all, not even to the bus: this looks at the wrong process")
	}
	return inodes
}

// internetSockets are the lines of /proc/net about a process's sockets that
// reach beyond the machine, listening or not.
func internetSockets(t *testing.T, pid int) []string {
	t.Helper()
	var open []string
	for _, table := range []string{"tcp", "tcp6", "udp", "udp6", "raw", "raw6"} {
		const inode = 9
		open = append(open, linesOf(t, pid, table, func(fields []string, own map[string]bool) bool {
			return len(fields) > inode && own[fields[inode]]
		})...)
	}
	return open
}

// listeners are the lines of /proc/net/unix about a process's sockets that take
// connections.
func listeners(t *testing.T, pid int) []string {
	t.Helper()
	const flags, inode, accepts = 3, 6, "00010000"
	return linesOf(t, pid, "unix", func(fields []string, own map[string]bool) bool {
		return len(fields) > inode && own[fields[inode]] && fields[flags] == accepts
	})
}

func linesOf(t *testing.T, pid int, table string, ours func(fields []string, own map[string]bool) bool) []string {
	t.Helper()
	path := fmt.Sprintf("/proc/%d/net/%s", pid, table)
	f, err := os.Open(path)
	if os.IsNotExist(err) {
		return nil // a kernel without it has none of these
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	own := sockets(t, pid)
	var lines []string
	for text := bufio.NewScanner(f); text.Scan(); {
		if ours(strings.Fields(text.Text()), own) {
			lines = append(lines, table+" "+text.Text())
		}
	}
	return lines
}

// wantPrivate walks a folder in which these must be.
func wantPrivate(t *testing.T, dir string, names ...string) {
	t.Helper()
	for _, name := range names {
		if _, err := os.Stat(filepath.Join(dir, name)); err != nil {
			t.Error(err)
		}
	}
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := e.Info()
		if err != nil {
			return err
		}
		want := fs.FileMode(0o600)
		if e.IsDir() {
			want = 0o700
		}
		if info.Mode().Perm() != want {
			t.Errorf("%s is %v, want %v", path, info.Mode().Perm(), want)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}
