package agent

import (
	"time"

	"lampblack/agent/picture"
)

// Taken is when a photograph was taken: by the camera's clock, or else when its
// file, last modified then, was written. A camera whose clock is ahead of now is
// not believed, nor is a file.
func Taken(p picture.Photograph, modified, now time.Time) time.Time {
	if t, ok := p.Taken(now.Location()); ok && !t.After(now) {
		return t
	}
	if modified.After(now) {
		return now
	}
	return modified
}
