package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"lampblack/agent"
	"lampblack/agent/picture"
	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/rules"
)

// shownOnce is a desktop that keeps the first thing it is shown.
type shownOnce struct{ states chan tray.State }

func (d shownOnce) Show(s tray.State) {
	select {
	case d.states <- s:
	default:
	}
}
func (shownOnce) Notify(rules.Notice)           {}
func (shownOnce) Commands() <-chan tray.Command { return nil }

// trayOf is what an agent with that profile and state shows at a time.
func trayOf(t *testing.T, profile, state string, at time.Time) rules.Summary {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	desktop := shownOnce{make(chan tray.State, 1)}
	ended := make(chan error, 1)
	go func() {
		ended <- agent.Run(ctx, agent.Options{
			ProfilePath: profile, StateDir: state, Reader: picture.Worker{}, Desktop: desktop,
			Now:   func() time.Time { return at },
			Watch: func(ctx context.Context, _ []watch.Folder, _ watch.Options, _ chan<- watch.Event) { <-ctx.Done() },
		})
	}()
	s := <-desktop.states
	stop()
	if err := <-ended; err != nil {
		t.Fatal(err)
	}
	return s.Summary
}

// TestDeskIsTheTray: desk prints what the tray shows, line for line and in its
// order, with and without a profile, readings and exports.
func TestDeskIsTheTray(t *testing.T) {
	at := time.Date(2026, 3, 1, 10, 0, 0, 0, time.UTC)
	judgedAndUnread, _ := someJournal(t)
	judged := t.TempDir()
	lines, err := os.ReadFile(filepath.Join(agent.JournalDir(judgedAndUnread), "journal-2026.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(agent.JournalDir(judged), 0o700); err != nil {
		t.Fatal(err)
	}
	first, _, _ := bytes.Cut(lines, []byte("\n"))
	if err := os.WriteFile(filepath.Join(agent.JournalDir(judged), "journal-2026.jsonl"), append(first, '\n'), 0o600); err != nil {
		t.Fatal(err)
	}
	tidemark, err := os.ReadFile(filepath.Join(scripts, "tidemark.toml"))
	if err != nil {
		t.Fatal(err)
	}
	home := t.TempDir()
	full, empty := filepath.Join(home, "tidemark.toml"), filepath.Join(home, "empty.toml")
	for path, text := range map[string][]byte{full: tidemark, empty: nil} {
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	ends := map[string]bool{}
	for _, profile := range []string{full, empty} {
		for _, state := range []string{t.TempDir(), judged, judgedAndUnread} {
			want := trayOf(t, profile, state, at)
			printed := ran(t, "desk", "--profile", profile, "--state", state, "--at", at.Format(time.RFC3339))
			menu := slices.Concat([]string{want.Headline}, want.Conditions, []string{want.Last.String()})
			ends[want.Last.String()] = true
			for i, line := range menu {
				if 0 < i && i < len(menu)-1 {
					line = "  " + line
				}
				menu[i] = line
			}
			if !strings.Contains("\n"+printed, "\n"+strings.Join(menu, "\n")+"\n") {
				t.Errorf("desk prints\n%s\nthe tray shows\n%s", printed, strings.Join(menu, "\n"))
			}
		}
	}
	if len(ends) != 3 {
		t.Errorf("the last exports are %v, want three sorts", ends)
	}
}

// bezel is a light sensor that reads always the same, or fails.
type bezel struct {
	light rules.Lux
	err   error
}

func (b bezel) Read(context.Context) (rules.Lux, error) { return b.light, b.err }

// TestDeskAsksTheSensor: where the profile wants the light sensor, the desk as it is
// now is told by what it reads now.
func TestDeskAsksTheSensor(t *testing.T) {
	profile := filepath.Join(t.TempDir(), "profile.toml")
	if err := os.WriteFile(profile, []byte("[room]\nsensor = true\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		sensor bezel
		want   string // of the room
		said   string
	}{
		{bezel{light: 31}, "The room is right: 31 lx, read at the screen (light sensor) less than a minute ago", ""},
		{bezel{err: errors.New("it is asleep")}, "The room is assumed to be right", "lampblack: Light sensor: it is asleep\n"},
	} {
		var out, said bytes.Buffer
		j := &job{ctx: t.Context(), voice: &voice{out: &out, err: &said}, profile: profile, state: t.TempDir(), sensor: tt.sensor}
		if err := (deskCmd{}).Run(j); err != nil || !strings.Contains(out.String(), tt.want) || said.String() != tt.said {
			t.Errorf("%v: printed %q, said %q, %v", tt.sensor, out.String(), said.String(), err)
		}
	}
}
