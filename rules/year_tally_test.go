package rules

import (
	"math/rand/v2"
	"time"
)

// tally counts what happened at the desks of one kind.
type tally struct {
	desks   int
	days    int // calendar days
	exports int
	notices map[Verdict]int

	// The notices of darker and drab by the print that they were raised for.
	right, doubtful, wrong int

	worst float64 // the wrong ones a month at the worst desk

	dark   int // truly dark prints
	warned int // of these: by darker or drab
	asked  int // of these: only by unsure
	hidden int // of these: by neither, and at the desk of profile and readings it would not have been dark

	missed  map[string]int // truly dark prints without a notice, by verdict and true cause
	silence map[string]int // exports whose verdict warns but that got no notice, by reason
	about   map[string]int // notices, by verdict and what they are about
	blamed  map[string]int // the wrong ones, by what they are about
}

func newTally() *tally {
	return &tally{
		notices: map[Verdict]int{},
		missed:  map[string]int{}, silence: map[string]int{}, about: map[string]int{}, blamed: map[string]int{},
	}
}

// add counts one more desk.
func (t *tally) add(u *tally) {
	t.worst = max(t.worst, u.falseMonthly())
	t.desks, t.days, t.exports = t.desks+u.desks, t.days+u.days, t.exports+u.exports
	t.right, t.doubtful, t.wrong = t.right+u.right, t.doubtful+u.doubtful, t.wrong+u.wrong
	t.dark, t.warned, t.asked = t.dark+u.dark, t.warned+u.warned, t.asked+u.asked
	t.hidden += u.hidden
	addTo(t.notices, u.notices)
	addTo(t.missed, u.missed)
	addTo(t.silence, u.silence)
	addTo(t.about, u.about)
	addTo(t.blamed, u.blamed)
}

func addTo[K comparable](sum, more map[K]int) {
	for k, n := range more {
		sum[k] += n
	}
}

// The working day: batches of exports of one picture, each batch an hour long.
const (
	batches      = 6
	betweenBatch = 90 * time.Minute
	batchSpan    = time.Hour
)

// liveThrough runs a desk through the year and counts. Of the weeks, only the
// first of every so many is looked at.
func liveThrough(w *workplace, pics []*Picture, every int) *tally {
	t := newTally()
	t.desks = 1
	var h History
	for day := range 365 {
		if day/7%every != 0 {
			continue
		}
		t.days++
		morning := newYear.AddDate(0, 0, day).Add(time.Duration(w.opens)*time.Hour - 10*time.Minute)
		if weekday := morning.Weekday(); weekday == time.Saturday || weekday == time.Sunday {
			continue
		}
		w.wake(day, morning)
		today := &workday{workplace: w, tally: t, history: &h, heard: map[string]Verdict{}}
		for b := range batches {
			r := w.luck(day, 32+b)
			n := int(w.daily * (0.4 + 1.2*r.Float64()) / batches)
			if n > 0 {
				start := morning.Add(10*time.Minute + time.Duration(b)*betweenBatch)
				today.batch(r, w.truth(day, b, start), pics[r.IntN(len(pics))], n, start)
			}
		}
	}
	return t
}

// workday is one day of a desk.
type workday struct {
	*workplace
	*tally
	history *History
	heard   map[string]Verdict // what today's notices were about, and the loudest verdict
	raised  int
}

// batch exports n pictures of one kind, evenly over an hour.
func (d *workday) batch(r *rand.Rand, now desk, pic *Picture, n int, start time.Time) {
	trueDesk := truly(d.profile, now, start)
	should := trueDesk.reference()
	p := d.who.prints(now, should, pic)
	known := Resolve(d.profile, start)
	seeming := d.who.prints(known.now(), known.reference(), pic)
	report := inShort(d.profile, pic, start)
	cause := ""
	for i := range n {
		at := start.Add(time.Duration(i) * batchSpan / time.Duration(n))
		noise := printNoise * r.NormFloat64()
		verdict := d.who.judge(p, d.profile.Quiet, noise)
		d.exports++
		d.speak(r, report, verdict, at, now)
		if verdict == foundDark && cause == "" {
			c, _ := mainCause(Darker, causes(&trueDesk, pic))
			cause = c.Name
		}
		d.count(report, verdict, cause, d.who.judge(seeming, d.profile.Quiet, noise) != foundDark)
	}
	if r.Float64() < d.outcomes/batches {
		d.learn(r, pic, start, p)
	}
}

// speak lets Lampblack decide on one export, and counts what it says.
func (d *workday) speak(r *rand.Rand, report *Report, verdict found, at time.Time, now desk) {
	if silence := Decide(report, d.profile.Quiet, *d.history, at); silence.Text != "" {
		if report.Verdict.Warns() {
			d.silence[string(silence.Code)+", "+string(report.Verdict)]++
		}
		return
	}
	about := report.About()
	d.notices[report.Verdict]++
	d.about[string(report.Verdict)+" "+about+whyUnsure(report)]++
	if report.Verdict != Unsure || d.heard[about] == "" {
		d.heard[about] = report.Verdict
	}
	d.history.Said = append(lately(d.history.Said, at), Said{At: at, Verdict: report.Verdict, About: about})
	d.raised++
	if d.rests > 0 && d.raised == d.rests {
		d.history.RestUntil = at.Truncate(24 * time.Hour).Add(24 * time.Hour)
	}
	d.obey(r, report, at, now)
	if report.Verdict == Unsure {
		return
	}
	switch verdict {
	case foundFine:
		d.wrong++
		d.blamed[about]++
	case foundDoubtful:
		d.doubtful++
	default:
		d.right++
	}
}

// whyUnsure is what a question is asked for: a condition that is too far out to trust
// anything, or a fault that is near.
func whyUnsure(r *Report) string {
	switch {
	case r.Verdict != Unsure:
		return ""
	case r.far != "":
		return ", far out"
	default:
		return ", perhaps " + string(r.Prediction.Targets.Spread.leaning())
	}
}

// count tells whether a truly dark print was warned of: by a notice for it, or
// earlier on the day about the same cause.
func (d *workday) count(report *Report, verdict found, cause string, hidden bool) {
	if verdict != foundDark {
		return
	}
	d.dark++
	switch loud, soft := d.covered(report, cause); {
	case loud:
		d.warned++
		return
	case soft:
		d.asked++
		return
	case hidden:
		d.hidden++
	}
	d.missed[string(report.Verdict)+", by "+cause]++
}

// covered looks for today's notices about what the report is about, and about the
// true cause. Who is asked to measure the screen because its calibration is old is
// asked about the screen.
func (d *workday) covered(report *Report, cause string) (loud, soft bool) {
	topics := []string{cause}
	if report.Verdict.Warns() {
		topics = append(topics, report.About())
	}
	if cause == ScreenLuminance {
		topics = append(topics, CalibrationAge)
	}
	for _, topic := range topics {
		v := d.heard[topic]
		loud = loud || v == Darker || v == Drab
		soft = soft || v == Unsure
	}
	return loud, soft
}

// learn records the outcome of a print.
func (w *workplace) learn(r *rand.Rand, pic *Picture, at time.Time, p sheet) {
	c := yearModel(Resolve(w.profile, at))
	a, should := c.now().at(pic.MeanY), c.reference().at(pic.MeanY)
	predicted := summarise(&a, &should, pic.Tones)
	w.judged = append(w.judged, Judged{at, Stops(predicted.whole.mean()), Stops(predicted.white), w.who.tells(r, p.whole)})
	w.profile.Learnt = Learn(w.judged, w.profile.Judged)
}

// inShort is the part of Evaluate on which Decide depends, for a simulation that
// can't wait for curves and for what there is to say about the place where prints hang.
func inShort(p *Profile, pic *Picture, now time.Time) *Report {
	c := yearModel(Resolve(p, now))
	r := &Report{Purpose: ForPrint, Conditions: c.List, Picture: *pic, Causes: causes(&c, pic)}
	r.conclude(&c, p.Quiet)
	if r.Verdict.Warns() && r.Main != "" {
		f := faultOfReport(&c, r, p.Quiet)
		r.advise(&c, f, f.atDesk(r))
	}
	return r
}

// truly is the conditions of somebody who knows the desk as it truly is.
func truly(p *Profile, d desk, at time.Time) Conditions {
	c := Resolve(p, at)
	c.held = true // white has its drift already
	c.white.value, c.room.value, c.around.value = float64(d.screen.White), float64(d.room), d.surround
	c.contrast.value, c.diffuse.value = d.screen.Contrast, d.screen.Diffuse
	return c
}

// lately leaves out what was said so long ago that no gap reaches back to it.
func lately(said []Said, now time.Time) []Said {
	for len(said) > 0 && now.Sub(said[0].At) > 24*time.Hour {
		said = said[1:]
	}
	return said
}
