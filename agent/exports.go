package agent

import (
	"context"
	"errors"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/agent/watch"
	"lampblack/rules"
)

// export is a finished file on its way into the journal.
type export struct {
	watch.File
	folder rules.Folder // as it was watched when the file came
	came   time.Time
}

// reading is what came of one export.
type reading struct {
	export
	picture rules.Picture
	err     error
}

// identity is what makes two exports the same; the journal sees it so, too.
type identity struct {
	path  string
	size  int64
	mtime int64 // nanoseconds since 1970
}

func identify(path string, size int64, mtime time.Time) identity {
	return identity{path, size, mtime.UnixNano()}
}

const (
	// unfinishedTries is how often an export that ends in the middle is read
	// before it counts as broken: its writer may only have paused.
	unfinishedTries = 3
	unfinishedWait  = time.Second

	// news is how old a file that a scan finds may be and still be new: a folder
	// that is opened anew, as after an edit of the profile, is scanned for what
	// was written in between.
	news = time.Minute

	// catchUpLimit is how old an export may be and still be caught up. After that
	// its verdict helps nobody, and the journal may no longer know that it has it.
	catchUpLimit = 30 * 24 * time.Hour
)

// enqueue takes a finished file, unless it is on its way into the journal or
// already there.
func (l *loop) enqueue(f watch.File) {
	id := identify(f.Path, f.Size, f.ModTime)
	if l.taken[id] || l.state.journal.Known(f.Path, f.Size, f.ModTime) {
		return
	}
	now := l.o.Now()
	f.CatchUp = f.CatchUp && now.Sub(f.ModTime) > news
	l.taken[id] = true
	l.queue = append(l.queue, export{f, l.folderOf(f), now})
	l.gathered.arrived = now
	l.sense(now, senseAgain)
}

// folderOf is the first folder of the profile that claims a file.
func (l *loop) folderOf(f watch.File) rules.Folder {
	found := l.watched[f.Folder]
	for _, earlier := range l.watched[:f.Folder] {
		if earlier.Path == found.Path && matches(earlier.Match, filepath.Base(f.Path)) {
			return earlier
		}
	}
	return found
}

func matches(patterns []string, name string) bool {
	return len(patterns) == 0 || slices.ContainsFunc(patterns, func(p string) bool {
		ok, err := path.Match(strings.ToLower(p), strings.ToLower(name))
		return ok && err == nil
	})
}

// feed hands the next export to the reader when that is free.
func (l *loop) feed() {
	if l.reading || l.sensing.asked || len(l.queue) == 0 {
		return
	}
	next := l.queue[0]
	l.queue = l.queue[1:]
	if len(l.queue) == 0 {
		l.queue = nil // give back what a burst has grown
	}
	select {
	case l.jobs <- next:
		l.reading = true
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
			r.picture, r.err = patiently(l.ctx, func() (rules.Picture, error) { return l.o.Reader.Measure(l.ctx, e.Path) })
			select {
			case l.read <- r:
			case <-l.ctx.Done():
				return
			}
		}
	}
}

// patiently reads a file, and again when it ends in the middle.
func patiently[T any](ctx context.Context, read func() (T, error)) (T, error) {
	for try := 1; ; try++ {
		what, err := read()
		if !errors.Is(err, picture.ErrUnfinished) || try == unfinishedTries {
			return what, err
		}
		select {
		case <-time.After(unfinishedWait):
		case <-ctx.Done():
			return what, ctx.Err()
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
	now := l.o.Now()
	e := journal.Entry{At: now, Path: r.Path, Size: r.Size, ModTime: r.ModTime, CatchUp: r.CatchUp}
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

// judge evaluates an export under the conditions of its time.
func (l *loop) judge(r reading) *rules.Report {
	at := r.came
	if r.CatchUp {
		at = r.ModTime
	}
	report := rules.Evaluate(l.profile, rules.Export{File: r.Path, Folder: r.folder, Picture: r.picture}, at)
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
