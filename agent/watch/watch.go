// Package watch turns watched folders into finished files.
//
// A file is finished when it has rested: no event and no change of size or
// modification time for [Options].Settle, and no program that still has it open
// for writing. Every finished state of a file is handed over exactly once,
// whatever the way it came about: written in one go or in pieces, written beside
// and renamed, overwritten in place, moved in, or found by a scan. A state is
// a path, a size, a modification time, and where the system keeps it the time of
// the last change of any kind, which no program can set. On drives that keep only
// whole seconds, what was written twice within one may be handed over twice: the
// receiver can tell by its content.
//
// What is promised per system: on Linux and Windows a program that holds a file
// open for writing is noticed, on macOS and elsewhere only that the file rests.
// Windows keeps no time of the last change: there a file that is overwritten and
// given its old size and modification time goes unnoticed. On network drives the
// events of other computers don't arrive; there a scan at every [Options].Tick
// finds the files. So it does in a folder that the system has no room to watch:
// macOS spends a file handle on each file in a folder.
//
// Subfolders are watched where [Folder].Subfolders says so, as a profile does unless it
// states otherwise: editors make folders for days and jobs, and an export that goes
// unseen is the worse mistake.
//
// What watching costs, measured on two cores shared with other work, by .ci/bench/agent
// with IDLE=10m, by the tests of kills and bursts in cmd/lampblack, and by this
// package's benchmarks:
//
//	resident, idle, with tray and three folders     11.0 MB (4.6 anonymous; promised: 12)
//	resident, idle again after a TIFF of 100 MP     7.5 MB
//	moments at which the idle agent wakes, a minute 1.5 (promised: 2)
//	CPU time of an idle minute                      1 ms (promised: 6)
//	5000 exports in a minute                        journaled after 88 s, 18 MB at most
//	300 kills in 109 s, 1564 exports                none lost, none twice
//	a folder of 100 000 exports                     0.38 s at first, 0.31 s a poll, 2.3 MB
//
// One wake-up a minute is the tick, at which each folder is held against the one that
// was opened: an unmounted drive sends no event. The Go runtime collects garbage every
// two minutes, and the menu's ages are brought up to date every five.
package watch

import (
	"context"
	"path/filepath"
	"sync"
	"time"
)

// Folder is one folder to watch.
type Folder struct {
	Path  string
	Match []string // file-name patterns in the syntax of path.Match, compared without regard to case; none: every name

	// Subfolders says that what lies below the folder is watched, too: in folders
	// that are not hidden, at most maxDepth deep, maxFolders in all. Links to
	// folders are not followed.
	Subfolders bool

	// Poll scans the folder that often, besides listening to its events; 0: only
	// where events can't be trusted, at every tick.
	Poll time.Duration
}

// File is a finished file: the state in which it rested.
type File struct {
	Folder  int // index into the folders given to Watch
	Path    string
	Size    int64 // bytes, never 0
	ModTime time.Time
	Changed time.Time // the last change of any kind, as of a move into the folder; zero where the system doesn't keep it
	Written bool      // an event told that it was written or put there: its content may be new even if nothing else is
	CatchUp bool      // already there at the first look into a folder that was not watched before: it may have been written while nobody watched
}

// Trouble is something that keeps a folder from being watched as it should be.
// It is told once when it begins and once, with Over, when it has healed.
// Within one folder a code is never told twice without an Over between.
type Trouble struct {
	Folder int
	Code   string // one of the codes below
	Text   string // a plain sentence: what, where, what to do
	Over   bool   // it has healed
}

// The codes of troubles.
const (
	Missing      = "missing"       // the folder is not there
	Unreadable   = "unreadable"    // it is there and can't be read: no permission, or not a folder
	NotAnswering = "not-answering" // its drive doesn't answer
	Limit        = "limit"         // the system has no watch left for it: it is scanned at every Tick instead
	TooMany      = "too-many"      // it holds so many files that old ones can't be told from new ones by a scan
	TooDeep      = "too-deep"      // it holds more subfolders, or deeper ones, than are watched
	Overflow     = "overflow"      // events were lost; a scan makes up for them
	Growing      = "growing"       // a file has not come to rest for MaxWait
)

// Event carries a file or a trouble; the other one is nil.
type Event struct {
	File    *File
	Trouble *Trouble
}

// Options tune the watch. The zero value of each field means its default.
type Options struct {
	// Settle is how long a file must rest to count as finished. Default 300 ms:
	// programs that write in pieces pause for tens of milliseconds.
	Settle time.Duration

	// MaxWait bounds two waits. A file that rests but is still held open by
	// a program is handed over after MaxWait: some editors never let go of what
	// they saved. A file that keeps changing for MaxWait gives the trouble
	// Growing, and is handed over when it rests, not before: a verdict on half
	// a picture would be wrong. Default 30 s.
	MaxWait time.Duration

	// Tick is the only thing that wakes an idle watch: it checks that each
	// folder is still the one that was opened, and scans those whose events
	// can't be trusted. All folders share one tick. Default 60 s.
	Tick time.Duration

	// Known says of a file that it needs no event, because the journal has it
	// or because it is too old to matter. It is called from several goroutines.
	// Default: nothing is known.
	Known func(File) bool
}

const (
	defaultSettle  = 300 * time.Millisecond
	defaultMaxWait = 30 * time.Second
	defaultTick    = 60 * time.Second
)

func (o Options) withDefaults() Options {
	if o.Settle <= 0 {
		o.Settle = defaultSettle
	}
	if o.MaxWait <= 0 {
		o.MaxWait = defaultMaxWait
	}
	if o.Tick <= 0 {
		o.Tick = defaultTick
	}
	if o.Known == nil {
		o.Known = func(File) bool { return false }
	}
	return o
}

// closeGrace is how long Watch waits, at its end, for calls into drives that
// don't answer.
const closeGrace = 2 * time.Second

// Watch sends the finished files of the folders, and the troubles in the way,
// until ctx ends; then it returns, with all its goroutines ended. The one
// exception is a goroutine inside a system call on a drive that doesn't answer:
// nothing can interrupt that, so Watch stops waiting for it after 2 s.
//
// Sends to out block, so a slow receiver slows the watch down and loses nothing.
func Watch(ctx context.Context, folders []Folder, o Options, out chan<- Event) {
	o = o.withDefaults()
	var owners, hands sync.WaitGroup
	start := time.Now()
	for i, f := range folders {
		f.Path = filepath.Clean(f.Path)
		w := newWatched(ctx, i, f, o, out)
		w.start, w.hands = start, &hands
		owners.Go(w.run)
	}
	<-ctx.Done()
	owners.Wait()
	waitAtMost(&hands, closeGrace)
}

func waitAtMost(wg *sync.WaitGroup, d time.Duration) {
	done := make(chan struct{})
	go func() { wg.Wait(); close(done) }()
	select {
	case <-done:
	case <-time.After(d):
	}
}
