package agent

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// darkReport is a report that is warned about.
func darkReport(name string) *rules.Report {
	r := &rules.Report{
		File: name, Verdict: rules.Darker, Purpose: rules.ForPrint,
		Causes: []rules.Cause{{Name: rules.ScreenLuminance, Stops: 0.5}},
	}
	r.Prediction.Targets.Shift.Whole = 0.5
	r.Prediction.Targets.Spread = &rules.Spread{}
	return r
}

// judged adds a report that was judged at a moment to a gathering.
func (g *gathering) judged(r *rules.Report, silence string, at time.Time) {
	g.arrived = at
	g.add(journal.Entry{Report: r, Silence: silence}, at)
}

func TestGatheringWaitsForALull(t *testing.T) {
	var g gathering
	if !g.due(true).IsZero() {
		t.Error("nothing is due")
	}
	g.judged(darkReport("a"), "", morning)
	if got, want := g.due(true), morning.Add(lull); !got.Equal(want) {
		t.Errorf("due at %v, want %v", got, want)
	}
	later := morning.Add(400 * time.Millisecond)
	g.judged(darkReport("b"), "said", later)
	if got, want := g.due(true), later.Add(lull); !got.Equal(want) {
		t.Errorf("after another arrival due at %v, want %v", got, want)
	}
	if got, want := g.due(false), morning.Add(15*time.Second); !got.Equal(want) {
		t.Errorf("with exports waiting due at %v, want %v", got, want)
	}
}

func TestGatheringDoesNotWaitForever(t *testing.T) {
	var g gathering
	last := morning
	for at := morning; at.Before(morning.Add(time.Minute)); at = at.Add(400 * time.Millisecond) {
		g.judged(darkReport("a"), "", at)
		last = at
	}
	if got, want := g.due(true), morning.Add(15*time.Second); !got.Equal(want) {
		t.Errorf("in a burst that ended at %v due at %v, want %v", last, got, want)
	}
}

func TestOneNoticeCounts(t *testing.T) {
	for _, c := range []struct {
		warned, silent, web, catchUp int
		want                         string
	}{
		{warned: 1, want: "export-0."},
		{warned: 1, web: 3, catchUp: 2, want: "export-0."},
		{warned: 1, silent: 3, want: "1 of 4 exports. Worst: export-0."},
		{warned: 40, silent: 2, web: 1, want: "40 of 42 exports. Worst: export-0."},
	} {
		v := &voice{}
		for i := range c.warned {
			v.gathered.judged(darkReport(fmt.Sprintf("export-%d", i)), "", morning)
		}
		for range c.silent {
			v.gathered.judged(darkReport("silent"), "nothing to warn of", morning)
		}
		for range c.web {
			r := darkReport("web")
			r.Purpose = rules.ForScreen
			v.gathered.judged(r, "the folder is for the screen", morning)
		}
		for range c.catchUp {
			v.gathered.add(journal.Entry{Report: darkReport("old"), Silence: "old", CatchUp: true}, morning)
		}
		if n, due := v.notice(true, morning.Add(lull-1)); due {
			t.Errorf("%+v: raised %q before the lull", c, n)
		}
		if n, due := v.notice(true, morning.Add(lull)); !due || !strings.HasPrefix(n.Body, c.want) {
			t.Errorf("%+v: raised %q, %v", c, n, due)
		}
		if n, due := v.notice(true, morning.Add(2*lull)); due {
			t.Errorf("%+v: raised %q once more", c, n)
		}
		if len(v.history.Said) != 1 || v.gathered.total != 0 || v.gathered.warned != nil {
			t.Errorf("%+v: afterwards %+v, %+v", c, v.history, v.gathered)
		}
	}
}

func TestForget(t *testing.T) {
	said := func(ago time.Duration) rules.Said { return rules.Said{At: morning.Add(-ago), Verdict: rules.Darker} }
	v, q := &voice{}, rules.Quiet{Gap: 48 * time.Hour}
	v.history.Said = []rules.Said{said(48 * time.Hour), said(47 * time.Hour), said(0), said(-time.Second), said(-time.Hour)}
	v.forget(q, morning)
	if got := len(v.history.Said); got != 3 {
		t.Errorf("%d notices remembered, want the 3 that the gap of two days is about", got)
	}
	for _, c := range []struct {
		left time.Duration
		want bool
	}{{-time.Second, false}, {0, false}, {time.Second, true}, {time.Hour, true}, {25 * time.Hour, false}} {
		v.history.RestUntil = morning.Add(c.left)
		v.forget(q, morning)
		if v.resting() != c.want {
			t.Errorf("resting with %v left: %v, want %v", c.left, v.resting(), c.want)
		}
	}
}

// TestHistoryIsTheWallClocks: the monotonic clock stands still while a laptop
// sleeps, and the history must not.
func TestHistoryIsTheWallClocks(t *testing.T) {
	v := &voice{}
	now := time.Now() // with a monotonic reading
	v.remember([]*rules.Report{darkReport("a")}, now)
	v.toggleRest(now)
	for _, got := range []time.Time{v.history.Said[0].At, v.history.RestUntil} {
		if strings.Contains(got.String(), "m=") {
			t.Errorf("%v has a monotonic reading", got)
		}
	}
}
