package rules

import (
	"fmt"
	"time"
)

// unsureGap is how long the program keeps quiet about one missing measurement
// after it has asked for it (common practice, no source): who did not measure
// then does not want to be asked again at every export of the day.
const unsureGap = 12 * time.Hour

// History is what the program has said and been told, as far as it decides
// whether to speak now.
type History struct {
	RestUntil time.Time
	Said      []Said // the notices raised, newest last
}

// Said is one notice that was raised.
type Said struct {
	At      time.Time
	Verdict Verdict
	About   string // the cause, or the measurement asked for
}

// Decide tells whether to raise a notice about a report. When it is not
// raised, silence is the reason, which the journal keeps; it is empty otherwise.
func Decide(r *Report, q Quiet, h History, now time.Time) (silence string) {
	switch {
	case r.Purpose == ForScreen:
		return "the folder is for the screen"
	case r.WasRaised() && (!r.Verdict.Warns() || r.answersNotice()):
		return raisedText(r) // what is left was warned of before, and is told where people look
	case !r.Verdict.Warns():
		return "nothing to warn of"
	case now.Before(h.RestUntil):
		return "resting"
	case r.Verdict == Unsure && r.About() == "":
		return "it is close, and there is nothing to do about it"
	}
	gap := q.Gap
	if r.Verdict == Unsure && r.Main == "" && !r.tooBright() {
		gap = max(gap, unsureGap)
	}
	about := r.About()
	for _, s := range h.Said {
		if s.Verdict == r.Verdict && s.About == about && now.Sub(s.At) < gap {
			return fmt.Sprintf("said %s ago about the same cause", span(now.Sub(s.At)))
		}
	}
	return ""
}

// answersNotice tells that what the file was raised against is what a notice on it would be
// about again.
func (r *Report) answersNotice() bool { return r.Gist != nil && r.Gist.About == r.About() }

// About is what a notice on this report is about: its main cause, or the
// measurement that would settle it; empty when there is neither.
func (r *Report) About() string {
	if r.Verdict == Unsure && r.Unsettled != "" {
		return r.Unsettled
	}
	return r.Main
}
