package agent

import (
	"slices"
	"time"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// longestGather is how long the first warning of a burst may wait for the rest
// of it, so that one notice can count them all.
const longestGather = 15 * time.Second

// lull is how long no further export must have arrived before a notice goes
// out: an editor that exports a series writes them closer together than this.
const lull = 800 * time.Millisecond

// gathering is the notice in the making: the exports it will be about.
type gathering struct {
	since   time.Time // of the first warning
	arrived time.Time // of the last export to arrive
	warned  []*rules.Report
	total   int // exports for print judged since nothing was waiting
}

// add takes an export that has been judged.
func (g *gathering) add(e journal.Entry, now time.Time) {
	if e.Report.Purpose == rules.ForPrint && !e.CatchUp {
		g.total++
	}
	if e.Silence != "" {
		return
	}
	if len(g.warned) == 0 {
		g.since = now
	}
	g.warned = append(g.warned, e.Report)
}

// due is when the notice must go out: after a lull when no export is waiting,
// in a long burst after longestGather; the zero time when there is nothing to say.
func (g *gathering) due(idle bool) time.Time {
	if len(g.warned) == 0 {
		return time.Time{}
	}
	latest := g.since.Add(longestGather)
	if quiet := g.arrived.Add(lull); idle && quiet.Before(latest) {
		return quiet
	}
	return latest
}

// drop forgets the exports, but not that a burst may be going on.
func (g *gathering) drop() { g.warned, g.total = nil, 0 }

// silence is why nothing is to be said of an export that was judged; it says nothing
// when that is worth a notice.
func (v *voice) silence(r *rules.Report, catchUp bool, q rules.Quiet, now time.Time) rules.Sentence {
	if catchUp {
		return rules.Sentence{Code: rules.SilenceCatchUp, Text: "it was made while its folder was not watched"}
	}
	return rules.Decide(r, q, v.history, now)
}

// notice is the one notice that is due, if any, which is remembered as said. idle tells
// that no export waits.
func (v *voice) notice(idle bool, now time.Time) (n rules.Notice, due bool) {
	at := v.gathered.due(idle)
	if due = !at.IsZero() && !now.Before(at); due {
		n = rules.NoticeForMany(v.gathered.warned, v.gathered.total)
		v.remember(v.gathered.warned, now)
		v.gathered.drop()
	}
	if idle && len(v.gathered.warned) == 0 {
		v.gathered.total = 0
	}
	return n, due
}

// remember keeps what was said. Times in the history are the wall clock's, by
// Round(0): the monotonic one stands still while a laptop sleeps.
func (v *voice) remember(warned []*rules.Report, now time.Time) {
	for _, r := range warned {
		s := rules.Said{At: now.Round(0), Verdict: r.Verdict, About: r.About()}
		if !slices.Contains(v.history.Said, s) {
			v.history.Said = append(v.history.Said, s)
		}
	}
}

// restTime is how long "Rest for an hour" lasts.
const restTime = time.Hour

// toggleRest begins a rest, for which the notice in the making is dropped, or
// ends it.
func (v *voice) toggleRest(now time.Time) {
	if v.resting() {
		v.history.RestUntil = time.Time{}
		return
	}
	v.history.RestUntil = now.Add(restTime).Round(0)
	v.gathered.drop()
}

// resting holds until forget has ended the rest.
func (v *voice) resting() bool { return !v.history.RestUntil.IsZero() }

// forget drops from the history what must not keep us quiet any more: a rest
// that is over, what was said long ago, and what lies in the future because
// the clock was set back since.
func (v *voice) forget(q rules.Quiet, now time.Time) {
	const slack = time.Minute // clocks are put right by little steps all the time
	if left := v.history.RestUntil.Sub(now); left <= 0 || left > restTime+slack {
		v.history.RestUntil = time.Time{}
	}
	longest := max(24*time.Hour, q.Gap)
	v.history.Said = slices.DeleteFunc(v.history.Said, func(s rules.Said) bool {
		age := now.Sub(s.At)
		return age < -slack || age >= longest
	})
}
