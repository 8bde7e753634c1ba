package agent

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/agent/watch"
)

// TestTornHoldNothingUp: while torn exports wait to be read again, others are judged
// at once, and in the end the journal has each of them once.
func TestTornHoldNothingUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		s.begin()
		began := time.Now()
		const each = 10
		for i := range each {
			s.export(fmt.Sprintf("to-print/torn-%d.jpg", i))
			s.export(fmt.Sprintf("to-print/fog-%d.tif", i))
		}
		time.Sleep(time.Minute)
		s.end()
		at := map[string]time.Duration{}
		order := []string{}
		for _, l := range s.lines() {
			if l.kind == "journal" {
				at[l.file] = l.at.Sub(began)
				order = append(order, l.file)
			}
		}
		if len(order) != 2*each || len(at) != 2*each {
			t.Fatalf("the journal has %q", order)
		}
		for i, file := range order {
			last, kind := 2*each*readingTime, "fog" // all are read once
			if i >= each {
				last, kind = (1+3)*each*readingTime, "torn" // and nobody has waited
			}
			if want := fmt.Sprintf("to-print/%s-%d", kind, i%each); !strings.HasPrefix(file, want) || at[file] > last {
				t.Errorf("entry %d is %s after %v, want %s within %v", i, file, at[file], want, last)
			}
		}
		for path, n := range s.reads {
			if want := map[bool]int{true: 3, false: 1}[strings.HasPrefix(filepath.Base(path), "torn")]; n != want {
				t.Errorf("%s was read %d times, want %d", filepath.Base(path), n, want)
			}
		}
	})
}

// TestPausedIsReadWhenItIsWhole: an export whose writer has only paused gets a
// verdict, and what was told of it meanwhile makes no second entry.
func TestPausedIsReadWhenItIsWhole(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		s.begin()
		s.export("to-print/paused.jpg")
		time.Sleep(500 * time.Millisecond)
		s.offer(s.files[0]) // written, of the same size and time
		time.Sleep(time.Minute)
		s.end()
		if len(s.journal) != 1 || s.journal[0].Report == nil {
			t.Errorf("the journal has %+v", s.journal)
		}
	})
}

// TestToldOfWhileTorn: an export that is told of again while it is read and found
// torn waits once, in the queue, and one that waits already is not queued.
func TestToldOfWhileTorn(t *testing.T) {
	l := testLoop(t, "[[folder]]\npath = \"/out\"\npurpose = \"print\"\n")
	f := watch.File{Path: "/out/a.tif", Size: 1, ModTime: morning, Written: true}
	e := export{File: f, tries: 1}
	l.exports.stages[e.identity()] = handed
	l.enqueue(f)
	l.onRead(examined{about: e, err: picture.ErrUnfinished})
	if len(l.exports.queue) != 1 || len(l.exports.unfinished) != 0 {
		t.Errorf("told of while it was read: %d queued, %d torn", len(l.exports.queue), len(l.exports.unfinished))
	}
	l.exports.queue, l.exports.stages = nil, map[journal.Identity]stage{e.identity(): handed}
	l.onRead(examined{about: e, err: picture.ErrUnfinished})
	l.enqueue(f)
	if len(l.exports.queue) != 0 || len(l.exports.unfinished) != 1 {
		t.Errorf("told of while it waited: %d queued, %d torn", len(l.exports.queue), len(l.exports.unfinished))
	}
}

// TestTornIsPlanned: the loop wakes up for what is torn, unless something else must
// be done first, which it will be told of; and not hours late when the clock was set
// back.
func TestTornIsPlanned(t *testing.T) {
	for name, c := range map[string]struct {
		plan func(*loop)
		want time.Duration
	}{
		"waits":              {func(*loop) {}, time.Second},
		"due":                {func(l *loop) { l.exports.unfinished[0].again = morning }, 0},
		"the reader is busy": {func(l *loop) { l.exports.atReader, l.exports.unfinished[0].again = true, morning }, 5 * time.Minute},
		"the sensor is read": {func(l *loop) { l.desk.sensing.asked, l.exports.unfinished[0].again = true, morning }, 5 * time.Minute},
		"papers first":       {func(l *loop) { l.desk.papers.asked["/p.icc"] = morning }, 4 * time.Second},
		"clock set back": {func(l *loop) {
			l.exports.unfinished[0].again = morning.Add(9 * time.Hour)
			l.planAnew(morning)
		}, 0},
	} {
		l := testLoop(t, "")
		l.exports.unfinished = []unfinished{{export{}, morning.Add(time.Second)}}
		c.plan(l)
		if got := l.untilAlarm(morning); got != c.want || l.exports.idle() {
			t.Errorf("%s: the loop sleeps %v, want %v; idle: %v", name, got, c.want, l.exports.idle())
		}
	}
}

// tornReader is a Reader to which every export is broken.
type tornReader struct{ Reader }

func (tornReader) Examine(context.Context, string) (picture.Examined, error) {
	return picture.Examined{}, errors.New("torn")
}

// TestQueueIsGivenBack: nothing of a burst stays in memory.
func TestQueueIsGivenBack(t *testing.T) {
	l := testLoop(t, "[[folder]]\npath = \".\"\npurpose = \"print\"\n")
	const burst = 100
	for i := range burst {
		f := watch.File{Path: fmt.Sprint(i), Size: 1, ModTime: morning}
		l.enqueue(f)
		l.enqueue(f) // told twice, taken once
	}
	if len(l.exports.queue) != burst {
		t.Fatalf("%d exports queue, want %d", len(l.exports.queue), burst)
	}
	l.o.Reader = tornReader{}
	for range burst {
		l.feed(morning)
		l.onRead(<-l.answers.exports)
	}
	if l.exports.queue != nil || l.exports.unkept != nil || len(l.exports.stages) != 0 {
		t.Errorf("afterwards the queue has %d, the journal lacks %d, and %d are known", cap(l.exports.queue), len(l.exports.unkept), len(l.exports.stages))
	}
	l.enqueue(watch.File{Path: "0", Size: 1, ModTime: morning})
	if len(l.exports.queue) != 0 {
		t.Error("what the journal has was taken again")
	}
}
