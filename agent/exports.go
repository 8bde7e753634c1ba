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

// reading is what came of one export.
type reading struct {
	export
	found picture.Examined
	err   error
}

// identity tells exports apart before they are read.
func (e export) identity() journal.Identity { return journal.Identify(e.Path, e.Size, e.ModTime) }

// stage is how far an export has come on its way into the journal.
type stage int

const (
	queued stage = iota + 1
	handed       // to the reader, and then to the journal
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

// enqueue takes a finished file, unless it is on its way into the journal or
// already there. One that was seen being written is read all the same: only its
// content tells whether it is another export.
func (l *loop) enqueue(f watch.File) {
	id := journal.Identify(f.Path, f.Size, f.ModTime)
	switch {
	case l.owner(f) != f.Folder: // which hands it over, too
		return
	case filepath.Dir(f.Path) == l.profile.Room.LightFolder: // photographs of a sheet
		return
	case l.taken[id] == queued:
		return
	case !f.Written && (l.taken[id] != 0 || l.state.known(f)):
		return
	}
	now := l.o.Now()
	f.CatchUp = f.CatchUp && now.Sub(f.ModTime) > news
	l.taken[id] = queued
	l.queue = append(l.queue, export{File: f, folder: &l.watched[f.Folder], came: now})
	l.gathered.arrived = now
	l.sense(now, senseAgain)
}

// owner is the folder of the profile that a file belongs to; where none claims it, the
// one that saw it: no export is lost over how a path is written.
func (l *loop) owner(f watch.File) int {
	if i := rules.OwnerOf(l.watched, f.Path); i >= 0 {
		return i
	}
	return f.Folder
}

// feed hands the next export to the reader when that is free.
func (l *loop) feed(now time.Time) {
	due, ok := l.feedDue()
	if !ok || now.Before(due) {
		return
	}
	next := l.next()
	select {
	case l.jobs <- next:
		l.reading = true
		l.taken[next.identity()] = handed
	case <-l.ctx.Done():
	}
}

// readPictures reads one export after the other: the editor needs the machine
// more than we do.
func (l *loop) readPictures() {
	for {
		select {
		case <-l.ctx.Done():
			return
		case e := <-l.jobs:
			r := reading{export: e}
			r.found, r.err = l.o.Reader.Examine(l.ctx, e.Path)
			select {
			case l.read <- r:
			case <-l.ctx.Done():
				return
			}
		}
	}
}

// onRead judges an export that has been read, journals it, and keeps it for
// the notice when it is worth one.
func (l *loop) onRead(r reading) {
	l.reading = false
	if l.ctx.Err() != nil {
		return // ended while reading: it is caught up at the next start
	}
	if r.overtaken() {
		l.release(r.identity())
		return
	}
	if l.putOff(r) {
		return
	}
	if l.unchanged(r) {
		l.release(r.identity())
		return
	}
	now := l.o.Now()
	e := journal.Entry{At: now, Path: r.Path, Size: r.Size, ModTime: r.ModTime, Hash: r.found.Hash, CatchUp: r.CatchUp}
	if r.err != nil {
		e.Unread = r.err.Error()
		e.Silence = "the file could not be read"
	} else {
		l.learn()
		e.Report = l.judge(r)
		e.Silence = l.silence(e.Report, r.CatchUp, now)
		l.gathered.add(e, now)
		l.addPrint(e)
	}
	l.setLast(e)
	l.keep(e)
}

// overtaken tells that the file was overwritten before it was read. What it held is
// gone, and what it holds now is handed over by itself.
func (r reading) overtaken() bool {
	return !r.found.ModTime.IsZero() && (r.found.Size != r.Size || !r.found.ModTime.Equal(r.ModTime))
}

// unchanged tells that the reading brought nothing new: the export was only touched,
// or moved away and back, or told of twice. The same picture exported once more is
// new, though: the light may be another.
func (l *loop) unchanged(r reading) bool {
	if l.state.has(r.Path, r.Size, r.ModTime, r.found.Hash) || !r.Written && l.state.unchanged(r.Path, r.Size, r.found.Hash) {
		return true
	}
	return slices.ContainsFunc(l.unkept, func(e journal.Entry) bool {
		return e.Hash != "" && e.Path == r.Path && e.Size == r.Size && e.Hash == r.found.Hash && (!r.Written || e.ModTime.Equal(r.ModTime))
	})
}

// release forgets that an export is on its way.
func (l *loop) release(id journal.Identity) {
	delete(l.taken, id)
	if len(l.taken) == 0 {
		l.taken = map[journal.Identity]stage{} // a map never gives back what a burst has grown
	}
}

// judge evaluates an export under the conditions of its time.
func (l *loop) judge(r reading) *rules.Report {
	at := r.came
	if r.CatchUp {
		at = r.ModTime
	}
	report := rules.Evaluate(l.profile, rules.Export{File: r.Path, Folder: *r.folder, Picture: r.found.Picture}, at)
	// The tones have done their work, and in a burst they would add up.
	report.Picture.Tones, report.Picture.Colours = nil, nil
	return report
}

func (l *loop) silence(r *rules.Report, catchUp bool, now time.Time) string {
	if catchUp {
		return "it was made while its folder was not watched"
	}
	return rules.Decide(r, l.profile.Quiet, l.history, now)
}

// setLast makes an entry the one that the menu tells of.
func (l *loop) setLast(e journal.Entry) {
	l.last, l.lastLine = tellOf(e)
}
