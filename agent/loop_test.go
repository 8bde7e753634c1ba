package agent

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/rules"
)

// recorder is a desktop that keeps its notices.
type recorder struct {
	noDesktop
	notices []rules.Notice
}

func (r *recorder) Notify(n rules.Notice) { r.notices = append(r.notices, n) }

// testLoop is a loop that doesn't run, for calling its steps one by one. It is
// eight in the morning, profile is what the profile holds, and nothing comes
// from the watch.
func testLoop(t *testing.T, profile string) *loop {
	t.Helper()
	dir := t.TempDir()
	path := filepath.Join(dir, "profile.toml")
	if err := os.WriteFile(path, []byte(profile), 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := openState(filepath.Join(dir, "state"))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	o := Options{
		ProfilePath: path,
		StateDir:    filepath.Join(dir, "state"),
		Desktop:     &recorder{},
		Now:         func() time.Time { return morning },
		Watch: func(ctx context.Context, _ []watch.Folder, _ watch.Options, _ chan<- watch.Event) {
			<-ctx.Done()
		},
	}
	l := newLoop(ctx, o.withDefaults(), s)
	t.Cleanup(func() { cancel(); l.hands.Wait(); s.close() })
	l.loadProfile()
	return l
}

func (l *loop) raised() []rules.Notice { return l.o.Desktop.(*recorder).notices }

// TestNothingStaysOverdue: whatever is due, and however long ago, the loop does
// it once and then sleeps.
func TestNothingStaysOverdue(t *testing.T) {
	long := morning.Add(-72 * time.Hour)
	report := &rules.Report{Verdict: rules.Darker, Purpose: rules.ForPrint}
	report.Prediction.Targets.Spread = &rules.Spread{}
	for name, overdue := range map[string]func(*loop){
		"a notice":         func(l *loop) { l.voice.gathered = gathering{since: long, warned: []*rules.Report{report}, total: 1} },
		"the end of rest":  func(l *loop) { l.voice.history.RestUntil = long },
		"the journal":      func(l *loop) { l.exports.retryAt = long },
		"a trouble":        func(l *loop) { l.voice.troubles.begin(folderTrouble, "", "gone", long) },
		"a notice in time": func(l *loop) { l.voice.gathered = gathering{since: morning, warned: []*rules.Report{report}, total: 1} },
	} {
		l := testLoop(t, "")
		overdue(l)
		l.tend(morning)
		if wait := l.untilAlarm(morning); wait != 5*time.Minute {
			t.Errorf("after %s that was overdue the loop sleeps %v, want %v", name, wait, 5*time.Minute)
		}
	}
}

func TestUntilAlarm(t *testing.T) {
	for name, c := range map[string]struct {
		plan func(*loop)
		want time.Duration
	}{
		"nothing":       {func(*loop) {}, 5 * time.Minute},
		"rest soon":     {func(l *loop) { l.voice.history.RestUntil = morning.Add(time.Minute) }, time.Minute},
		"rest later":    {func(l *loop) { l.voice.history.RestUntil = morning.Add(time.Hour) }, 5 * time.Minute},
		"journal":       {func(l *loop) { l.exports.retryAt = morning.Add(time.Minute) }, time.Minute},
		"journal late":  {func(l *loop) { l.exports.retryAt = morning.Add(-time.Minute) }, 0},
		"a new trouble": {func(l *loop) { l.voice.troubles.begin(folderTrouble, "", "gone", morning) }, 5 * time.Second},
	} {
		l := testLoop(t, "")
		c.plan(l)
		if got := l.untilAlarm(morning); got != c.want {
			t.Errorf("%s: the loop sleeps %v, want %v", name, got, c.want)
		}
	}
}

// TestTidy: memory is given back once, a while after the last work.
func TestTidy(t *testing.T) {
	l := testLoop(t, "")
	l.busy()
	for _, c := range []struct {
		after time.Duration
		done  bool
	}{{19 * time.Second, false}, {20 * time.Second, true}, {time.Hour, true}} {
		l.tidy(morning.Add(c.after))
		if got := l.tidyAt.IsZero(); got != c.done {
			t.Errorf("after %v it is done: %v", c.after, got)
		}
	}
	l.busy()
	l.tidy(morning.Add(-time.Hour)) // the clock was set back
	if !l.tidyAt.IsZero() {
		t.Error("it waits for a clock that was set back")
	}
}

// countingDesktop counts the turns of the loop: each ends with a Show.
type countingDesktop struct {
	*studio
	turns *atomic.Int64
}

func (d countingDesktop) Show(tray.State) { d.turns.Add(1) }

func TestIdleLoopSleeps(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		ctx, cancel := context.WithCancel(t.Context())
		var turns atomic.Int64
		ended := make(chan error, 1)
		go func() {
			ended <- Run(ctx, Options{ProfilePath: s.profile(), StateDir: s.state(), Reader: s, Desktop: countingDesktop{s, &turns}, Watch: s.watch})
		}()
		time.Sleep(40 * time.Second) // what it took to start is given back
		synctest.Wait()
		turns.Store(0)
		time.Sleep(10*time.Hour + time.Minute)
		synctest.Wait()
		if got, most := turns.Load(), int64(10*time.Hour/(5*time.Minute)); got > most {
			t.Errorf("an idle loop took %d turns in ten hours, want at most %d", got, most)
		}
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}

func TestIdleLoopDoesNotGrow(t *testing.T) {
	l := testLoop(t, "")
	turn := func(n int) (heap uint64) {
		for range n {
			l.tend(morning)
		}
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	before := turn(100)
	const slack = 64 << 10
	if after := turn(1000); after > before+slack {
		t.Errorf("a thousand idle turns took the heap from %d to %d bytes", before, after)
	}
}

// TestEndWhileReading: an export whose reading was cut short by the end is not
// journaled, so that the next start catches it up.
func TestEndWhileReading(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		s.begin()
		s.export("to-print/fog.tif")
		s.export("to-print/quay.tif") // still in the queue
		time.Sleep(readingTime / 2)
		s.end()
		if len(s.journal) != 0 {
			t.Fatalf("journaled %+v", s.journal)
		}
		time.Sleep(time.Hour)
		s.begin()
		time.Sleep(time.Second)
		s.end()
		if len(s.journal) != 2 || s.journal[0].Unread != "" || !s.journal[0].CatchUp {
			t.Errorf("after the next start the journal has %+v", s.journal)
		}
	})
}

// TestCutShort: what the reader gives when it is stopped by the end is no verdict
// on the file.
func TestCutShort(t *testing.T) {
	l := testLoop(t, "")
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	l.ctx = ctx
	l.onRead(examined{about: export{File: watch.File{Path: "quay.tif", Size: 1, ModTime: morning}}, err: ctx.Err()})
	if got := kept(t, l); got != "" || l.exports.unkept != nil {
		t.Errorf("%q was journaled", got)
	}
}

// TestFoldersChangeUnderAQueue: what was exported before an edit of the profile
// keeps the folder it came from, even if that is watched no longer.
func TestFoldersChangeUnderAQueue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		s.begin()
		for range 3 {
			s.export("to-web/quay.jpg")
			time.Sleep(time.Millisecond)
		}
		s.writeProfile([]byte("[desk]\nname = \"Tidemark\"\n"))
		s.edited()
		time.Sleep(time.Minute)
		s.end()
		if len(s.journal) != 3 {
			t.Fatalf("%d entries, want 3", len(s.journal))
		}
		for _, e := range s.journal {
			if e.Report == nil || e.Report.Purpose != rules.ForScreen {
				t.Errorf("judged as %+v", e.Report)
			}
		}
	})
}

// TestLastIsRecalled: after a restart the menu still tells of the last export.
func TestLastIsRecalled(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		for _, c := range []struct{ file, want string }{
			{"to-print/fog.tif", "fog.tif: "},
			{"to-print/letter.tif", "letter.tif: could not be read"},
		} {
			s.begin()
			s.export(c.file)
			time.Sleep(time.Minute)
			told := s.menu()
			s.end()
			s.shown = tray.State{}
			s.begin()
			recalled := s.menu()
			s.end()
			if got, want := recalled[len(recalled)-1], told[len(told)-1]; got != want {
				t.Errorf("after the restart the menu tells %q, before it %q", got, want)
			}
		}
	})
}
