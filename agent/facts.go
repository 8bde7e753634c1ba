package agent

import (
	"fmt"
	"path/filepath"
	"time"

	"lampblack/agent/watch"
	"lampblack/config"
	"lampblack/rules"
)

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
	t.say(err.Error())
	t.begin(logTrouble, doing, err.Error())
	return t
}

// note writes to the log what has come to be known, takes it over, and tells whether
// it could.
func (d *desk) note(what config.Log, now time.Time) (noted bool, t tidings) {
	err := d.log.Append(what)
	t.add(ofLog("writing", err))
	if err == nil {
		t.add(d.layOver(now))
	}
	return err == nil, t
}

// logLight notes a reading of the room light, and tells whether it could.
func (d *desk) logLight(r rules.Reading, now time.Time) (noted bool, t tidings) {
	return d.note(config.Log{Readings: []rules.Reading{r}}, now)
}

// logClickedLight notes the room light that was picked from the menu.
func (d *desk) logClickedLight(now time.Time, light rules.Lux) tidings {
	r := rules.Reading{At: now, Light: light, Place: rules.AtScreen}
	return d.logClick(config.Log{Readings: []rules.Reading{r}}, clicked{fmt.Sprintf("room light %.0f lx", light), now, config.Fact{Reading: &r}})
}

// logSurround notes how the editor's surround is now.
func (d *desk) logSurround(now time.Time, name string) tidings {
	m := config.SurroundMark{At: now, Name: name}
	return d.logClick(config.Log{Surrounds: []config.SurroundMark{m}}, clicked{"surround " + name, now, config.Fact{Surround: &m}})
}

// logWhite notes the white that the editing display is set to now.
func (d *desk) logWhite(now time.Time, white rules.Luminance) tidings {
	m := config.WhiteMark{At: now, White: white, Display: d.profile.EditingDisplay().Name}
	return d.logClick(config.Log{Whites: []config.WhiteMark{m}}, clicked{fmt.Sprintf("screen white %.0f cd/m²", white), now, config.Fact{White: &m}})
}

// logCalibrated notes that the editing display was calibrated today.
func (d *desk) logCalibrated(now time.Time) tidings {
	m := config.Mark{At: now, Display: d.profile.EditingDisplay().Name}
	return d.logClick(config.Log{Calibrated: []config.Mark{m}}, clicked{"calibrated today", now, config.Fact{Calibrated: &m}})
}

// ownEcho tells that the watch of the profile and its log has found what this program
// has just logged itself.
func (d *desk) ownEcho(f watch.File) bool {
	return filepath.Base(f.Path) == logName && d.log.Knows(f.Size, f.ModTime)
}
