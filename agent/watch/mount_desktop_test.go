//go:build desktop && linux

package watch

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// These tests need root: they mount, and change the limits of the kernel for
// a namespace of their own. .ci/run has it.

func mount(t *testing.T, source, target, kind string, flags uintptr) {
	t.Helper()
	if err := unix.Mount(source, target, kind, flags, ""); err != nil {
		t.Fatalf("mounting at %s: %v", target, err)
	}
	t.Cleanup(func() { _ = unix.Unmount(target, unix.MNT_DETACH) }) // mostly gone already
}

func often() Options {
	o := fast()
	o.Tick = 50 * time.Millisecond
	return o
}

// An unmounted drive sends no event. What is written to its mount point, and to the
// drive while it is elsewhere, is found.
func TestUnmountedAndMountedAgain(t *testing.T) {
	drive, dir := t.TempDir(), t.TempDir()
	mount(t, "tmpfs", drive, "tmpfs", 0)
	mount(t, drive, dir, "", unix.MS_BIND)
	r := watchFolders(t, often(), Folder{Path: dir, Match: []string{"*.tif"}, Subfolders: true})
	r.begun()
	for range 2 {
		must(t, unix.Unmount(dir, unix.MNT_DETACH))
		r.write("bare.tif", "bare")
		r.wantFile("bare.tif", "bare")
		must(t, os.WriteFile(filepath.Join(drive, "elsewhere.tif"), []byte("elsewhere"), 0o600))
		mount(t, drive, dir, "", unix.MS_BIND)
		if f := r.wantFile("elsewhere.tif", "elsewhere"); !f.CatchUp {
			t.Error("it came while nobody watched")
		}
		r.sentinel("end.tif")
		must(t, unix.Unmount(dir, 0))
		must(t, os.Remove(r.path("bare.tif")))
		mount(t, drive, dir, "", unix.MS_BIND)
		r.sentinel("again.tif")
		must(t, os.Remove(filepath.Join(drive, "elsewhere.tif")))
	}
}

// A drive that is mounted over a watched folder sends no event either.
func TestMountedOver(t *testing.T) {
	r := watchFolders(t, often(), Folder{Path: t.TempDir(), Match: []string{"*.tif"}})
	r.begun()
	mount(t, "tmpfs", r.dir, "tmpfs", 0)
	r.sentinel("over.tif")
	must(t, unix.Unmount(r.dir, 0))
	r.sentinel("under.tif")
}

// limitedWatches marks the process in which the kernel grants fewer watches.
const limitedWatches = "LAMPBLACK_TEST_WATCHES"

// With the kernel's own limit exhausted the folders are scanned, and watched again as
// soon as there is room. It plays in a user namespace, which has limits of its own.
func TestRealLimit(t *testing.T) {
	if os.Getenv(limitedWatches) == "" {
		child := exec.Command("unshare", "--user", "--map-root-user", os.Args[0], "-test.run=^TestRealLimit$", "-test.v")
		child.Env = append(os.Environ(), limitedWatches+"=1")
		out, err := child.CombinedOutput()
		if err != nil || !strings.Contains(string(out), "--- PASS: TestRealLimit") {
			t.Fatalf("%v\n%s", err, out)
		}
		return
	}
	limit := func(n string) { must(t, os.WriteFile("/proc/sys/user/max_inotify_watches", []byte(n), 0)) }
	dir := t.TempDir()
	must(t, os.MkdirAll(filepath.Join(dir, "sub", "sub"), 0o700))
	limit("2") // for three folders
	r := watchFolders(t, often(), Folder{Path: dir, Match: []string{"*.tif"}, Subfolders: true})
	r.wantTrouble(Limit, false)
	for _, name := range []string{"a.tif", "sub/a.tif", "sub/sub/a.tif"} {
		r.write(name, name)
		r.wantFile(name, name)
	}
	limit("100")
	r.wantTrouble(Limit, true)
	r.sentinel("sub/sub/b.tif")
	limit("0")
	must(t, os.RemoveAll(dir))
	r.wantTrouble(Missing, false)
	must(t, os.Mkdir(dir, 0o700))
	r.write("c.tif", "c")
	for e := r.next(); e.File == nil; e = r.next() { // missing no more, and no watch left for it
		if code := e.Trouble.Code; code != Missing && code != Limit {
			t.Fatalf("trouble %+v", *e.Trouble)
		}
	}
	r.sentinel("d.tif") // found by scans alone
}
