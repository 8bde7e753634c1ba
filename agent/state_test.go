package agent

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
)

func openTestState(t *testing.T, dir string) *state {
	t.Helper()
	s, err := openState(dir)
	mustNot(t, err)
	return s
}

func TestOneAgentAtATime(t *testing.T) {
	dir := t.TempDir()
	first := openTestState(t, dir)
	if err := Run(t.Context(), Options{StateDir: dir, ProfilePath: filepath.Join(dir, "p.toml")}); !errors.Is(err, ErrRunning) {
		t.Errorf("a second agent gives %v, want ErrRunning", err)
	}
	if _, ok := WhoRuns(dir); ok {
		t.Error("nobody has said that he runs")
	}
	since := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	first.tellRunning("/home/anna/profile.toml", since)
	want := Running{os.Getpid(), since, "/home/anna/profile.toml"}
	if got, ok := WhoRuns(dir); got != want || !ok {
		t.Errorf("%+v runs, want %+v", got, want)
	}
	first.close()
	if _, ok := WhoRuns(dir); ok {
		t.Error("the agent has ended and still says that it runs")
	}
	openTestState(t, dir).close()
}

// TestStateThatCannotBe: an agent runs without its directory, and has it as soon as
// it can be had.
func TestStateThatCannotBe(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	mustNot(t, os.WriteFile(file, nil, 0o600))
	dir := t.TempDir()
	mustNot(t, os.Mkdir(filepath.Join(dir, foldersFile), 0o700))
	for what, dir := range map[string]string{"a file": file, "below a file": filepath.Join(file, "state"), "a folder that holds a folder": dir} {
		s := openTestState(t, dir)
		if s.journal != nil || s.lock != nil {
			t.Errorf("%s: something of it is open", what)
		}
		if err := s.open(); err == nil || !strings.Contains(err.Error(), whatToDo) {
			t.Errorf("%s as state directory gives %v", what, err)
		}
		if s.has("a.tif", 1, morning, "") || s.last(1) != nil {
			t.Errorf("%s: something is known of what was", what)
		}
		s.firstWatched([]rules.Folder{{Path: "/prints"}}, morning)
		s.close()
	}
	s := openTestState(t, dir)
	mustNot(t, os.Remove(filepath.Join(dir, foldersFile)))
	mustNot(t, s.open()) // the failures have let go of the lock
	s.close()
}

// TestFoldersAreSavedLater: when a folder was first watched is not forgotten because
// it could not be written at once.
func TestFoldersAreSavedLater(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "state")
	mustNot(t, os.WriteFile(dir, nil, 0o600))
	s := openTestState(t, dir)
	s.firstWatched([]rules.Folder{{Path: "/prints"}}, morning)
	mustNot(t, os.Remove(dir))
	mustNot(t, s.open())
	s.saveFolders()
	s.close()
	s = openTestState(t, dir)
	defer s.close()
	if got := s.firstWatched([]rules.Folder{{Path: "/prints"}}, morning.Add(time.Hour)); !got[0].Equal(morning) {
		t.Errorf("first watched at %v, want %v", got[0], morning)
	}
}

func TestFirstWatched(t *testing.T) {
	dir := t.TempDir()
	prints, web := rules.Folder{Path: "/prints"}, rules.Folder{Path: "/web"}
	later := morning.Add(24 * time.Hour)

	s := openTestState(t, dir)
	s.firstWatched([]rules.Folder{prints}, morning)
	s.close()
	s = openTestState(t, dir)
	defer s.close()
	got := s.firstWatched([]rules.Folder{web, prints}, later)
	if want := []time.Time{later, morning}; !slices.EqualFunc(got, want, time.Time.Equal) {
		t.Errorf("first watched at %v, want %v", got, want)
	}
	// The clock was ahead, and is right again.
	if got := s.firstWatched([]rules.Folder{web}, morning); !got[0].Equal(morning) {
		t.Errorf("first watched at %v, in the future of %v", got[0], morning)
	}
	entries, err := os.ReadDir(dir)
	mustNot(t, err)
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".tmp") {
			t.Errorf("%s was left behind", e.Name())
		}
	}
}

func TestDamagedFolders(t *testing.T) {
	for _, damaged := range []string{"", "null", "{", `{"/prints": 7}`, `{"/prints": "2026-03-01T00:00:00Z", "/web": "yesterday"}`, "[]"} {
		dir := t.TempDir()
		mustNot(t, os.WriteFile(filepath.Join(dir, foldersFile), []byte(damaged), 0o600))
		s := openTestState(t, dir)
		got := s.firstWatched([]rules.Folder{{Path: "/prints"}}, morning)
		s.close()
		if !got[0].Equal(morning) {
			t.Errorf("from %q: first watched at %v, want now", damaged, got[0])
		}
		text, err := os.ReadFile(filepath.Join(dir, foldersFile))
		mustNot(t, err)
		if !json.Valid(text) {
			t.Errorf("%q was not replaced: %q", damaged, text)
		}
	}
}
