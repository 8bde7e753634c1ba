package agent

import (
	"slices"
	"time"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// voice is what is said: in notices, in the menu, and on the terminal. It decides, and
// the loop speaks.
type voice struct {
	history  rules.History
	gathered gathering
	troubles troubles
	last     *rules.Report
	lastLine rules.LastExport // what the menu says of the last export instead, when it could not be read
	prints   []journal.Entry  // the last ones that can be told of, the newest first
	chosen   string           // that of them which the menu's outcomes are about
	said     sentences
	paging   bool // the desk page is being written
}

// sentences are the last that were said on the terminal: each is said once.
type sentences []string

// mostSaid is how many sentences are remembered as said: each names a file or a folder,
// and in a year there are many.
const mostSaid = 200

// fresh takes a sentence, and tells whether it has not been said in a good while.
func (s *sentences) fresh(text string) bool {
	if slices.Contains(*s, text) {
		return false
	}
	*s = append(*s, text)
	if len(*s) > mostSaid {
		*s = slices.Delete(*s, 0, 1)
	}
	return true
}

// hear takes a tiding. What it gives is to be said on the terminal, and raised.
func (v *voice) hear(t tiding, now time.Time) (sentence string, notice *rules.Notice) {
	switch t.does {
	case saySentence:
		if v.said.fresh(t.text) {
			return t.text, nil
		}
	case beginTrouble:
		if v.troubles.begin(t.kind, t.about, t.text, now) {
			notice = t.notice
		}
		if t.most > 0 {
			v.troubles.keepNewest(t.kind, t.most)
		}
	case endTrouble:
		v.troubles.end(t.kind, t.about)
	case endTroubles:
		v.troubles.endAll(t.kind)
	}
	return "", notice
}

// recall takes from the journal's latest entries, the newest first, what the menu tells
// of the time before, unless there is newer to tell.
func (v *voice) recall(latest []journal.Entry) {
	if v.last != nil || v.lastLine != (rules.LastExport{}) {
		return
	}
	v.prints = nil
	if len(latest) > 0 && ours(latest[0]) {
		v.setLast(latest[0])
	}
	for _, e := range slices.Backward(latest) {
		v.addPrint(e)
	}
}

// setLast makes an entry the one that the menu tells of.
func (v *voice) setLast(e journal.Entry) { v.last, v.lastLine = tellOf(e) }

// summary is the desk and the last export, as the menu tells them.
func (v *voice) summary(c *rules.Conditions, q rules.Quiet) rules.Summary {
	s := summarise(c, q, v.last, v.lastLine)
	s.Wedge.Rest = v.resting()
	return s
}

// planAnew brings back what lies in the future, because the clock was set back since.
func (v *voice) planAnew(now time.Time) {
	for _, t := range []*time.Time{&v.gathered.since, &v.gathered.arrived} {
		if t.After(now) {
			*t = now
		}
	}
	v.troubles.notAfter(now)
}

// due are the times at which something is to be said, or said no longer, that nothing
// else tells of; the zero ones are never. idle tells that no export waits.
func (v *voice) due(idle bool, now time.Time) []time.Time {
	return []time.Time{v.gathered.due(idle), v.history.RestUntil, v.troubles.nextShown(now)}
}
