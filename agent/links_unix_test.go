//go:build unix

package agent

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lampblack/agent/watch"
	"lampblack/config"
	"lampblack/config/private"
)

// TestLinksInTheStateDirectory: what stands there is never led elsewhere. What can't do
// without its content is refused; what is replaced takes the link's place.
func TestLinksInTheStateDirectory(t *testing.T) {
	led := func(t *testing.T, name string) (dir, victim string) {
		dir, victim = t.TempDir(), filepath.Join(t.TempDir(), "victim")
		mustNot(t, os.WriteFile(victim, []byte("precious"), 0o644))
		mustNot(t, os.Symlink(victim, filepath.Join(dir, name)))
		return dir, victim
	}
	for name, write := range map[string]func(dir string) error{
		"lock":      func(dir string) error { return (&state{dir: dir}).open() },
		foldersFile: func(dir string) error { return (&state{dir: dir}).open() },
	} {
		dir, victim := led(t, name)
		if err := write(dir); !errors.Is(err, private.ErrLink) || !strings.Contains(err.Error(), filepath.Join(dir, name)) {
			t.Errorf("%s: %v", name, err)
		}
		wantPrecious(t, name, victim)
	}
	for name, write := range map[string]func(dir string) error{
		runningFile: func(dir string) error {
			s, err := openState(dir)
			s.tellRunning("profile.toml", morning)
			if _, told := WhoRuns(dir); !told {
				t.Error("nobody has said that he runs")
			}
			s.close()
			return err
		},
		lookedFile: func(dir string) error {
			s, err := openState(dir)
			s.hasLooked(morning)
			s.close()
			return err
		},
		photosFile: func(dir string) error {
			readPhotos(dir).add(watch.File{Path: "sheet.jpg", ModTime: morning}, morning)
			return nil
		},
		"desk.html": func(dir string) error {
			_, err := WritePage(context.Background(), config.Default(), dir, PagePath(dir), nil, morning)
			return err
		},
	} {
		dir, victim := led(t, name)
		if err := write(dir); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if info, err := os.Lstat(filepath.Join(dir, name)); err == nil && !info.Mode().IsRegular() {
			t.Errorf("%s is still a link", name)
		}
		wantPrecious(t, name, victim)
	}
}

func wantPrecious(t *testing.T, name, victim string) {
	t.Helper()
	if text, err := os.ReadFile(victim); err != nil || string(text) != "precious" {
		t.Errorf("what %s led to holds %q, %v", name, text, err)
	}
}

// TestMovedStateDirectory: the directory itself may be a link to where there is room.
func TestMovedStateDirectory(t *testing.T) {
	away, dir := t.TempDir(), filepath.Join(t.TempDir(), "state")
	mustNot(t, os.Symlink(away, dir))
	s := &state{dir: dir}
	mustNot(t, s.open())
	s.close()
}
