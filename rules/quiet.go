package rules

import "time"

// unsureGap is how long the program keeps quiet about one missing measurement, or a room
// that is too bright to judge in, after it has spoken of it (common practice, no source):
// who did nothing about it then does not want to be asked again at every export of the
// day. For a bright room it was the profile's gap: that asked careless desks of the
// simulated year 8.0 times a week in place of 5.3, and reached no more dark prints. 36 h
// asked 7.1 times, but 88 % of dark prints in place of 96 % went with a question that
// day (the even desks, YEAR.md).
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
// raised, silence is the reason, which the journal keeps; it says nothing otherwise.
func Decide(r *Report, q Quiet, h History, now time.Time) (silence Sentence) {
	switch {
	case r.Purpose == ForScreen:
		return Sentence{SilenceForScreen, "the folder is for the screen"}
	case r.WasRaised() && (!r.Verdict.Warns() || r.answersNotice() || r.onlyDrabbed()):
		return Sentence{SilenceRaised, raisedText(r)} // what is left was warned of before, and is told where people look
	case !r.Verdict.Warns():
		return Sentence{SilenceNoWarning, "nothing to warn of"}
	case r.SurroundAsMat:
		return Sentence{SilenceAsMat, "the surround is as light as the mat where it hangs"}
	case now.Before(h.RestUntil):
		return Sentence{SilenceResting, "resting"}
	case r.Verdict == Unsure && r.About() == "":
		return Sentence{SilenceNoRemedy, "it is close, and there is nothing to do about it"}
	case r.perhapsLight():
		return Sentence{SilencePerhapsLight, "it may come out light, which is never warned of"}
	}
	gap := q.Gap
	if r.Verdict == Unsure && r.Main == "" {
		gap = max(gap, unsureGap)
	}
	about := r.About()
	for _, s := range h.Said {
		if s.Verdict == r.Verdict && s.About == about && now.Sub(s.At) < gap {
			return Sentence{SilenceSaid, fillIn("said {age} ago about the same cause", "age", span(now.Sub(s.At)))}
		}
	}
	return Sentence{}
}

// perhapsLight tells an unsure verdict whose doubt is mostly whether the print comes out
// lighter. Lighter is not warned of when it is certain, so its doubt is no reason to
// speak either: two in three of all questions at well-kept desks of the simulated year
// were of this kind, 1.5 a week with them and 0.5 without (the even desks, YEAR.md).
func (r *Report) perhapsLight() bool {
	s := r.Prediction.Targets.Spread
	return r.Verdict == Unsure && r.far == "" && s != nil && s.leaning() == Lighter
}

// onlyDrabbed tells that what is left to say is a loss of colour or contrast, or that it
// is close. The desk that loses it was warned of when the file was not raised yet, and no
// raise brings it back.
func (r *Report) onlyDrabbed() bool {
	return r.Verdict == Drab || r.Verdict == Unsure && r.Unsettled == ""
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
