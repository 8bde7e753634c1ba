package watch

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// These tests stand at the borders of what a scan finds and what may wait.

func TestScanThatFailsIsTriedAgain(t *testing.T) {
	w, events := still(t, opened{})
	w.catchUp, w.tick = true, time.Now().Add(time.Hour)
	must(t, os.Remove(w.Path))
	w.scan()
	wantCode(t, events, Missing, false)
	if !w.files.missed || !w.catchUp || len(events) != 0 {
		t.Errorf("missed %v, catch-up %v, %d more events; want both, and none: nothing was read", w.files.missed, w.catchUp, len(events))
	}
	must(t, os.Mkdir(w.Path, 0o700))
	w.put(t, "a.tif")
	w.wake()
	wantCode(t, events, Missing, true)
	if f := w.files.files["a.tif"]; f == nil || !f.catchUp || w.catchUp {
		t.Errorf("%+v, want a.tif waiting as a catch-up, and none after it", f)
	}
}

// While some files found no room, the next scan is still the catch-up.
func TestCatchUpLastsUntilAllFoundRoom(t *testing.T) {
	w, _ := still(t, opened{})
	w.files.max, w.catchUp = 1, true
	w.put(t, "a.tif")
	w.put(t, "b.tif")
	if w.scan(); !w.catchUp || !w.files.missed {
		t.Errorf("catch-up %v, missed %v; want both", w.catchUp, w.files.missed)
	}
}

func TestTimesOfAFile(t *testing.T) {
	w := newWatched(t.Context(), 3, Folder{Path: "/exports"}, Options{}.withDefaults(), nil)
	for change, want := range map[int64]time.Time{0: {}, 1: time.Unix(0, 1), 5e9: time.Unix(5, 0)} {
		f := w.file("a.tif", state{size: 7, mtime: 2e9, change: change}, true, false)
		if !f.Changed.Equal(want) || !f.ModTime.Equal(time.Unix(2, 0)) || f.Size != 7 || f.Folder != 3 || !f.CatchUp || f.Written {
			t.Errorf("%+v, want the change at %v", f, want)
		}
	}
	for change, want := range map[int64]bool{0: false, 1: false, 999_999_999: false, 1e9: true, 1e9 + 1: false, 7e9: true} {
		if got := (state{change: change}).coarse(); got != want {
			t.Errorf("a change at %d ns is coarse: %v, want %v", change, got, want)
		}
	}
}

func TestSettleForgetsWhatIsNoFile(t *testing.T) {
	for _, l := range []look{{gone: true}, {folder: true}} {
		s := newSettler(100*time.Millisecond, time.Second)
		s.touch("a.tif", true, at(0))
		if s.judge("a.tif", l, at(100)) || len(s.files) != 0 {
			t.Errorf("%+v: %d files wait, want none, and none finished", l, len(s.files))
		}
		if s.judge("a.tif", size(5), at(200)) {
			t.Error("a file that doesn't wait is finished")
		}
	}
}

func TestGrowingFromWhenOn(t *testing.T) {
	s := newSettler(100*time.Millisecond, time.Second)
	s.touch("a.tif", true, at(0))
	s.touch("a.tif", true, at(1000))
	s.touch("b.tif", true, at(500))
	s.touch("b.tif", true, at(1400))
	if _, _, any := s.growing(at(999)); any {
		t.Error("growing after less than a second")
	}
	if name, since, any := s.growing(at(1000)); !any || name != "a.tif" || since != time.Second {
		t.Errorf("%q, %v, %v; want a.tif since 1 s", name, since, any)
	}
	s.touch("b.tif", true, at(1500))
	for range 20 { // whatever the order of the map
		if name, since, _ := s.growing(at(1600)); name != "a.tif" || since != 1600*time.Millisecond {
			t.Errorf("%q since %v, want a.tif, which has been growing longest", name, since)
		}
	}
}

func TestOneFileMoreThanMayWait(t *testing.T) {
	s := newSettler(100*time.Millisecond, time.Second)
	s.max = 2
	s.touch("a.tif", true, at(0))
	if s.found("b.tif", state{}, s.settle, false, at(0)); s.missed || len(s.files) != 2 {
		t.Errorf("%d files wait, missed %v; there is room for two", len(s.files), s.missed)
	}
	s.found("c.tif", state{}, s.settle, false, at(0))
	if !s.missed || len(s.files) != 2 {
		t.Errorf("%d files wait, missed %v; the third found no room", len(s.files), s.missed)
	}
}

func TestSubfoldersAtTheBounds(t *testing.T) {
	deep := func(n int) string { return strings.Repeat("d"+string(filepath.Separator), n) + "d" }
	for _, c := range []struct {
		name    string
		found   int
		below   bool
		queued  bool
		tooDeep bool
	}{
		{"job", 0, true, true, false},
		{"job", 0, false, false, false},
		{".job", 0, true, false, false},
		{"job", 1999, true, true, false},
		{"job", 2000, true, false, true},
		{".job", 2000, true, false, false},
		{deep(15), 0, true, true, false},
		{deep(16), 0, true, false, true},
	} {
		var b batch
		s := newScanner(&opened{}, nil, c.below, "")
		s.found = c.found
		s.meet(&b, c.name)
		if queued := len(s.queue) == 2; queued != c.queued || b.tooDeep != c.tooDeep || queued && s.found != c.found+1 {
			t.Errorf("%s, the %dth: queued %v, told as too deep %v; want %v, %v", c.name, c.found+1, queued, b.tooDeep, c.queued, c.tooDeep)
		}
	}
}

func TestScannerOfWhatCannotBeRead(t *testing.T) {
	w, _ := still(t, opened{})
	w.put(t, "file")
	for _, c := range []struct {
		from   string
		partly bool
	}{
		{"missing", false}, // gone again since it was met
		{"file", true},
	} {
		b := newScanner(w.opened, nil, true, c.from).next()
		if b.err != nil || (b.partial != nil) != c.partly || b.more || !slices.Equal(b.folders, []string{c.from}) {
			t.Errorf("%s: %+v, want trouble %v, and nothing more to read", c.from, b, c.partly)
		}
	}
	must(t, os.Remove(filepath.Join(w.Path, "file")))
	must(t, os.Remove(w.Path))
	if b := newScanner(w.opened, nil, true, "").next(); !errors.Is(b.err, fs.ErrNotExist) || b.more {
		t.Errorf("%+v, want that the root isn't there", b)
	}
	if w, err := newWatcher(w.Path); w != nil || !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a watcher of a folder that isn't there: %v, %v", w, err)
	}
}

// Trouble with one subfolder is over only when all have been read, and so is one that
// no folder has a watch for.
func TestTroubleLastsAsLongAsItsReason(t *testing.T) {
	w, events := still(t, opened{})
	w.Subfolders = true
	w.opened.limit = syscall.ENOSPC // and no watcher, so it stays
	w.scan()
	wantCode(t, events, Limit, false)
	w.scan()
	if len(events) != 0 {
		t.Errorf("%+v was told again", (<-events).Trouble)
	}
	w.tell(TooDeep, "too deep")
	wantCode(t, events, TooDeep, false)
	w.scan()
	wantCode(t, events, TooDeep, true)
}

// Watch is over when all that it began is over, but for drives that don't answer.
func TestWatchWaitsForItsFolders(t *testing.T) {
	dir := t.TempDir()
	must(t, os.WriteFile(filepath.Join(dir, "a.tif"), []byte("x"), 0o600))
	asked, answer, returned := make(chan struct{}), make(chan struct{}), make(chan struct{})
	ctx, cancel := context.WithCancel(t.Context())
	o := fast()
	var once sync.Once
	o.Known = func(File) bool {
		once.Do(func() { close(asked); <-answer })
		return true
	}
	go func() {
		Watch(ctx, []Folder{{Path: dir}}, o, make(chan Event))
		close(returned)
	}()
	<-asked
	cancel()
	for range 1000 { // turns enough for one that doesn't wait
		select {
		case <-returned:
			t.Fatal("Watch returned while its folder was busy")
		default:
			runtime.Gosched()
		}
	}
	close(answer)
	<-returned
	wantNoGoroutines(t)
}
