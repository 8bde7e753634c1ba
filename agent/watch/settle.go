package watch

import (
	"cmp"
	"slices"
	"time"
)

// This file decides when a file is finished. It knows no clock and no disk.

// state is what must not change for a file to rest. Two equal states of a path
// are the same export.
type state struct {
	size   int64
	mtime  int64 // nanoseconds since 1970
	change int64 // the time of the last change of any kind; 0 where the system doesn't keep it
}

// coarse tells a state on a drive that keeps whole seconds, on which two writes
// within one or two seconds can't be told apart. By chance a fine time looks so once
// in some hundred: then a file may only be handed over once too often.
func (s state) coarse() bool { return s.change != 0 && s.change%int64(time.Second) == 0 }

// look is what the disk says of a file at one moment.
type look struct {
	state
	gone   bool // not there, or neither a regular file nor a folder
	folder bool
	held   bool // a program has it open for writing
}

// maxHeldWait is the longest pause between two looks at a file that only waits
// for a program to close it: no event tells when that happens.
const maxHeldWait = 2 * time.Second

// emptyRest is how long an empty file must rest: many are empty at first, and an
// export that stays empty is one that failed.
const emptyRest = time.Minute

// maxWaiting bounds the files that wait at one time, about 2 MB. The rest is
// found by a scan when these have gone through.
const maxWaiting = 8192

// waiting is a file on its way to being finished.
type waiting struct {
	first   time.Time     // the beginning of this run of changes
	last    time.Time     // the last sign of change
	due     time.Time     // when to look next
	rest    time.Duration // how long it must rest
	pause   time.Duration // between looks while a program holds the file
	seen    state         // at the last look, when looked is set
	looked  bool          // nothing has happened since the last look, as far as we were told
	written bool          // an event told that it was written or put there
	catchUp bool
}

// settler holds the files of one folder that are not finished yet.
type settler struct {
	settle, maxWait time.Duration
	max             int
	files           map[string]*waiting
	missed          bool // a file found no room, and a scan must find it again
}

func newSettler(settle, maxWait time.Duration) *settler {
	return &settler{settle: settle, maxWait: maxWait, max: maxWaiting, files: map[string]*waiting{}}
}

// touch notes that something happened to a file. It is called for every event,
// hundreds of times for a large file, so it only takes a note. written is false
// for what leaves the content as it is.
func (s *settler) touch(name string, written bool, now time.Time) {
	w := s.files[name]
	if w == nil {
		if w = s.admit(name, now); w == nil {
			return
		}
	}
	w.last, w.looked, w.catchUp, w.pause, w.rest = now, false, false, 0, s.settle
	w.written = w.written || written
	if rested := now.Add(w.rest); w.due.After(rested) { // it was looked at seldom until now
		w.due = rested
	}
}

// found notes that a scan met a file in a state that was not handed over. As no
// event tells of it, the caller says how long it must rest.
func (s *settler) found(name string, st state, rest time.Duration, catchUp bool, now time.Time) {
	if s.files[name] != nil {
		return
	}
	if w := s.admit(name, now); w != nil {
		w.last, w.seen, w.looked, w.catchUp = now, st, true, catchUp
		w.rest, w.due = rest, now.Add(rest)
	}
}

func (s *settler) admit(name string, now time.Time) *waiting {
	if len(s.files) >= s.max {
		s.missed = true
		return nil
	}
	w := &waiting{first: now, rest: s.settle, due: now.Add(s.settle)}
	s.files[name] = w
	return w
}

// drop forgets a file: removed, renamed away, or handed over.
func (s *settler) drop(name string) { delete(s.files, name) }

// due returns the files to look at now, the longest quiet first. Those that had
// an event since their last look are only put off: no need to ask the disk.
func (s *settler) due(now time.Time) []string {
	var names []string
	for name, w := range s.files {
		if w.due.After(now) {
			continue
		}
		if rested := w.last.Add(w.rest); rested.After(now) {
			w.due = rested
			continue
		}
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(s.files[a].last.Compare(s.files[b].last), cmp.Compare(a, b))
	})
	return names
}

// judge takes a look at a file that was due, and tells whether it is finished.
// A finished file stays until it is dropped; one that is gone is dropped here, as
// an event will tell when it comes to something.
func (s *settler) judge(name string, l look, now time.Time) (finished bool) {
	w := s.files[name]
	switch {
	case w == nil:
		return false
	case l.gone || l.folder:
		s.drop(name)
		return false
	case l.size == 0 && now.Sub(w.last) < emptyRest:
		w.due = w.last.Add(emptyRest)
	case w.looked && w.seen != l.state: // it changed and no event came
		w.last, w.pause = now, 0
		w.due = now.Add(w.rest)
	case l.held && now.Sub(w.last) < s.maxWait:
		w.pause = min(max(2*w.pause, s.settle), maxHeldWait)
		w.due = now.Add(w.pause)
	default:
		return true
	}
	w.seen, w.looked = l.state, true
	return false
}

// history tells of a file that waits whether it was only found by a catch-up scan
// so far, and whether it was seen being written.
func (s *settler) history(name string) (catchUp, written bool) {
	w := s.files[name]
	return w != nil && w.catchUp, w != nil && w.written
}

// growing returns one of the files that have kept changing for maxWait.
func (s *settler) growing(now time.Time) (name string, since time.Duration, any bool) {
	for n, w := range s.files {
		if d := now.Sub(w.first); d >= s.maxWait && w.last.Sub(w.first) >= s.maxWait && d > since {
			name, since, any = n, d, true
		}
	}
	return name, since, any
}

// next returns the time of the next look; ok is false when nothing waits.
func (s *settler) next() (t time.Time, ok bool) {
	for _, w := range s.files {
		if !ok || w.due.Before(t) {
			t, ok = w.due, true
		}
	}
	return t, ok
}
