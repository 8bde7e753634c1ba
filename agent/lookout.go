package agent

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"lampblack/agent/watch"
	"lampblack/rules"
)

// lookout is a watch, which can be begun anew.
type lookout struct {
	events chan watch.Event // nil: nothing is watched
	stop   context.CancelFunc
}

// end ends the watch, if there is one.
func (w *lookout) end() {
	if w.stop != nil {
		w.stop()
	}
	*w = lookout{}
}

// watch begins a watch, in place of the one before. places are called beside the loop.
func (l *loop) watch(w *lookout, what string, places func() []watch.Folder, o watch.Options) {
	w.end()
	ctx, stop := context.WithCancel(l.ctx)
	// A channel of its own: what the old watch still sends is about old folders.
	events := make(chan watch.Event)
	w.events, w.stop = events, stop
	begin := l.o.Watch
	errand(ctx, &l.hands, what, func(ctx context.Context, _ string) (nothing, error) {
		begin(ctx, places(), o, events)
		return nothing{}, nil
	}, l.answers.watches)
}

// onWatchEnded takes that a watch is over, though nobody wanted it to be.
func (l *loop) onWatchEnded(a answer[string, nothing]) {
	if a.err == nil {
		return
	}
	text := fmt.Sprintf("%s can't be watched any more: %v; quit Lampblack, and start it again", a.about, a.err)
	var t tidings
	t.sayAndBegin(faultTrouble, a.about, text)
	l.tell(t)
}

// watchProfile watches the profile and its log like a folder of exports: an
// editor saves a profile in the same ways.
func (l *loop) watchProfile() {
	path := l.o.ProfilePath
	places := func() []watch.Folder {
		// Made now, the profile's folder can be watched before anything is in it.
		_ = os.MkdirAll(filepath.Dir(path), 0o700)
		return profilePlaces(path)
	}
	// The slow look is for a folder that comes back; it needs no hurry.
	l.watch(&l.edits, "The profile", places, watch.Options{Settle: 100 * time.Millisecond, Tick: refresh})
}

// watchFolders watches the folders of the profile, if they are not the ones
// that are watched already.
func (l *loop) watchFolders() {
	anew, t := l.exports.follow(l.desk.profile.Folders)
	l.tell(t)
	if anew || l.folders.stop == nil {
		l.watchAgain()
	}
}

// watchAgain watches the folders anew, and so catches up with what the journal
// doesn't have.
func (l *loop) watchAgain() {
	if l.desk.profile == nil {
		return // it is about to be loaded
	}
	var t tidings
	t.endAll(folderTrouble)
	t.endAll(growingTrouble)
	l.tell(t)
	folders := l.exports.watched
	o := watch.Options{Settle: l.o.Settle, Known: l.exports.known(folders, l.o.Now())}
	l.watch(&l.folders, "The folders of exports", func() []watch.Folder { return places(folders) }, o)
}

// watchLight watches the light folder of the profile, if it isn't watched already.
func (l *loop) watchLight() {
	path := l.desk.profile.Room.LightFolder
	if path == l.desk.lights.path {
		return
	}
	l.photos.end()
	var since time.Time
	if path != "" {
		since = l.exports.state.firstWatched([]rules.Folder{{Path: path}}, l.o.Now())[0]
	}
	l.tell(l.desk.lights.move(path, since))
	if path != "" {
		place := []watch.Folder{{Path: path, Match: photoNames}}
		l.watch(&l.photos, "The light folder", func() []watch.Folder { return place }, watch.Options{Settle: l.o.Settle})
	}
}
