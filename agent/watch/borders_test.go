package watch

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/fsnotify/fsnotify"
)

// These tests stand at the borders: the last value on one side, and the first on
// the other.

func TestDefaultsOfOptions(t *testing.T) {
	for name, o := range map[string]Options{"zero": {}, "negative": {Settle: -1, MaxWait: -1, Tick: -1}} {
		got := o.withDefaults()
		if got.Settle != 300*time.Millisecond || got.MaxWait != 30*time.Second || got.Tick != time.Minute {
			t.Errorf("%s: settle %v, at most %v, tick %v; want 300 ms, 30 s, 1 min", name, got.Settle, got.MaxWait, got.Tick)
		}
		if got.Known(File{Path: "/exports/a.tif"}) {
			t.Errorf("%s: by default nothing is known", name)
		}
	}
	got := Options{Settle: 1, MaxWait: 1, Tick: 1, Known: func(File) bool { return true }}.withDefaults()
	if got.Settle != 1 || got.MaxWait != 1 || got.Tick != 1 || !got.Known(File{}) {
		t.Errorf("%+v: what is set stays", got)
	}
	w := newWatched(t.Context(), 0, Folder{}, got, nil)
	if w.files.max != 8192 || w.seen.max != 200_000 {
		t.Errorf("%d files may wait and %d are remembered, want 8192 and 200000", w.files.max, w.seen.max)
	}
}

// bubble is a folder that was not opened, in the virtual time of a synctest.
func bubble(t *testing.T, o Options) (w *watched, events chan Event) {
	events = make(chan Event, 9)
	w = newWatched(t.Context(), 0, Folder{Path: "/exports", Match: []string{"*.tif"}}, o.withDefaults(), events)
	w.hands, w.start, w.timer = new(sync.WaitGroup), time.Now(), time.NewTimer(24*time.Hour)
	w.tick = w.nextTick()
	return w, events
}

func TestDriveAnswersJustInTime(t *testing.T) {
	for took, told := range map[time.Duration]int{10*time.Second - 1: 0, 10*time.Second + 1: 2} {
		synctest.Test(t, func(t *testing.T) {
			w, events := bubble(t, Options{})
			if _, ok := ask(w, func() int { time.Sleep(took); return 1 }); !ok || len(events) != told {
				t.Errorf("an answer after %v: %v, and %d troubles told, want %d", took, ok, len(events), told)
			}
		})
	}
}

// The pauses between tries to open a folder double, from a quarter of a second up to
// the tick.
func TestPausesOfAMissingFolder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w, events := bubble(t, Options{Tick: 3 * time.Second})
		w.Path, w.catchUp = filepath.Join(t.TempDir(), "missing"), false
		for _, ms := range []time.Duration{250, 500, 1000, 2000, 3000, 3000} {
			w.open()
			if pause := time.Until(w.again); pause != ms*time.Millisecond {
				t.Errorf("the next try comes after %v, want %v", pause, ms*time.Millisecond)
			}
		}
		if len(events) != 1 || !w.catchUp {
			t.Errorf("%d events, catch-up %v; want Missing, told once, and that what comes later is a catch-up", len(events), w.catchUp)
		}
	})
}

// A folder that goes away is tried again at once, and not later because of earlier
// trouble.
func TestFolderThatGoesAway(t *testing.T) {
	for _, op := range []fsnotify.Op{fsnotify.Remove, fsnotify.Rename} {
		synctest.Test(t, func(t *testing.T) {
			w, _ := bubble(t, Options{})
			w.opened, w.retry, w.catchUp = &opened{}, 8*time.Second, false
			w.event(fsnotify.Event{Name: "/exports", Op: fsnotify.Chmod})
			if w.opened == nil {
				t.Fatal("new permissions of the folder don't close it")
			}
			w.event(fsnotify.Event{Name: "/exports/", Op: op})
			if w.opened != nil || !w.again.Equal(time.Now()) || !w.armed.Equal(time.Now()) || !w.catchUp {
				t.Errorf("%v: still open %v, tried again after %v, woken after %v, catch-up %v; want at once, and catch-up",
					op, w.opened != nil, time.Until(w.again), time.Until(w.armed), w.catchUp)
			}
			<-w.timer.C // at once
			if waited := time.Since(w.again); waited != 0 {
				t.Errorf("the timer fired after %v", waited)
			}
		})
	}
}

func TestTimerIsSetToWhatComesFirst(t *testing.T) {
	for _, c := range []struct {
		name                    string
		tick, file, again, poll time.Duration // 0: there is none
		open                    bool
		want                    time.Duration
	}{
		{"nothing but the tick", 60, 0, 0, 0, true, 60},
		{"a file", 60, 2, 0, 0, true, 2},
		{"a file after the tick", 60, 70, 0, 0, true, 60},
		{"a closed folder", 60, 0, 5, 0, false, 5},
		{"a closed folder after the tick", 60, 0, 61, 0, false, 60},
		{"the last try of a folder that is open now", 60, 0, 5, 0, true, 60},
		{"a poll", 60, 9, 0, 7, true, 7},
		{"a poll after the file", 60, 6, 0, 7, true, 6},
		{"a poll after the tick", 60, 0, 0, 70, true, 60},
	} {
		synctest.Test(t, func(t *testing.T) {
			w, _ := bubble(t, Options{})
			begun := time.Now()
			w.tick, w.again = begun.Add(c.tick*time.Second), begun.Add(c.again*time.Second)
			if c.open {
				w.opened = &opened{}
			}
			if c.file > 0 {
				w.files.found("a.tif", state{size: 1}, c.file*time.Second, false, begun)
			}
			if c.poll > 0 {
				w.poll = begun.Add(c.poll * time.Second)
			}
			w.arm()
			<-w.timer.C
			if got := time.Since(begun); got != c.want*time.Second || !w.armed.Equal(time.Now()) {
				t.Errorf("%s: woken after %v, want %v", c.name, got, c.want*time.Second)
			}
		})
	}
}

func TestTimerIsOnlySetEarlier(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w, _ := bubble(t, Options{})
		begun := time.Now()
		w.opened = &opened{}
		w.arm()
		w.wakeBy(begun.Add(5 * time.Second))
		w.wakeBy(begun.Add(8 * time.Second))
		<-w.timer.C
		if got := time.Since(begun); got != 5*time.Second {
			t.Errorf("woken after %v, want 5 s", got)
		}
	})
}

func TestWhichEventsMakeAFileWait(t *testing.T) {
	for _, c := range []struct {
		name           string
		op             fsnotify.Op
		subfolders     bool
		waits, written bool
	}{
		{"a.tif", fsnotify.Create, false, true, true},
		{"a.tif", fsnotify.Write, false, true, true},
		{"a.tif", fsnotify.Chmod, false, true, false},
		{"A.TIF", fsnotify.Write, false, true, true},
		{"notes.txt", fsnotify.Write, false, false, false},
		{"job", fsnotify.Create, false, false, false},
		{"job", fsnotify.Create, true, true, true}, // it may be a folder
		{"job", fsnotify.Chmod, true, false, false},
		{".job", fsnotify.Create, true, false, false},
		{"sub/a.tif", fsnotify.Create, true, true, true},
	} {
		synctest.Test(t, func(t *testing.T) {
			w, _ := bubble(t, Options{})
			w.Subfolders, w.opened = c.subfolders, &opened{}
			w.arm()
			w.event(fsnotify.Event{Name: filepath.Join("/exports", c.name), Op: c.op})
			_, written := w.files.history(filepath.FromSlash(c.name))
			due, waits := w.files.next()
			if waits != c.waits || written != c.written {
				t.Errorf("%s, %v: waits %v, written %v; want %v, %v", c.name, c.op, waits, written, c.waits, c.written)
			}
			if waits && (time.Until(due) != 300*time.Millisecond || !w.armed.Equal(due)) {
				t.Errorf("%s, %v: looked at after %v, woken after %v, want 300 ms", c.name, c.op, time.Until(due), time.Until(w.armed))
			}
		})
	}
}

func TestWhatIsGoneWaitsNoLonger(t *testing.T) {
	for _, op := range []fsnotify.Op{fsnotify.Remove, fsnotify.Rename} {
		w, _ := still(t, opened{})
		for _, sub := range []string{"job", filepath.Join("job", "deep"), "jobs"} {
			w.opened.folders[sub] = true
		}
		w.files.touch("a.tif", true, time.Now())
		w.event(fsnotify.Event{Name: filepath.Join(w.Path, "a.tif"), Op: op})
		if _, any := w.files.next(); any {
			t.Errorf("%v: a.tif still waits", op)
		}
		w.event(fsnotify.Event{Name: filepath.Join(w.Path, "job"), Op: op})
		if len(w.opened.folders) != 1 || !w.opened.folders["jobs"] {
			t.Errorf("%v: %v are watched, want jobs only", op, w.opened.folders)
		}
		w.close()
		w.forsake("jobs") // while the root is closed there is nothing to forsake
	}
}

// A scan for the files that found no room waits until half of the room is free.
func TestMissedFilesAreLookedForWhenHalfIsFree(t *testing.T) {
	for _, c := range []struct {
		missed bool
		wait   int
		scans  bool
	}{{true, 0, true}, {true, 2, true}, {true, 3, false}, {true, 4, false}, {false, 0, false}, {false, 2, false}} {
		w, _ := still(t, opened{})
		w.put(t, "a.tif")
		w.tick = time.Now().Add(time.Hour)
		w.files.max, w.files.missed = 4, c.missed
		for i := range c.wait {
			w.files.files[fmt.Sprint(i)] = &waiting{due: time.Now().Add(time.Hour)}
		}
		w.wake()
		if _, scanned := w.files.files["a.tif"]; scanned != c.scans || w.files.missed != (c.missed && !c.scans) {
			t.Errorf("missed %v, %d of 4 wait: scanned %v, want %v", c.missed, c.wait, scanned, c.scans)
		}
	}
}

func TestWhichTicksScan(t *testing.T) {
	for _, c := range []struct {
		name   string
		opened opened
		poll   time.Duration
		scans  bool
	}{
		{"healthy", opened{}, 0, false},
		{"remote", opened{remote: true}, 0, true},
		{"remote, and polled by choice", opened{remote: true}, 1, false},
		{"polled by choice", opened{}, time.Second, false},
		{"a subfolder can't be read", opened{partial: os.ErrPermission}, 0, true},
	} {
		w, _ := still(t, c.opened)
		w.Poll = c.poll
		w.put(t, "a.tif")
		w.check()
		if _, scanned := w.files.files["a.tif"]; scanned != c.scans {
			t.Errorf("%s: scanned %v, want %v", c.name, scanned, c.scans)
		}
	}
}

// What is due is done, and what isn't is left alone.
func TestWakeDoesWhatIsDue(t *testing.T) {
	w, _ := still(t, opened{remote: true})
	w.put(t, "a.tif")
	soon := time.Now().Add(time.Hour)
	w.tick, w.poll = soon, soon
	w.wake()
	if _, scanned := w.files.files["a.tif"]; scanned || !w.poll.Equal(soon) || !w.tick.Equal(soon) {
		t.Errorf("scanned %v, poll %v, tick %v: nothing was due", scanned, w.poll, w.tick)
	}
	w.close()
	w.again = soon
	if w.wake(); w.opened != nil {
		t.Error("opened before its time")
	}
	w.again = time.Now()
	if w.wake(); w.opened == nil {
		t.Error("not opened at its time")
	}
}

// A folder that is polled by choice is one whose files rest longer.
func TestPolledFolderIsOpenedAsRemote(t *testing.T) {
	for poll, remote := range map[time.Duration]bool{0: false, 1: true, time.Second: true} {
		w, _ := still(t, opened{})
		w.close()
		w.Path, w.Poll = "/proc", poll // which is never a network drive, but where it doesn't exist
		if _, err := os.Stat(w.Path); err != nil {
			w.Path = t.TempDir()
		}
		w.open()
		if w.opened == nil || w.opened.remote != remote {
			t.Errorf("poll %v: %+v, want remote %v", poll, w.opened, remote)
		}
	}
	synctest.Test(t, func(t *testing.T) {
		for _, poll := range []time.Duration{0, 1} {
			w, _ := bubble(t, Options{})
			w.Poll = poll
			w.polled(0)
			if planned := !w.poll.IsZero(); planned != (poll > 0) || planned && time.Until(w.poll) != poll {
				t.Errorf("poll %v: planned for %v", poll, w.poll)
			}
		}
	})
}

func TestFilesThatRestAreHandedOverAndForgotten(t *testing.T) {
	w, events := still(t, opened{})
	w.Match = []string{"*.tif"}
	now := time.Now()
	for i, name := range []string{"a.tif", "b.tif", "c.tif"} {
		w.put(t, name)
		w.files.files[name] = &waiting{last: now.Add(time.Duration(i-9) * time.Hour), written: true}
	}
	w.settleDue(now)
	if len(events) != 3 || len(w.files.files) != 0 {
		t.Fatalf("%d of 3 files came, %d still wait", len(events), len(w.files.files))
	}
	for _, want := range []string{"a.tif", "b.tif", "c.tif"} { // the longest quiet first
		if e := <-events; e.File == nil || e.File.Path != filepath.Join(w.Path, want) || !e.File.Written {
			t.Errorf("%+v, want %s", e.File, want)
		}
	}
}

// At the end a file that nobody took is not taken for handed over, and none is tried
// after it.
func TestEndWhileFilesAreHandedOver(t *testing.T) {
	w, _ := still(t, opened{})
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	w.ctx, w.out = ctx, make(chan Event) // nobody receives
	st := state{size: 1, mtime: 1}
	if w.handOver("a.tif", st, false, true) || w.seen.has("a.tif", st) {
		t.Error("a.tif counts as handed over")
	}
	w.Match = []string{"*.tif"}
	if !w.handOver("notes.txt", st, false, true) || w.seen.has("notes.txt", st) {
		t.Error("a name that is no export's is passed over, whatever comes next")
	}
	w.o.Known = func(File) bool { return true }
	for range 2 {
		if !w.handOver("b.tif", st, false, true) || !w.seen.has("b.tif", st) {
			t.Error("what is known counts as handed over")
		}
	}
}

// A scan that the end cuts short is not taken for a complete one.
func TestEndWhileAFolderIsScanned(t *testing.T) {
	w, _ := still(t, opened{})
	w.put(t, "a.tif")
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	w.ctx, w.catchUp = ctx, true
	w.scan()
	if _, waits := w.files.files["a.tif"]; !waits && !w.catchUp {
		t.Error("a.tif was not found, though the scan counts as complete")
	}
	w.close()
	if _, ok := w.walk("", true); ok {
		t.Error("a folder that is closed was walked")
	}
}
