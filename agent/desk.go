package agent

import (
	"fmt"
	"time"

	"lampblack/agent/journal"
	"lampblack/config"
	"lampblack/config/log"
	"lampblack/rules"
)

// desk is what is known of the desk: the profile, the facts that were logged, the
// papers, the light, and what the prints have taught. What it has to tell it gives back.
type desk struct {
	good    written        // the last good profile
	profile *rules.Profile // that one with all that is known besides: the one in force
	log     *log.File
	clicked clicked
	learnt  rules.Learnt
	older   olderWhites
	told    map[journal.Identity]journal.Outcome
	papers  *papers
	lights  *lightFolder
	sensing sensing
}

// knowNothing is a desk before its profile is loaded.
func knowNothing(profilePath, stateDir string) *desk {
	return &desk{
		log:    log.NewFile(LogPath(profilePath)),
		older:  olderWhites{},
		papers: newPapers(),
		lights: &lightFolder{seen: readPhotos(stateDir)},
	}
}

// load takes over the profile and its log as they are now. A broken profile leaves
// the last good one in force, and is told once in a notice and for as long as it lasts
// in the menu.
func (d *desk) load(path string, now time.Time) (t tidings) {
	w, err := readProfile(path, config.LoadFile) // whoever watches a folder tells what is wrong with it
	switch {
	case err == nil:
		d.good = w
		t.add(ofGood(path, w))
	case d.good.profile == nil:
		d.good.profile = config.Default()
		t.add(ofBroken(err))
	default:
		t.add(ofBroken(err))
	}
	t.add(d.layOver(now))
	return t
}

// ofGood are the tidings in a profile that can be used.
func ofGood(path string, w written) (t tidings) {
	t.end(profileTrouble, "")
	if !w.existed {
		t.say(fmt.Sprintf("there is no profile at %s: everything is assumed until you write one", path))
	}
	for _, n := range w.notes {
		t.say(n)
	}
	return t
}

// ofBroken are the tidings in a profile that can't be used.
func ofBroken(err error) (t tidings) {
	t.say(err.Error())
	text := firstMistake(err)
	notice := rules.BrokenProfile(text)
	return append(t, tiding{does: beginTrouble, kind: profileTrouble, text: "Profile: " + text, notice: &notice})
}

// planAnew brings back what lies in the future, because the clock was set back since.
func (d *desk) planAnew(now time.Time) {
	for path, since := range d.papers.asked {
		if since.After(now) {
			d.papers.asked[path] = now
		}
	}
}

// readyAt is when exports can be judged by what is known, zero for now; false while the
// sensor is at work, which tells when it is done.
func (d *desk) readyAt() (at time.Time, ok bool) {
	if d.sensing.asked {
		return time.Time{}, false
	}
	return d.papers.due(), true
}

// takeSensed takes the sensor's answer. It stands for the moment at which it was
// asked for, so that the export which asked finds it.
func (d *desk) takeSensed(s sensed, now time.Time) (t tidings) {
	if !d.profile.Room.Sensor {
		return nil
	}
	if s.err != nil {
		text := sensorText(s.err)
		t.sayAndBegin(sensorTrouble, "", text)
		return t
	}
	t.end(sensorTrouble, "")
	r := sensedReading(s.about, s.found)
	d.forgetSensed()
	d.sensing.unsaved = r
	if worthLogging(d.profile.Readings, r) {
		noted, more := d.logLight(r, now)
		t.add(more)
		if noted {
			return t // layOver has it from the log
		}
	}
	d.profile = withReading(d.profile, r)
	return t
}

// takePaper takes a colour profile that has been read.
func (d *desk) takePaper(a answer[string, sheet], now time.Time) tidings {
	delete(d.papers.asked, a.about)
	if a.err != nil { // it broke our own program, and is not tried again while it is as it is
		a.found = sheet{err: a.err}
	}
	d.papers.sheets[a.about] = a.found
	return d.layOver(now)
}
