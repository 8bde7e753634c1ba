package agent

import (
	"reflect"
	"time"

	"lampblack/agent/watch"
	"lampblack/rules"
)

const (
	// news is how old a file that a scan finds may be and still be new: a folder
	// that is opened anew, as after an edit of the profile, is scanned for what
	// was written in between.
	news = time.Minute

	// catchUpLimit is how old an export may be and still be caught up. After that
	// its verdict helps nobody, and the journal may no longer know that it has it.
	catchUpLimit = 30 * 24 * time.Hour
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

// stampSlack is how far a file's time can lag behind the clock: a tick of the
// kernel's on Linux, two seconds on a FAT drive. An export written just after its
// folder came to be watched must not look older than that.
const stampSlack = 2 * time.Second

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

// came is when a file came to where it is, as far as its times tell: a file that is
// moved or linked into a folder keeps the time at which it was written.
func came(f watch.File) time.Time {
	if f.Changed.After(f.ModTime) {
		return f.Changed
	}
	return f.ModTime
}

// places are the folders as the watch wants them.
func places(folders []rules.Folder) []watch.Folder {
	out := make([]watch.Folder, len(folders))
	for i, f := range folders {
		out[i] = watch.Folder{Path: f.Path, Match: f.Match, Subfolders: f.Subfolders, Poll: f.Poll}
	}
	return out
}

// rest notes, once nothing is on its way any more, that all that was changed before the
// watch began has been looked at.
func (u *underway) rest() {
	if u.idle() && len(u.unkept) == 0 {
		u.state.hasLooked(u.caughtUp)
	}
}
