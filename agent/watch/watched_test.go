package watch

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/fsnotify/fsnotify"
)

// These tests call one step of a watched folder, where the way to it, a drive
// that hangs or a system at its limits, can't be had in a test.

func TestDriveThatDoesNotAnswer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		events := make(chan Event, 2)
		w := newWatched(t.Context(), 0, Folder{Path: "/exports"}, fast().withDefaults(), events)
		w.hands = new(sync.WaitGroup)
		begun := time.Now()
		got, ok := ask(w, func() int { time.Sleep(30 * time.Second); return 42 })
		if !ok || got != 42 || time.Since(begun) != 30*time.Second {
			t.Errorf("answer = %d, %v after %v", got, ok, time.Since(begun))
		}
		if e := <-events; e.Trouble == nil || e.Trouble.Code != NotAnswering || e.Trouble.Over {
			t.Errorf("first event %+v, want the trouble", e)
		}
		if e := <-events; e.Trouble == nil || e.Trouble.Code != NotAnswering || !e.Trouble.Over {
			t.Errorf("second event %+v, want its end", e)
		}
	})
}

func TestHungCallDoesNotKeepUs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		w := newWatched(ctx, 0, Folder{Path: "/exports"}, fast().withDefaults(), nil)
		w.hands = new(sync.WaitGroup)
		hung := make(chan struct{})
		time.AfterFunc(time.Second, cancel)
		if _, ok := ask(w, func() bool { <-hung; return true }); ok {
			t.Error("an answer from a call that hangs")
		}
		begun := time.Now()
		waitAtMost(w.hands, closeGrace)
		if d := time.Since(begun); d != 2*time.Second {
			t.Errorf("waited %v, want %v", d, 2*time.Second)
		}
		close(hung)
		w.hands.Wait()
	})
}

// All folders share one tick: an idle machine wakes once, not once per folder.
func TestTicksCoincide(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		o := Options{}.withDefaults()
		start := time.Now()
		a := newWatched(t.Context(), 0, Folder{}, o, nil)
		b := newWatched(t.Context(), 1, Folder{}, o, nil)
		a.start, b.start = start, start
		time.Sleep(7 * time.Second)
		first := a.nextTick()
		time.Sleep(20 * time.Second)
		if second := b.nextTick(); !first.Equal(second) || first.Sub(start) != time.Minute {
			t.Errorf("ticks at %v and %v, want both after %v", first.Sub(start), second.Sub(start), time.Minute)
		}
		time.Sleep(time.Minute)
		if next := a.nextTick(); next.Sub(start) != 2*time.Minute {
			t.Errorf("next tick after %v, want %v", next.Sub(start), 2*time.Minute)
		}
	})
}

// still is a folder that is open and not running.
func still(t *testing.T, o opened) (w *watched, events chan Event) {
	t.Helper()
	events = make(chan Event, 9)
	w = newWatched(t.Context(), 0, Folder{Path: t.TempDir()}, fast().withDefaults(), events)
	w.hands, w.timer, w.catchUp = new(sync.WaitGroup), time.NewTimer(time.Hour), false
	info, err := os.Stat(w.Path)
	must(t, err)
	o.path, o.info, o.folders = w.Path, info, map[string]bool{}
	w.opened = &o
	t.Cleanup(func() { w.close(); w.hands.Wait() })
	return w, events
}

func (w *watched) put(t *testing.T, name string) {
	t.Helper()
	must(t, os.WriteFile(filepath.Join(w.Path, name), []byte("x"), 0o600))
}

func wantCode(t *testing.T, events chan Event, code string, over bool) {
	t.Helper()
	select {
	case e := <-events:
		if e.Trouble == nil || e.Trouble.Code != code || e.Trouble.Over != over {
			t.Errorf("event %+v, want %s, over %v", e.Trouble, code, over)
		}
	default:
		t.Errorf("nothing was sent, want %s, over %v", code, over)
	}
}

func TestOverflowScans(t *testing.T) {
	w, events := still(t, opened{})
	w.put(t, "a.tif")
	w.failure(fsnotify.ErrEventOverflow)
	wantCode(t, events, Overflow, false)
	wantCode(t, events, Overflow, true)
	if f := w.files.files["a.tif"]; f == nil || f.catchUp {
		t.Errorf("%+v, want a.tif waiting, and no catch-up: the folder was watched all the time", f)
	}
}

func TestBrokenWatcherIsOpenedAnewWithPauses(t *testing.T) {
	w, _ := still(t, opened{})
	for i, want := range []time.Duration{0, 250 * time.Millisecond, 500 * time.Millisecond, time.Second} {
		before := time.Now()
		w.failure(errors.New("read error"))
		after := time.Now()
		if w.opened != nil || w.again.Before(before.Add(want)) || w.again.After(after.Add(want)) {
			t.Errorf("failure %d: next try after %v, want %v", i+1, w.again.Sub(before), want)
		}
	}
	w.open()
	w.check()
	if w.opened == nil || w.retry != 0 {
		t.Errorf("the pause is %v after a tick in good health, want 0", w.retry)
	}
}

func TestFolderWithoutAWatchIsScanned(t *testing.T) {
	w, events := still(t, opened{limit: syscall.ENOSPC})
	w.tell(Limit, "no watch left")
	wantCode(t, events, Limit, false)
	w.put(t, "a.tif")
	w.check()
	wantCode(t, events, Limit, true) // there is a watch left by now
	if f := w.files.files["a.tif"]; w.opened.watcher == nil || f == nil || f.catchUp {
		t.Errorf("%+v, want a watcher, and a.tif waiting, and no catch-up: the ticks would have seen it", f)
	}
}

func TestLimitsOfTheSystem(t *testing.T) {
	for _, err := range []error{syscall.ENOSPC, syscall.EMFILE, syscall.ENFILE} {
		if !isLimit(fmt.Errorf("inotify: %w", err)) {
			t.Errorf("%v is a limit", err)
		}
	}
	if isLimit(nil) || isLimit(syscall.EACCES) {
		t.Error("no error, and missing permission, are no limits")
	}
}

func TestNetworkDriveIsScannedAtEveryTick(t *testing.T) {
	w, _ := still(t, opened{remote: true})
	w.put(t, "a.tif")
	before := time.Now()
	w.check()
	after := time.Now()
	rest := 450 * time.Millisecond // 15 times the 30 ms of a fast watch
	if due, ok := w.files.next(); !ok || due.Before(before.Add(rest)) || due.After(after.Add(rest)) {
		t.Errorf("a.tif rests for %v, %v; want %v", due.Sub(before), ok, rest)
	}
}

// Where other computers write, a file rests fifteen times as long before it is finished:
// 4.5 s by default.
func TestFilesOfOthersRestLonger(t *testing.T) {
	for _, c := range []struct {
		settle, here, there time.Duration
	}{{0, 300 * time.Millisecond, 4500 * time.Millisecond}, {time.Second, time.Second, 15 * time.Second}} {
		w := newWatched(t.Context(), 0, Folder{Path: "/exports"}, Options{Settle: c.settle}.withDefaults(), nil)
		for remote, want := range map[bool]time.Duration{false: c.here, true: c.there} {
			w.opened = &opened{remote: remote}
			if got := w.rest(); got != want {
				t.Errorf("with settle %v, remote %v, a file rests %v, want %v", c.settle, remote, got, want)
			}
		}
	}
}

func TestFolderWithTooManyFiles(t *testing.T) {
	w, events := still(t, opened{})
	w.seen = newSeen(2)
	for i := range 2 {
		w.seen.add(fmt.Sprint(i), state{size: 1, mtime: 1})
	}
	w.put(t, "old.tif")
	w.scan()
	wantCode(t, events, TooMany, false)
	if _, any := w.files.next(); any {
		t.Error("a file that can't be told from an old one is waiting")
	}
	w.event(fsnotify.Event{Name: filepath.Join(w.Path, "new.tif"), Op: fsnotify.Create})
	if _, any := w.files.next(); !any {
		t.Error("a file that was seen arriving must wait its turn")
	}
}

func TestSentencesSayWhatAndWhere(t *testing.T) {
	w, events := still(t, opened{})
	w.tellClosed(os.ErrNotExist)
	w.tellClosed(os.ErrPermission)
	for range 3 { // missing, missing no more, unreadable
		if text := (<-events).Trouble.Text; !strings.Contains(text, w.Path) || strings.HasSuffix(text, ".") {
			t.Errorf("sentence: %s", text)
		}
	}
}
