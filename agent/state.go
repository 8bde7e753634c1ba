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
	"lampblack/rules"
)

// state is what the agent keeps on disk, in a directory that one agent at a
// time holds.
type state struct {
	dir     string
	lock    *os.File
	journal *journal.Journal
	first   map[string]time.Time // when each folder was first watched
}

// ErrRunning means that another agent holds the state directory.
var ErrRunning = errors.New("already running: look for Lampblack in the tray")

const (
	foldersFile = "folders.json"
	runningFile = "running.json"
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
	text, err := os.ReadFile(filepath.Join(dir, runningFile))
	return r, err == nil && json.Unmarshal(text, &r) == nil
}

// tellRunning says that this agent holds the directory. It only helps people: the
// lock is what counts.
func (s *state) tellRunning(profile string, now time.Time) {
	if text, err := json.Marshal(Running{os.Getpid(), now, profile}); err == nil {
		_ = replaceFile(filepath.Join(s.dir, runningFile), text)
	}
}

func openState(dir string) (*state, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("can't make the state directory: %w", err)
	}
	lock, err := lockFile(filepath.Join(dir, "lock"))
	if err != nil {
		return nil, err
	}
	j, err := journal.Open(JournalDir(dir))
	if err != nil {
		return nil, errors.Join(err, lock.Close())
	}
	s := &state{dir: dir, lock: lock, journal: j, first: map[string]time.Time{}}
	if err := s.readFolders(); err != nil {
		return nil, errors.Join(err, j.Close(), lock.Close())
	}
	return s, nil
}

func (s *state) close() {
	_ = s.journal.Close() // every line was synced when it was written
	_ = os.Remove(filepath.Join(s.dir, runningFile))
	_ = s.lock.Close()
}

func (s *state) readFolders() error {
	path := filepath.Join(s.dir, foldersFile)
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("can't read when the folders were first watched: %w", err)
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
	if changed {
		s.writeFolders()
	}
	return times
}

func (s *state) writeFolders() {
	if text, err := json.Marshal(s.first); err == nil {
		_ = replaceFile(filepath.Join(s.dir, foldersFile), text) // lost, it only costs some catching up
	}
}

// replaceFile replaces the content of a file so that a reader, or a crash,
// meets the old content or the new one.
func replaceFile(path string, content []byte) error {
	f, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".*.tmp")
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	err = errors.Join(err, f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		_ = os.Remove(f.Name())
	}
	return err
}
