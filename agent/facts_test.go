package agent

import (
	"os"
	"testing"
	"time"

	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/config/log"
	"lampblack/rules"
)

// tellOfLog tells a loop what the watch tells of its log as it is now.
func (l *loop) tellOfLog(t *testing.T) {
	t.Helper()
	path := LogPath(l.o.ProfilePath)
	info, err := os.Stat(path)
	mustNot(t, err)
	l.onEdited(watch.Event{File: &watch.File{Path: path, Size: info.Size(), ModTime: info.ModTime(), Written: true}})
}

// TestOwnEcho: what the loop has logged itself comes back from the watch, and loads
// nothing; what another program has logged does.
func TestOwnEcho(t *testing.T) {
	l := testLoop(t, "")
	l.onCommand(tray.Command{Kind: tray.LogLight, Lux: 40})
	l.tellOfLog(t) // of a file that was made by it
	l.onCommand(tray.Command{Kind: tray.LogLight, Lux: 50})
	mustNot(t, os.WriteFile(l.o.ProfilePath, []byte("[target]\nroom_lx = 50.0\n"), 0o600))
	l.tellOfLog(t)
	if l.desk.profile.Target.Room == 50 || len(l.desk.profile.Readings) != 2 {
		t.Errorf("of its own readings it loaded the profile again, or lost one: %v", l.desk.profile.Readings)
	}
	mustNot(t, log.Append(LogPath(l.o.ProfilePath), &log.Reading{Reading: rules.Reading{At: morning, Light: 60, Place: rules.AtScreen}}))
	l.tellOfLog(t)
	if l.desk.profile.Target.Room != 50 || len(l.desk.profile.Readings) != 3 {
		t.Errorf("of another's reading it didn't load anew: %v", l.desk.profile.Readings)
	}
}

// TestLogOfYears: a loop keeps the readings that can still matter.
func TestLogOfYears(t *testing.T) {
	l := testLoop(t, "")
	path := LogPath(l.o.ProfilePath)
	const day = 24 * time.Hour // the thirty that are caught up, and a week before them
	for _, ago := range []time.Duration{37*day + 2*time.Hour, 37*day + time.Hour, 37*day - time.Hour, 0} {
		mustNot(t, log.Append(path, &log.Reading{Reading: rules.Reading{At: morning.Add(-ago), Light: 60, Place: rules.AtScreen}}))
	}
	l.loadProfile()
	if n := len(l.desk.profile.Readings); n != 3 { // the newest of the old ones, too
		t.Errorf("it keeps %d readings: %+v", n, l.desk.profile.Readings)
	}
}
