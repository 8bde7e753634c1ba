package agent

import (
	"path/filepath"
	"time"

	"lampblack/agent/watch"
	"lampblack/config/log"
	"lampblack/rules"
)

// logNeeded is how far back readings of the room are needed: of an export that is
// caught up, those of the week before it.
const logNeeded = catchUpLimit + 7*24*time.Hour

// applyLog is a profile with the log as it is now.
func (l *loop) applyLog(w written) *rules.Profile {
	known, recovered, err := l.log.Read(l.o.Now().Add(-max(logNeeded, catchUpLimit+w.profile.Room.ReadingLife)))
	if recovered != "" {
		l.say(recovered)
	}
	l.tellLog("reading", err)
	return known.Apply(w.profile, w.modified)
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
func (l *loop) logLight(r rules.Reading) bool { return l.note(&log.Reading{Reading: r}) }

// logClickedLight notes the room light that was picked from the menu.
func (l *loop) logClickedLight(now time.Time, light rules.Lux) {
	l.logClick(&log.Reading{Reading: rules.Reading{At: now, Light: light, Place: rules.AtScreen, Source: rules.FromClick}})
}

// logSurround notes how the editor's surround is now.
func (l *loop) logSurround(now time.Time, name string) {
	l.logClick(&log.Surround{About: log.About{At: now, Source: rules.FromClick}, Name: name})
}

// logWhite notes the white that the editing display is set to now.
func (l *loop) logWhite(now time.Time, white rules.Luminance) {
	l.logClick(&log.White{About: l.ofEditing(now), White: white})
}

// logCalibrated notes that the editing display was calibrated today.
func (l *loop) logCalibrated(now time.Time) { l.logClick(&log.Calibrated{About: l.ofEditing(now)}) }

// ofEditing is that something was clicked about the editing display.
func (l *loop) ofEditing(now time.Time) log.About {
	return log.About{At: now, Source: rules.FromClick, Display: l.profile.EditingDisplay().Name}
}

// note writes to the log what has come to be known, takes it over, and tells whether
// it could.
func (l *loop) note(f log.Fact) bool {
	err := l.log.Append(f)
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
