package agent

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"lampblack/agent/picture"
	"lampblack/agent/watch"
	"lampblack/rules"
)

// PhotoReader reads what a photograph tells of the light in it. picture.Worker
// does it in a process of its own.
type PhotoReader interface {
	Photograph(ctx context.Context, path string) (picture.Photograph, error)
}

// lightFolder is the folder into which photographs of a sheet are dropped, to be
// logged as readings. Nobody is notified: the menu shows the new reading.
type lightFolder struct {
	path     string    // that is watched; empty: none
	since    time.Time // when it was first watched
	seen     *photos
	queue    []watch.File
	atReader bool // a photograph is with the reader
}

// lightPhoto is what came of one photograph.
type lightPhoto = answer[watch.File, picture.Photograph]

// photoNames are the names of photographs as cameras and telephones write them.
var photoNames = []string{"*.jpg", "*.jpeg", "*.heic", "*.heif", "*.tif", "*.tiff", "*.dng", "*.cr2", "*.nef", "*.arw"}

// move makes another folder the one that is watched, or none, and forgets what is
// about the one before.
func (f *lightFolder) move(path string, since time.Time) (t tidings) {
	t.endAll(lightFolderTrouble)
	t.endAll(lightPhotoTrouble)
	f.path, f.since, f.queue = path, since, nil
	return t
}

// found takes what the watch of the light folder found.
func (f *lightFolder) found(e watch.Event, now time.Time) (t tidings) {
	switch {
	case e.Trouble != nil && e.Trouble.Over:
		t.end(lightFolderTrouble, e.Trouble.Code)
	case e.Trouble != nil && e.Trouble.Code != watch.Overflow:
		t.begin(lightFolderTrouble, e.Trouble.Code, e.Trouble.Text)
	case e.File == nil || f.seen.has(*e.File) || f.tooOld(*e.File, now):
	default:
		f.queue = append(f.queue, *e.File)
	}
	return t
}

// tooOld tells a photograph that lay in the folder before it was first watched,
// or longer than it is remembered, from a new one.
func (f *lightFolder) tooOld(p watch.File, now time.Time) bool {
	return p.CatchUp && (came(p).Before(f.since.Add(-stampSlack)) || p.ModTime.Before(now.Add(-catchUpLimit)))
}

// next hands out the next photograph to be read, one after the other.
func (f *lightFolder) next() (p watch.File, ok bool) {
	if f.atReader || len(f.queue) == 0 {
		return p, false
	}
	p, f.queue, f.atReader = f.queue[0], f.queue[1:], true
	return p, true
}

// readPatiently reads a photograph, and again when it ends in the middle.
func readPatiently(ctx context.Context, r PhotoReader, path string) (picture.Photograph, error) {
	for try := 1; ; try++ {
		photo, err := r.Photograph(ctx, path)
		if !errors.Is(err, picture.ErrUnfinished) || try == unfinishedTries {
			return photo, err
		}
		select {
		case <-time.After(unfinishedWait):
		case <-ctx.Done():
			return photo, ctx.Err()
		}
	}
}

// mostPhotoTroubles is how many photographs that tell nothing the menu names: the
// folder may be the one to which a telephone copies all of its pictures.
const mostPhotoTroubles = 3

// takePhoto logs the light of a photograph, or says in one sentence why it
// has none to tell. Either way it is done with.
func (d *desk) takePhoto(p lightPhoto, now time.Time) (t tidings) {
	if errors.Is(p.err, picture.ErrVanished) {
		return nil // moved away
	}
	r, err := d.lightOf(p, now)
	if err != nil {
		text := fmt.Sprintf("Light folder: %s: %v", filepath.Base(p.about.Path), err)
		t.say(text)
		t = append(t, tiding{does: beginTrouble, kind: lightPhotoTrouble, about: p.about.Path, text: text, most: mostPhotoTroubles})
	} else {
		noted, more := d.logLight(r, now)
		t.add(more)
		if !noted {
			return t // not noted as seen: it is read again at the next start
		}
		t.endAll(lightPhotoTrouble)
	}
	d.lights.seen.add(p.about, now)
	return t
}

// lightOf is the reading that a photograph makes.
func (d *desk) lightOf(p lightPhoto, now time.Time) (rules.Reading, error) {
	if p.err != nil {
		return rules.Reading{}, p.err
	}
	m, err := rules.Meter(p.found.Shot, d.profile.Room.LightOf, 0)
	if err != nil {
		return rules.Reading{}, err
	}
	r := m.Reading()
	r.At, r.Place, r.Note, r.Source = Taken(p.found, p.about.ModTime, now), rules.AtScreen, "photographed", rules.FromPhotograph
	if r.Light > rules.MostLux {
		return rules.Reading{}, fmt.Errorf("%.0f lx is no light of a room: photograph a sheet at the screen", float64(r.Light))
	}
	return r, nil
}
