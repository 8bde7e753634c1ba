package agent

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/watch"
	"lampblack/config/private"
	"lampblack/rules"
)

// state is what the agent keeps on disk, in a directory that one agent at a
// time holds. A directory that can't be had right now, on a drive that is not there
// or not writable, is opened later; until then nothing is known of what was.
//
// Exports that lay in a folder before it was first watched are none of ours, so it is
// kept when that was. When a file came to where it is, is the later of its modification
// and of its change: what is moved or linked in keeps the former.
type state struct {
	dir     string
	home    fs.FileInfo // the directory as it was first opened
	lock    *os.File
	journal *journal.Journal     // nil: not opened yet
	first   map[string]time.Time // when each folder was first watched
	unsaved bool                 // first is newer than its file
	looked  time.Time            // all that was changed before that has been looked at
}

// ErrRunning means that another agent holds the state directory.
var ErrRunning = errors.New("already running: look for Lampblack in the tray, if there is one")

const (
	foldersFile = "folders.json"
	runningFile = "running.json"
	lookedFile  = "looked.json"
)

// Running is the agent that holds a state directory, as it says of itself.
type Running struct {
	Process int       `json:"process"`
	Since   time.Time `json:"since"`
	Profile string    `json:"profile"`
}

// WhoRuns is the agent that holds a state directory; ok is false when it hasn't
// said, or none does.
func WhoRuns(dir string) (r Running, ok bool) {
	text, err := private.Read(filepath.Join(dir, runningFile))
	return r, err == nil && json.Unmarshal(text, &r) == nil
}

// tellRunning says that this agent holds the directory. It only helps people: the
// lock is what counts.
func (s *state) tellRunning(profile string, now time.Time) {
	if s.lock == nil {
		return
	}
	if text, err := json.Marshal(Running{os.Getpid(), now, profile}); err == nil {
		_ = private.Replace(filepath.Join(s.dir, runningFile), text)
	}
}

// openState opens the state directory if it can be had. An error means that the
// agent must not run: another one does, or a newer version has written there.
func openState(dir string) (*state, error) {
	s := &state{dir: dir, first: map[string]time.Time{}}
	err := s.open()
	if errors.Is(err, ErrRunning) || errors.Is(err, journal.ErrNewer) {
		return nil, err
	}
	return s, nil
}

// open opens the directory, its lock and its journal, all or none.
func (s *state) open() (err error) {
	defer func() {
		if err != nil {
			s.close()
		}
	}()
	if s.elsewhere() {
		return fmt.Errorf("the drive of the state directory %s is gone; %s", s.dir, whatToDo)
	}
	if err := os.MkdirAll(s.dir, 0o700); err != nil {
		return fmt.Errorf("can't make the state directory: %w; %s", err, whatToDo)
	}
	if s.lock, err = lockFile(s.lockPath()); err != nil {
		return err
	}
	if s.home == nil {
		s.home, _ = os.Stat(s.dir) // without it, it is taken for what it was
	}
	s.sweep()
	if err := s.readFolders(); err != nil {
		return err
	}
	s.readLooked()
	s.journal, err = journal.Open(JournalDir(s.dir))
	return err
}

func (s *state) lockPath() string { return filepath.Join(s.dir, "lock") }

// sweep removes what a crash has left of files that were being replaced.
func (s *state) sweep() {
	left, _ := filepath.Glob(filepath.Join(s.dir, "*.json.*.tmp"))
	for _, path := range left {
		_ = os.Remove(path)
	}
}

// elsewhere tells that the path leads to another drive than it did, and to nothing of
// ours: the bare mount point, in which what is written would be out of sight as soon
// as the drive is back.
func (s *state) elsewhere() bool {
	if s.home == nil {
		return false
	}
	now, err := os.Stat(s.dir)
	if err != nil || sameDrive(now, s.home) {
		return false
	}
	_, err = os.Lstat(s.lockPath())
	return errors.Is(err, fs.ErrNotExist)
}

// verify makes sure that what is open is still what the path leads to; otherwise it
// lets go, and open is to be called.
func (s *state) verify() {
	if s.lock == nil {
		return
	}
	held, err := s.lock.Stat()
	there, missing := os.Stat(s.lockPath())
	switch {
	case err == nil && missing == nil && os.SameFile(held, there): // as on nearly every day
	case errors.Is(missing, fs.ErrNotExist) && !s.elsewhere(): // only the lock was deleted, or all of it: the journal is made again
	default:
		s.close()
	}
}

// whatToDo ends a sentence about the state directory.
const whatToDo = "check that its drive is there, writable and not full; until then only what happens is judged, and nothing is kept"

// advised is an error with what to do about it, unless it says that itself.
func advised(err error) error {
	if errors.Is(err, private.ErrLink) {
		return err
	}
	return fmt.Errorf("%w; %s", err, whatToDo)
}

func (s *state) close() {
	if s.journal != nil {
		_ = s.journal.Close() // every line was synced when it was written
	}
	if s.lock != nil {
		_ = os.Remove(filepath.Join(s.dir, runningFile))
		_ = s.lock.Close()
	}
	s.journal, s.lock = nil, nil
}

// known tells whether the journal has a file, going by what can be told without
// reading it. One that was changed since, while nobody looked, must be read: it may
// have got another content and its old time.
func (s *state) known(f watch.File) bool {
	if s.journal == nil {
		return false
	}
	kept, known := s.journal.KeptAt(f.Path, f.Size, f.ModTime)
	return known && !(f.CatchUp && f.Changed.After(kept) && f.Changed.After(s.looked))
}

// hasLooked notes that all exports that were changed before a time have been looked
// at, so that the next start need not do it again.
func (s *state) hasLooked(before time.Time) {
	if s.journal == nil || !before.After(s.looked) {
		return
	}
	s.looked = before
	if text, err := json.Marshal(before); err == nil {
		_ = private.Replace(filepath.Join(s.dir, lookedFile), text) // lost, some files are read once more
	}
}

func (s *state) readLooked() {
	text, err := private.Read(filepath.Join(s.dir, lookedFile))
	if err != nil || json.Unmarshal(text, &s.looked) != nil {
		s.looked = time.Time{}
	}
}

// has and unchanged are the journal's; one that is not there has nothing.
func (s *state) has(path string, size int64, mtime time.Time, hash string) bool {
	return s.journal != nil && s.journal.Has(path, size, mtime, hash)
}

func (s *state) unchanged(path string, size int64, hash string) bool {
	return s.journal != nil && s.journal.Unchanged(path, size, hash)
}

// before is the gist of the latest export to a path in the journal; nil without one.
func (s *state) before(path string) *rules.Gist {
	if s.journal == nil {
		return nil
	}
	return s.journal.Before(path)
}

// last are the latest n entries of the journal, the latest first.
func (s *state) last(n int) []journal.Entry {
	if s.journal == nil {
		return nil
	}
	return s.journal.Last(n)
}

func (s *state) readFolders() error {
	path := filepath.Join(s.dir, foldersFile)
	text, err := private.Read(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("can't read when the folders were first watched: %w", advised(err))
	}
	if err := json.Unmarshal(text, &s.first); err != nil || s.first == nil {
		// Nothing in it is worth stopping for: old exports are only not caught up.
		s.first = map[string]time.Time{}
	}
	return nil
}

// firstWatched is when each of the folders was first watched: now, if it was
// never before. Exports that lay in it earlier are none of ours.
func (s *state) firstWatched(folders []rules.Folder, now time.Time) []time.Time {
	times := make([]time.Time, len(folders))
	changed := false
	for i, f := range folders {
		t, ok := s.first[f.Path]
		if !ok || t.After(now) { // a clock that was ahead
			t, changed = now, true
			s.first[f.Path] = t
		}
		times[i] = t
	}
	s.unsaved = s.unsaved || changed
	s.saveFolders()
	return times
}

// saveFolders writes when the folders were first watched, if that is not written
// yet. What fails is tried again when the journal is written.
func (s *state) saveFolders() {
	if !s.unsaved || s.journal == nil {
		return
	}
	if text, err := json.Marshal(s.first); err == nil {
		s.unsaved = private.Replace(filepath.Join(s.dir, foldersFile), text) != nil
	}
}

// JournalDir is where the journal is kept below a state directory.
func JournalDir(state string) string { return filepath.Join(state, "journal") }
