package agent

import (
	"path/filepath"
	"slices"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/agent/watch"
	"lampblack/rules"
)

// export is a finished file on its way into the journal.
type export struct {
	watch.File
	folder *rules.Folder // as it was watched when the file came; shared, for thousands may wait
	came   time.Time
	tries  int // how often it was handed to the reader
}

// examined is what came of reading one export.
type examined = answer[export, picture.Examined]

// underway are the exports on their way: from their folder to the reader, and into the
// journal. Which folders are watched is known here, too.
type underway struct {
	state      *state // the journal, and what else is on the disk
	watched    []rules.Folder
	stages     map[journal.Identity]stage // of what is queued, read, or not yet kept
	queue      []export
	unfinished []unfinished    // those that ended in the middle, the first to be read again first
	atReader   bool            // one is with the reader
	unkept     []journal.Entry // what the journal lacks
	retryAt    time.Time       // when that is tried again; zero when it lacks nothing
	letGone    bool            // an entry was let go: its export must be caught up
	caughtUp   time.Time       // when the watch that runs began: it finds all that was changed before
}

func nothingUnderway(s *state) *underway {
	return &underway{state: s, stages: map[journal.Identity]stage{}}
}

// stage is how far an export has come on its way into the journal.
type stage int

const (
	queued stage = iota + 1
	handed       // to the reader, and then to the journal
)

// news is how old a file that a scan finds may be and still be new: a folder
// that is opened anew, as after an edit of the profile, is scanned for what
// was written in between.
const news = time.Minute

// enqueue takes a finished file, unless it is on its way into the journal or
// already there. One that was seen being written is read all the same: only its
// content tells whether it is another export. It tells whether it took the file.
func (u *underway) enqueue(f watch.File, lightFolder string, now time.Time) (taken bool) {
	id := journal.Identify(f.Path, f.Size, f.ModTime)
	switch {
	case u.owner(f) != f.Folder: // which hands it over, too
		return false
	case filepath.Dir(f.Path) == lightFolder: // photographs of a sheet
		return false
	case u.stages[id] == queued:
		return false
	case !f.Written && (u.stages[id] != 0 || u.state.known(f)):
		return false
	}
	f.CatchUp = f.CatchUp && now.Sub(f.ModTime) > news
	u.stages[id] = queued
	u.queue = append(u.queue, export{File: f, folder: &u.watched[f.Folder], came: now})
	return true
}

// receive takes what came of reading an export, and tells whether it is to be judged.
// Otherwise the export is done with, or is read again.
func (u *underway) receive(r examined, now time.Time) (judge bool) {
	u.atReader = false
	switch {
	case overtaken(r):
		u.release(r.about.identity())
		return false
	case u.putOff(r, now):
		return false
	case u.unchanged(r):
		u.release(r.about.identity())
		return false
	}
	return true
}

// overtaken tells that the file was overwritten before it was read. What it held is
// gone, and what it holds now is handed over by itself.
func overtaken(r examined) bool {
	return !r.found.ModTime.IsZero() && (r.found.Size != r.about.Size || !r.found.ModTime.Equal(r.about.ModTime))
}

// unchanged tells that the reading brought nothing new: the export was only touched,
// or moved away and back, or told of twice. The same picture exported once more is
// new, though: the light may be another.
func (u *underway) unchanged(r examined) bool {
	f, hash := r.about, r.found.Hash
	if u.state.has(f.Path, f.Size, f.ModTime, hash) || !f.Written && u.state.unchanged(f.Path, f.Size, hash) {
		return true
	}
	return slices.ContainsFunc(u.unkept, func(e journal.Entry) bool {
		return e.Hash != "" && e.Path == f.Path && e.Size == f.Size && e.Hash == hash && (!f.Written || e.ModTime.Equal(f.ModTime))
	})
}

// before is the gist of the latest export to a path; nil when none is known.
func (u *underway) before(path string) *rules.Gist {
	for _, e := range slices.Backward(u.unkept) { // later than what the journal has
		if e.Path == path && e.Gist != nil {
			return e.Gist
		}
	}
	return u.state.before(path)
}

// judge evaluates an export under the conditions of its time, by a profile and the gist of
// the export to its path before it.
func judge(p *rules.Profile, r examined, before *rules.Gist) *rules.Report {
	e, at := r.about, r.about.came
	if e.CatchUp {
		at = e.ModTime
	}
	report := rules.Evaluate(p, rules.Export{File: e.Path, Folder: *e.folder, Picture: r.found.Picture, Before: before}, at)
	// The tones have done their work, and in a burst they would add up.
	report.Picture.Tones, report.Picture.Colours = nil, nil
	return report
}

// planAnew brings back what lies further in the future than it was ever planned,
// because the clock was set back since.
func (u *underway) planAnew(now time.Time) {
	if u.retryAt.After(now.Add(keepRetry)) {
		u.retryAt = now
	}
	for i, e := range u.unfinished {
		if e.again.After(now.Add(unfinishedWait)) {
			u.unfinished[i].again = now
		}
	}
}

// rest notes, once nothing is on its way any more, that all that was changed before the
// watch began has been looked at.
func (u *underway) rest() {
	if u.idle() && len(u.unkept) == 0 {
		u.state.hasLooked(u.caughtUp)
	}
}
