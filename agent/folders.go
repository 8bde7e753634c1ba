package agent

import (
	"fmt"
	"reflect"
	"time"

	"lampblack/agent/watch"
	"lampblack/rules"
)

// follow takes over the folders of the profile, and tells whether they must be watched
// anew: others are watched until now.
func (u *underway) follow(folders []rules.Folder) (anew bool, t tidings) {
	if len(folders) == 0 {
		t.begin(nothingWatched, "", "No folder is watched: name one in the profile")
	} else {
		t.end(nothingWatched, "")
	}
	anew = !reflect.DeepEqual(places(folders), places(u.watched))
	u.watched = folders
	return anew, t
}

// known tells the watch which files need no event: those that the journal has,
// those that lay in a folder before it was ever watched, and those too old to be
// caught up. Of a file that was just written nobody knows before it is read. While
// the journal can't be opened, all that was there before counts as known. It is
// called from the watch's goroutines.
func (u *underway) known(folders []rules.Folder, started time.Time) func(watch.File) bool {
	u.caughtUp = started
	since := u.state.firstWatched(folders, started)
	old := started.Add(-catchUpLimit)
	then := *u.state // as it is now: the loop may open it meanwhile
	return func(f watch.File) bool {
		if f.CatchUp && (then.journal == nil || f.ModTime.Before(old) || came(f).Before(since[f.Folder].Add(-stampSlack))) {
			return true
		}
		return !f.Written && then.known(f)
	}
}

// places are the folders as the watch wants them.
func places(folders []rules.Folder) []watch.Folder {
	out := make([]watch.Folder, len(folders))
	for i, f := range folders {
		out[i] = watch.Folder{Path: f.Path, Match: f.Match, Subfolders: f.Subfolders, Poll: f.Poll}
	}
	return out
}

// owner is the folder of the profile that a file belongs to; where none claims it, the
// one that saw it: no export is lost over how a path is written.
func (u *underway) owner(f watch.File) int {
	if i := rules.OwnerOf(u.watched, f.Path); i >= 0 {
		return i
	}
	return f.Folder
}

// ofFolder are the tidings in what the watch says is wrong with a folder.
func ofFolder(w watch.Trouble) (t tidings) {
	k := folderTrouble
	if w.Code == watch.Growing {
		k = growingTrouble
	}
	about := fmt.Sprintf("%d %s", w.Folder, w.Code)
	switch {
	case w.Over:
		t.end(k, about)
	case w.Code != watch.Overflow: // the watch makes up for that by itself
		t.begin(k, about, w.Text)
	}
	return t
}
