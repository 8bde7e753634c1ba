package agent

import (
	"fmt"
	"time"

	"lampblack/agent/journal"
	"lampblack/config"
	"lampblack/rules"
)

// desk is what is known of the desk: the profile, the facts that were logged, the
// papers, the light, and what the prints have taught. What it has to tell it gives back.
type desk struct {
	good    written        // the last good profile
	profile *rules.Profile // that one with all that is known besides: the one in force
	log     *config.LogFile
	clicked clicked
	learnt  rules.Learnt
	told    map[journal.Identity]journal.Outcome
	papers  *papers
	lights  *lightFolder
	sensing sensing
}

// knowNothing is a desk before its profile is loaded.
func knowNothing(profilePath, stateDir string) *desk {
	return &desk{
		log:    config.NewLogFile(LogPath(profilePath)),
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

// layOver makes the profile in force: the last good one, with the log and all else
// that is known besides.
func (d *desk) layOver(now time.Time) (t tidings) {
	t.add(d.applyLog(now))
	d.profile.Learnt = d.learnt
	t.add(d.keepSensed())
	t.add(d.fillPapers())
	return t
}

// ofGood are the tidings in a profile that can be used.
func ofGood(path string, w written) (t tidings) {
	t.end(profileTrouble, "")
	if !w.existed {
		t.say(fmt.Sprintf("there is no profile at %s: an assumed one serves until you write one", path))
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

// knownLight is the light of the room, lx, or 0 when it is only assumed.
func knownLight(c *rules.Conditions) float64 {
	if room := c.Get(rules.RoomLight); !room.Assumed {
		return float64(room.Value)
	}
	return 0
}
