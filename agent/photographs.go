package agent

import (
	"encoding/json"
	"path/filepath"
	"time"

	"lampblack/agent/picture"
	"lampblack/agent/watch"
	"lampblack/config/private"
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

// photosFile is where the photographs of the light folder are remembered, so
// that none is logged again after a restart.
const photosFile = "light-photos.json"

// photos are the photographs that were dealt with, by path. The loop owns them.
type photos struct {
	file string
	seen map[string]stamp
}

// stamp is the state of a file.
type stamp struct {
	Size     int64     `json:"size"`
	Modified time.Time `json:"modified"`
}

// readPhotos reads what the state directory remembers. What can't be read is
// forgotten: a photograph that is then logged twice says the same of the same
// moment, and counts once.
func readPhotos(dir string) *photos {
	p := &photos{file: filepath.Join(dir, photosFile)}
	if text, err := private.Read(p.file); err == nil {
		_ = json.Unmarshal(text, &p.seen)
	}
	if p.seen == nil {
		p.seen = map[string]stamp{}
	}
	return p
}

func (p *photos) has(f watch.File) bool {
	s, known := p.seen[f.Path]
	return known && s.Size == f.Size && s.Modified.Equal(f.ModTime)
}

// add remembers a file, and forgets those that are too old to be caught up.
func (p *photos) add(f watch.File, now time.Time) {
	for path, s := range p.seen {
		if now.Sub(s.Modified) > 2*catchUpLimit {
			delete(p.seen, path)
		}
	}
	p.seen[f.Path] = stamp{f.Size, f.ModTime}
	if text, err := json.Marshal(p.seen); err == nil {
		_ = private.Replace(p.file, text) // lost, it costs a reading that is there already
	}
}
