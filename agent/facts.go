package agent

import (
	"path/filepath"
	"time"

	"lampblack/agent/watch"
	"lampblack/config/log"
	"lampblack/rules"
)

// note writes to the log what has come to be known, takes it over, and tells whether
// it could.
func (d *desk) note(f log.Fact, now time.Time) (noted bool, t tidings) {
	err := d.log.Append(f)
	t.add(ofLog("writing", err))
	if err == nil {
		t.add(d.layOver(now))
	}
	return err == nil, t
}

// logLight notes a reading of the room light, and tells whether it could.
func (d *desk) logLight(r rules.Reading, now time.Time) (noted bool, t tidings) {
	return d.note(&log.Reading{Reading: r}, now)
}

// ownEcho tells that the watch of the profile and its log has found what this program
// has just logged itself.
func (d *desk) ownEcho(f watch.File) bool {
	return filepath.Base(f.Path) == logName && d.log.Knows(f.Size, f.ModTime)
}
