package agent

import (
	"slices"
	"time"

	"lampblack/rules"
)

// This file makes the profile in force of all that is known.

// layOver makes the profile in force: the last good one, with the log and all else
// that is known besides.
func (d *desk) layOver(now time.Time) (t tidings) {
	t.add(d.applyLog(now))
	d.profile.Learnt = d.learnt
	t.add(d.keepSensed())
	t.add(d.fillPapers())
	return t
}

// logNeeded is how far back readings of the room are needed: of an export that is
// caught up, those of the week before it.
const logNeeded = catchUpLimit + 7*24*time.Hour

// applyLog makes the profile in force the last good one with the log as it is now.
func (d *desk) applyLog(now time.Time) (t tidings) {
	log, recovered, err := d.log.Read(now.Add(-max(logNeeded, catchUpLimit+d.good.profile.Room.ReadingLife)))
	if recovered != "" {
		t.say(recovered)
	}
	t.add(ofLog("reading", err))
	d.profile = log.Apply(d.good.profile, d.good.modified)
	return t
}

// ofLog are the tidings in reading or writing the log, which went well or not.
func ofLog(doing string, err error) (t tidings) {
	if err == nil {
		t.end(logTrouble, doing)
		return t
	}
	t.sayAndBegin(logTrouble, doing, err.Error())
	return t
}

// keepSensed puts the sensor's newest reading into a profile that was just
// loaded, unless the log had it or the profile no longer asks for it.
func (d *desk) keepSensed() (t tidings) {
	r := d.sensing.unsaved
	if !d.profile.Room.Sensor {
		d.sensing.unsaved = rules.Reading{}
		t.end(sensorTrouble, "")
		return t
	}
	if r.At.IsZero() {
		return nil
	}
	if slices.ContainsFunc(d.profile.Readings, func(x rules.Reading) bool { return sameReading(x, r) }) {
		d.sensing.unsaved = rules.Reading{}
		return nil
	}
	d.profile = withReading(d.profile, r)
	return nil
}

// fillPapers gives the papers in force what has been read of them, and tells what
// can't be used.
func (d *desk) fillPapers() (t tidings) {
	p, notes := fillPapers(d.profile, d.papers.sheets)
	d.profile = p
	t.endAll(paperTrouble)
	for _, n := range notes {
		t.sayAndBegin(paperTrouble, n, n)
	}
	return t
}
