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
	path    string // that is watched; empty: none
	stop    context.CancelFunc
	since   time.Time // when it was first watched
	events  chan watch.Event
	seen    *photos
	queue   []watch.File
	reading bool // a photograph is with the reader
	jobs    chan watch.File
	read    chan lightPhoto
}

// lightPhoto is what came of one photograph.
type lightPhoto struct {
	watch.File
	photo picture.Photograph
	err   error
}

func newLightFolder(stateDir string) *lightFolder {
	return &lightFolder{
		seen: readPhotos(stateDir),
		jobs: make(chan watch.File),
		read: make(chan lightPhoto),
	}
}

// photoNames are the names of photographs as cameras and telephones write them.
var photoNames = []string{"*.jpg", "*.jpeg", "*.heic", "*.heif", "*.tif", "*.tiff", "*.dng", "*.cr2", "*.nef", "*.arw"}

// watchLight watches the light folder of the profile, if it isn't watched already.
func (l *loop) watchLight() {
	f := l.lights
	path := l.profile.Room.LightFolder
	if path == f.path {
		return
	}
	if f.stop != nil {
		f.stop()
	}
	l.troubles.endAll(lightFolderTrouble)
	l.troubles.endAll(lightPhotoTrouble)
	f.path, f.stop, f.queue, f.events = path, nil, nil, nil
	if path == "" {
		return
	}
	ctx, stop := context.WithCancel(l.ctx)
	f.since = l.state.firstWatched([]rules.Folder{{Path: path}}, l.o.Now())[0]
	events := make(chan watch.Event) // of its own: the old watch may still be sending
	f.stop, f.events = stop, events
	places := []watch.Folder{{Path: path, Match: photoNames}}
	l.hands.Go(func() { l.o.Watch(ctx, places, watch.Options{Settle: l.o.Settle}, events) })
}

// onLight takes what the watch of the light folder found.
func (l *loop) onLight(e watch.Event) {
	f := l.lights
	switch {
	case e.Trouble != nil && e.Trouble.Over:
		l.troubles.end(lightFolderTrouble, e.Trouble.Code)
	case e.Trouble != nil && e.Trouble.Code != watch.Overflow:
		l.troubles.begin(lightFolderTrouble, e.Trouble.Code, e.Trouble.Text, l.o.Now())
	case e.File == nil || f.seen.has(*e.File) || l.tooOld(*e.File):
	default:
		f.queue = append(f.queue, *e.File)
	}
}

// tooOld tells a photograph that lay in the folder before it was first watched,
// or longer than it is remembered, from a new one.
func (l *loop) tooOld(p watch.File) bool {
	return p.CatchUp && (came(p).Before(l.lights.since.Add(-stampSlack)) || p.ModTime.Before(l.o.Now().Add(-catchUpLimit)))
}

// feedLight hands the next photograph to the reader when that is free.
func (l *loop) feedLight() {
	f := l.lights
	if f.reading || len(f.queue) == 0 {
		return
	}
	select {
	case f.jobs <- f.queue[0]:
		f.queue, f.reading = f.queue[1:], true
	case <-l.ctx.Done():
	}
}

// readLight reads one photograph after the other.
func (l *loop) readLight() {
	for {
		select {
		case <-l.ctx.Done():
			return
		case file := <-l.lights.jobs:
			p := lightPhoto{File: file}
			p.photo, p.err = l.readPatiently(file.Path)
			select {
			case l.lights.read <- p:
			case <-l.ctx.Done():
				return
			}
		}
	}
}

// readPatiently reads a photograph, and again when it ends in the middle.
func (l *loop) readPatiently(path string) (picture.Photograph, error) {
	for try := 1; ; try++ {
		photo, err := l.o.Reader.Photograph(l.ctx, path)
		if !errors.Is(err, picture.ErrUnfinished) || try == unfinishedTries {
			return photo, err
		}
		select {
		case <-time.After(unfinishedWait):
		case <-l.ctx.Done():
			return photo, l.ctx.Err()
		}
	}
}

// mostPhotoTroubles is how many photographs that tell nothing the menu names: the
// folder may be the one to which a telephone copies all of its pictures.
const mostPhotoTroubles = 3

// onLightPhoto logs the light of a photograph, or says in one sentence why it
// has none to tell. Either way it is done with.
func (l *loop) onLightPhoto(p lightPhoto) {
	l.lights.reading = false
	if l.ctx.Err() != nil || errors.Is(p.err, picture.ErrVanished) {
		return // read at the next start, or moved away
	}
	r, err := l.lightIn(p)
	switch {
	case err != nil:
		text := fmt.Sprintf("Light folder: %s: %v", filepath.Base(p.Path), err)
		l.say(text)
		l.troubles.begin(lightPhotoTrouble, p.Path, text, l.o.Now())
		l.troubles.keepNewest(lightPhotoTrouble, mostPhotoTroubles)
	case !l.logLight(r):
		return // not noted as seen: it is read again at the next start
	default:
		l.troubles.endAll(lightPhotoTrouble)
	}
	l.lights.seen.add(p.File, l.o.Now())
}

// lightIn is the reading that a photograph makes.
func (l *loop) lightIn(p lightPhoto) (rules.Reading, error) {
	if p.err != nil {
		return rules.Reading{}, p.err
	}
	m, err := rules.Meter(p.photo.Shot, l.profile.Room.LightOf, 0)
	if err != nil {
		return rules.Reading{}, err
	}
	r := m.Reading()
	r.At, r.Place, r.Note, r.Source = Taken(p.photo, p.ModTime, l.o.Now()), rules.AtScreen, "photographed", rules.FromPhotograph
	if r.Light > rules.MostLux {
		return rules.Reading{}, fmt.Errorf("%.0f lx is no light of a room: photograph a sheet at the screen", float64(r.Light))
	}
	return r, nil
}
