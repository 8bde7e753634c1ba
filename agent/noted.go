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

// applyLog is a profile with the log as it is now.
func (l *loop) applyLog(w written) *rules.Profile {
	log, recovered, err := l.log.Read(l.o.Now().Add(-max(logNeeded, catchUpLimit+w.profile.Room.ReadingLife)))
	if recovered != "" {
		l.say(recovered)
	}
	l.tellLog("reading", err)
	return log.Apply(w.profile, w.modified)
}

// tellLog shows or ends the trouble with reading or writing the log.
func (l *loop) tellLog(doing string, err error) {
	if err == nil {
		l.troubles.end(logTrouble, doing)
		return
	}
	l.say(err.Error())
	l.troubles.begin(logTrouble, doing, err.Error(), l.o.Now())
}

// logLight notes a reading of the room light, and tells whether it could.
func (l *loop) logLight(r rules.Reading) bool {
	return l.note(config.Log{Readings: []rules.Reading{r}})
}

// logClickedLight notes the room light that was picked from the menu.
func (l *loop) logClickedLight(now time.Time, light rules.Lux) {
	r := rules.Reading{At: now, Light: light, Place: rules.AtScreen}
	l.logClick(config.Log{Readings: []rules.Reading{r}}, clicked{fmt.Sprintf("room light %.0f lx", light), now, config.Fact{Reading: &r}})
}

// logSurround notes how the editor's surround is now.
func (l *loop) logSurround(now time.Time, name string) {
	m := config.SurroundMark{At: now, Name: name}
	l.logClick(config.Log{Surrounds: []config.SurroundMark{m}}, clicked{"surround " + name, now, config.Fact{Surround: &m}})
}

// logWhite notes the white that the editing display is set to now.
func (l *loop) logWhite(now time.Time, white rules.Luminance) {
	m := config.WhiteMark{At: now, White: white, Display: l.profile.EditingDisplay().Name}
	l.logClick(config.Log{Whites: []config.WhiteMark{m}}, clicked{fmt.Sprintf("screen white %.0f cd/m²", white), now, config.Fact{White: &m}})
}

// logCalibrated notes that the editing display was calibrated today.
func (l *loop) logCalibrated(now time.Time) {
	m := config.Mark{At: now, Display: l.profile.EditingDisplay().Name}
	l.logClick(config.Log{Calibrated: []config.Mark{m}}, clicked{"calibrated today", now, config.Fact{Calibrated: &m}})
}

// note writes to the log what has come to be known, takes it over, and tells whether
// it could.
func (l *loop) note(what config.Log) bool {
	err := l.log.Append(what)
	l.tellLog("writing", err)
	if err == nil {
		l.layOver()
	}
	return err == nil
}

// onEdited takes what the watch of the profile and its log found. What this program
// has just logged comes back from there, too, and is no news.
func (l *loop) onEdited(e watch.Event) {
	switch f := e.File; {
	case f == nil:
	case filepath.Base(f.Path) == logName && l.log.Knows(f.Size, f.ModTime):
	default:
		l.loadProfile()
	}
}
