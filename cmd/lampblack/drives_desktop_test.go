//go:build desktop && linux

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"golang.org/x/sys/unix"

	"lampblack/agent/tray/desktoptest"
)

// These tests mount and unmount, which takes root; .ci/run has it.

// mount mounts until the end of the test, or until it is unmounted.
func (s *studio) mount(source, target, kind string, flags uintptr, data string) {
	s.t.Helper()
	s.must(os.MkdirAll(target, 0o700))
	if err := unix.Mount(source, target, kind, flags, data); err != nil {
		s.t.Fatalf("mounting at %s: %v", target, err)
	}
	s.t.Cleanup(func() { _ = unix.Unmount(target, unix.MNT_DETACH) }) // mostly gone already
}

// unmount takes a drive away like somebody who pulls its plug.
func (s *studio) unmount(target string) {
	s.t.Helper()
	s.must(unix.Unmount(target, unix.MNT_DETACH))
}

// awaitSaid waits for words on the terminal.
func (r *running) awaitSaid(text string) {
	r.t.Helper()
	desktoptest.Wait(r.t, "the words "+text, func() bool { return strings.Contains(r.words.String(), text) })
}

// noBus is a studio without a desktop, on drives of its own.
func noBus(t *testing.T) *studio {
	s := tidemark(t, build(t), desktoptest.Options{NoBus: true})
	s.save(s.profile("96.0", "mid grey", "40.0"))
	return s
}

// wantNames waits until these exports are in the journal, each once, and no others. A
// line that found no room is none.
func (s *studio) wantNames(names ...string) {
	s.t.Helper()
	slices.Sort(names)
	desktoptest.Wait(s.t, fmt.Sprintf("%q in the journal", names), func() bool {
		all, _ := s.journaled()
		var got []string
		for _, e := range all {
			got = append(got, filepath.Base(e.Path))
		}
		slices.Sort(got)
		return slices.Equal(got, names)
	})
}

// TestStateDriveComesAndGoes: the drive with the journal is read-only at the start,
// is pulled, comes back read-only and at last as it should be. Everything is judged,
// everything is kept in the end, and each thing is said once.
func TestStateDriveComesAndGoes(t *testing.T) {
	s := noBus(t)
	drive, state := s.Path("drive"), s.stateDir()
	s.mount("tmpfs", drive, "tmpfs", 0, "size=4m")
	s.mount(drive, state, "", unix.MS_BIND, "")
	s.mount("", state, "", unix.MS_REMOUNT|unix.MS_BIND|unix.MS_RDONLY, "")
	a := s.start()
	a.awaitSaid("read-only file system; check that its drive is there, writable and not full")
	s.export("fog.tif", "read-only.tif")

	s.must(unix.Mount("", state, "", unix.MS_REMOUNT|unix.MS_BIND, ""))
	s.export("fog.tif", "writable.tif")
	s.wantNames("read-only.tif", "writable.tif")

	s.unmount(state)
	s.export("fog.tif", "gone.tif")
	a.awaitSaid("the drive of the state directory " + state + " is gone; check")
	if left, err := os.ReadDir(state); err != nil || len(left) > 0 {
		t.Errorf("the bare mount point has %v, %v", left, err)
	}
	s.mount(drive, state, "", unix.MS_BIND, "")
	s.must(unix.Mount("", state, "", unix.MS_REMOUNT|unix.MS_BIND|unix.MS_RDONLY, ""))
	s.export("fog.tif", "back-read-only.tif")
	s.must(unix.Mount("", state, "", unix.MS_REMOUNT|unix.MS_BIND, ""))
	s.export("fog.tif", "back.tif")
	s.wantNames("read-only.tif", "writable.tif", "gone.tif", "back-read-only.tif", "back.tif")
	s.must(a.Cmd.Process.Signal(syscall.SIGTERM))
	a.exit() // by then all has been said
	if n := strings.Count(a.words.String(), "\n"); n != 3+5 {
		t.Errorf("it said %q, want three lines, no bus, read-only, gone, and one for each export", a.words)
	}
}

// TestStateDriveIsFull: a drive that is full to the last byte.
func TestStateDriveIsFull(t *testing.T) {
	s := noBus(t)
	s.mount("tmpfs", s.stateDir(), "tmpfs", 0, "size=256k")
	a := s.start()
	s.awaitWatching()
	s.export("fog.tif", "before.tif")
	s.awaitEntries(1)
	filler := filepath.Join(s.stateDir(), "filler")
	f, err := os.Create(filler)
	s.must(err)
	for err == nil {
		_, err = f.Write(make([]byte, 4096))
	}
	s.must(f.Close())
	for _, name := range []string{"full-1.tif", "full-2.tif", "full-3.tif"} { // the last page of the journal takes one or two
		s.export("fog.tif", name)
	}
	a.awaitSaid("no space left on device; check that its drive is there, writable and not full")
	s.must(os.Remove(filler))
	s.export("fog.tif", "after.tif")
	s.wantNames("before.tif", "full-1.tif", "full-2.tif", "full-3.tif", "after.tif")
}
