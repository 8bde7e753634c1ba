package watch

import (
	"fmt"
	"slices"
	"testing"
	"time"
)

var t0 = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)

func at(ms int) time.Time { return t0.Add(time.Duration(ms) * time.Millisecond) }

// A step of a file's life, at a time in milliseconds. The settler under test has
// settle 100 ms and maxWait 1000 ms.
type step struct {
	ms   int
	do   string // "touch", "found", "drop" or "look"
	look look   // for found and look

	wantDue      bool // look: the file is due; when it is not, it isn't judged
	wantFinished bool
}

func size(n int64) look { return look{state: state{size: n, mtime: n}} }
func heldAt(n int64) look {
	l := size(n)
	l.held = true
	return l
}

func TestSettle(t *testing.T) {
	tests := []struct {
		name  string
		steps []step
	}{
		{"one write", []step{
			{ms: 0, do: "touch"},
			{ms: 99, do: "look", look: size(5)},
			{ms: 100, do: "look", look: size(5), wantDue: true, wantFinished: true},
		}},
		{"an event puts it off without a look", []step{
			{ms: 0, do: "touch"},
			{ms: 60, do: "touch"},
			{ms: 100, do: "look", look: size(5)},
			{ms: 159, do: "look", look: size(5)},
			{ms: 160, do: "look", look: size(5), wantDue: true, wantFinished: true},
		}},
		{"empty until it grows", []step{
			{ms: 0, do: "touch"},
			{ms: 100, do: "look", look: size(0), wantDue: true},
			{ms: 5000, do: "look", look: size(0)}, // only after a minute
			{ms: 6000, do: "touch"},
			{ms: 6100, do: "look", look: size(9), wantDue: true, wantFinished: true},
		}},
		{"empty for good", []step{
			{ms: 0, do: "touch"},
			{ms: 100, do: "look", look: size(0), wantDue: true},
			{ms: 59999, do: "look", look: size(0)},
			{ms: 60000, do: "look", look: size(0), wantDue: true, wantFinished: true},
		}},
		{"found empty, and growing without events", []step{
			{ms: 0, do: "found", look: size(0)},
			{ms: 100, do: "look", look: size(0), wantDue: true},
			{ms: 60000, do: "look", look: size(7), wantDue: true},
			{ms: 60100, do: "look", look: size(7), wantDue: true, wantFinished: true},
		}},
		{"removed while waiting", []step{
			{ms: 0, do: "touch"},
			{ms: 50, do: "drop"},
			{ms: 100, do: "look", look: size(5)},
		}},
		{"gone without an event", []step{
			{ms: 0, do: "touch"},
			{ms: 100, do: "look", look: look{gone: true}, wantDue: true},
			{ms: 500, do: "look", look: size(5)},
		}},
		{"found by a scan and still", []step{
			{ms: 0, do: "found", look: size(5)},
			{ms: 100, do: "look", look: size(5), wantDue: true, wantFinished: true},
		}},
		{"found by a scan, growing without events", []step{
			{ms: 0, do: "found", look: size(5)},
			{ms: 100, do: "look", look: size(6), wantDue: true},
			{ms: 200, do: "look", look: size(7), wantDue: true},
			{ms: 299, do: "look", look: size(7)},
			{ms: 300, do: "look", look: size(7), wantDue: true, wantFinished: true},
		}},
		{"same size, new modification time", []step{
			{ms: 0, do: "found", look: look{state: state{size: 5, mtime: 1}}},
			{ms: 100, do: "look", look: look{state: state{size: 5, mtime: 2}}, wantDue: true},
			{ms: 200, do: "look", look: look{state: state{size: 5, mtime: 2}}, wantDue: true, wantFinished: true},
		}},
		{"held: a pause of the writer is no end", []step{
			{ms: 0, do: "touch"},
			{ms: 100, do: "look", look: heldAt(5), wantDue: true},
			{ms: 199, do: "look", look: heldAt(5)},
			{ms: 200, do: "look", look: heldAt(5), wantDue: true},
			{ms: 399, do: "look", look: size(5)}, // the pause has doubled
			{ms: 400, do: "look", look: size(5), wantDue: true, wantFinished: true},
		}},
		{"held, then written: looked at soon again", []step{
			{ms: 0, do: "touch"},
			{ms: 100, do: "look", look: heldAt(5), wantDue: true},
			{ms: 200, do: "look", look: heldAt(5), wantDue: true}, // next at 400
			{ms: 210, do: "touch"},
			{ms: 310, do: "look", look: size(8), wantDue: true, wantFinished: true},
		}},
		{"held for ever: handed over after maxWait", []step{
			{ms: 0, do: "touch"},
			{ms: 900, do: "look", look: heldAt(5), wantDue: true},
			{ms: 1000, do: "look", look: heldAt(5), wantDue: true, wantFinished: true},
		}},
		{"changing for ever: never handed over", []step{
			{ms: 0, do: "found", look: size(1)},
			{ms: 500, do: "look", look: size(2), wantDue: true},
			{ms: 2000, do: "look", look: size(3), wantDue: true},
			{ms: 90000, do: "look", look: size(4), wantDue: true},
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := newSettler(100*time.Millisecond, time.Second)
			for _, st := range tt.steps {
				play(t, s, st)
			}
		})
	}
}

func play(t *testing.T, s *settler, st step) {
	t.Helper()
	const name = "a.tif"
	now := at(st.ms)
	switch st.do {
	case "touch":
		s.touch(name, true, now)
	case "found":
		s.found(name, st.look.state, s.settle, false, now)
	case "drop":
		s.drop(name)
	case "look":
		due := slices.Contains(s.due(now), name)
		if due != st.wantDue {
			t.Fatalf("%d ms: due = %v, want %v", st.ms, due, st.wantDue)
		}
		if due {
			if got := s.judge(name, st.look, now); got != st.wantFinished {
				t.Fatalf("%d ms: finished = %v, want %v", st.ms, got, st.wantFinished)
			}
		}
	default:
		t.Fatalf("no such step: %q", st.do)
	}
}

// A file that a program holds open is looked at less and less often, but every two
// seconds, and is handed over after thirty.
func TestSettleHeld(t *testing.T) {
	o := Options{}.withDefaults()
	s := newSettler(o.Settle, o.MaxWait)
	s.touch("a.tif", true, at(0))
	looks := []int{}
	for ms := 0; ms <= 31_000 && len(s.files) > 0; ms += 100 {
		if !slices.Contains(s.due(at(ms)), "a.tif") {
			continue
		}
		looks = append(looks, ms)
		if s.judge("a.tif", heldAt(5), at(ms)) {
			s.drop("a.tif")
		}
	}
	want := []int{300, 600, 1200} // and then 2400, 4400, 6400 …
	for ms := 2400; ms < 32_000; ms += 2000 {
		want = append(want, ms)
	}
	if i := slices.IndexFunc(want, func(ms int) bool { return ms >= 30_000 }); !slices.Equal(looks, want[:i+1]) {
		t.Errorf("it is looked at after %v ms, want %v", looks, want[:i+1])
	}
}

func TestSettleGrowing(t *testing.T) {
	s := newSettler(100*time.Millisecond, time.Second)
	for ms := 0; ms < 1000; ms += 50 {
		s.touch("log.tif", true, at(ms))
		s.touch("new.tif", true, at(900))
		if name, _, any := s.growing(at(ms)); any {
			t.Fatalf("%d ms: %s is told as growing before maxWait", ms, name)
		}
	}
	s.touch("log.tif", true, at(1000))
	name, since, any := s.growing(at(1010))
	if !any || name != "log.tif" || since != 1010*time.Millisecond {
		t.Fatalf("growing = %q, %v, %v", name, since, any)
	}
	s.drop("log.tif")
	if name, _, any := s.growing(at(5000)); any {
		t.Fatalf("%s is growing, though it rests since 900 ms", name)
	}
}

func TestSettleCatchUpEndsWithAnEvent(t *testing.T) {
	s := newSettler(100*time.Millisecond, time.Second)
	s.found("a.tif", state{size: 1, mtime: 1}, s.settle, true, at(0))
	s.found("b.tif", state{size: 1, mtime: 1}, s.settle, true, at(0))
	s.touch("b.tif", true, at(10))
	s.found("b.tif", state{size: 2, mtime: 2}, s.settle, true, at(20)) // a scan changes nothing for a file that waits
	s.touch("d.tif", false, at(30))
	for name, want := range map[string][2]bool{"a.tif": {true, false}, "b.tif": {false, true}, "c.tif": {}, "d.tif": {}} {
		if catchUp, written := s.history(name); catchUp != want[0] || written != want[1] {
			t.Errorf("%s: catch-up %v, written %v; want %v", name, catchUp, written, want)
		}
	}
}

func TestSettleOrderAndNext(t *testing.T) {
	s := newSettler(100*time.Millisecond, time.Second)
	if _, ok := s.next(); ok {
		t.Error("something is next while nothing waits")
	}
	s.touch("late.tif", true, at(5))
	s.touch("b.tif", true, at(1))
	s.touch("a.tif", true, at(1))
	if got, ok := s.next(); !ok || !got.Equal(at(101)) {
		t.Errorf("next = %v, %v; want %v", got, ok, at(101))
	}
	if got, want := s.due(at(200)), []string{"a.tif", "b.tif", "late.tif"}; !slices.Equal(got, want) {
		t.Errorf("due = %q, want %q", got, want)
	}
}

func TestSettleIsBounded(t *testing.T) {
	s := newSettler(100*time.Millisecond, time.Second)
	for i := range 2 * 8192 {
		s.touch(fmt.Sprint(i), true, at(0))
	}
	if len(s.files) != 8192 || !s.missed {
		t.Errorf("%d files wait, missed = %v; want %d, true", len(s.files), s.missed, 8192)
	}
}

func TestSeen(t *testing.T) {
	s := newSeen(3)
	st := state{size: 10, mtime: 20}
	s.add("a", st)
	if !s.has("a", st) || s.has("a", state{size: 11, mtime: 20}) || s.has("a", state{size: 10, mtime: 21}) || s.has("b", st) {
		t.Error("only a in its state was added")
	}
	for i := range 10 {
		s.add(fmt.Sprint(i), st)
		if !s.has(fmt.Sprint(i), st) {
			t.Errorf("%d was just added", i)
		}
	}
	if len(s.states) != 3 || !s.full() {
		t.Errorf("%d entries, full = %v; want 3, true", len(s.states), s.full())
	}
}
