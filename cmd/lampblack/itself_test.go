package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"lampblack/agent"
)

// The agent runs without a profile, so the page from its menu and a second start
// beside it must do without one, too.
func TestWithoutProfile(t *testing.T) {
	program, err := exec.LookPath("lampblack") // this one, under the name that testscript gives it
	if err != nil {
		t.Fatal(err)
	}
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(home, "config"))
	state := filepath.Join(home, "state")
	var said bytes.Buffer
	j := &job{ctx: t.Context(), voice: &voice{out: &said, err: &said}, state: state}

	t.Setenv("PATH", "") // so that no browser opens
	err = pageWriter(program, j.places())(t.Context())
	if _, there := os.Stat(agent.PagePath(state)); there != nil {
		t.Errorf("no page was written: %v", err)
	}

	path, err := j.profilePath()
	if err != nil {
		t.Fatal(err)
	}
	running, err := json.Marshal(agent.Running{Process: 4711, Profile: path})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(state, "running.json"), running, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := j.tellOfFirst(state); err != nil || !strings.Contains(said.String(), "No export yet") {
		t.Errorf("beside an agent without a profile: %v\n%s", err, said.String())
	}
}

func TestLastSentence(t *testing.T) {
	for said, want := range map[string]string{
		"": "", "panic: oh\n": "",
		"lampblack: no space left\n": "no space left",
		"lampblack: a note\nlampblack: profile.toml:3: no such key\n           did you mean lx?\n": "profile.toml:3: no such key",
		"out of a cut line\nlampblack: no space left":                                              "no space left",
	} {
		if got := lastSentence(said); got != want {
			t.Errorf("the last sentence of %q is %q, want %q", said, got, want)
		}
	}
}

func TestTail(t *testing.T) {
	kept := &tail{most: 5}
	for _, part := range []string{"ab", "", "cdefgh", "i"} {
		if n, err := kept.Write([]byte(part)); n != len(part) || err != nil {
			t.Errorf("wrote %d bytes of %q: %v", n, part, err)
		}
	}
	if string(kept.end) != "efghi" {
		t.Errorf("%q is kept", kept.end)
	}
}
