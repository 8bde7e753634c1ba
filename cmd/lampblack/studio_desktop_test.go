//go:build desktop

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/tray/desktoptest"
	"lampblack/testdata/exports"
)

// The desktop tests run the program as it is released, started as a person
// starts it: no arguments, and everything in its usual place.

// build makes the program. The environment may choose otherwise, as with
// GOFLAGS=-race CGO_ENABLED=1.
func build(t testing.TB) (program string) {
	t.Helper()
	program = filepath.Join(t.TempDir(), "lampblack")
	cmd := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", program, ".")
	cmd.Env = append([]string{"CGO_ENABLED=0"}, os.Environ()...)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	return program
}

// studio is Tidemark at the home of a session of its own.
type studio struct {
	*desktoptest.Session
	t       testing.TB
	program string
}

// tidemark is a studio with its export folders and a program that opens files,
// but no profile yet.
func tidemark(t testing.TB, program string, o desktoptest.Options) *studio {
	t.Helper()
	s := &studio{desktoptest.Start(t, o), t, program}
	for _, dir := range []string{"to-print", "to-web", "bin"} {
		s.must(os.Mkdir(s.Path(dir), 0o700))
	}
	opener := "#!/bin/sh\nprintf '%s\\n' \"$# argument\" \"$@\" >>" + s.Path("opened") + "\n"
	s.must(os.WriteFile(s.Path("bin", "xdg-open"), []byte(opener), 0o700))
	return s
}

func (s *studio) must(err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
}

func (s *studio) profilePath() string { return s.Path("config", "lampblack", "profile.toml") }
func (s *studio) logPath() string     { return s.Path("config", "lampblack", "readings.toml") }
func (s *studio) stateDir() string    { return s.Path(".local", "state", "lampblack") }

// profile is the desk of testdata/days with its white and surround as given,
// measured 12 days ago and with a reading of now.
func (s *studio) profile(white, surround, lx string) string {
	s.t.Helper()
	text, err := os.ReadFile("../../testdata/days/profile.toml")
	s.must(err)
	now := time.Now()
	return strings.NewReplacer(
		"white_cd_m2 = 96.0", "white_cd_m2 = "+white,
		"2026-02-20", now.AddDate(0, 0, -12).Format(time.DateOnly),
		"mid grey", surround,
		`"to-print"`, `"~/to-print"`,
		`"to-web"`, `"~/to-web"`,
	).Replace(string(text)) + fmt.Sprintf("\n[[reading]]\nat = %s\nlx = %s\nplace = \"screen\"\n",
		now.UTC().Format(time.RFC3339), lx)
}

// save writes the profile as editors do: beside its place, and renamed.
func (s *studio) save(text string) {
	s.t.Helper()
	s.must(os.MkdirAll(filepath.Dir(s.profilePath()), 0o700))
	temporary := s.profilePath() + ".new"
	s.must(os.WriteFile(temporary, []byte(text), 0o600))
	s.must(os.Rename(temporary, s.profilePath()))
}

// export writes a demo export into the folder for prints.
func (s *studio) export(demo, name string) {
	s.t.Helper()
	content, err := exports.Files.ReadFile(demo)
	s.must(err)
	s.must(os.WriteFile(s.Path("to-print", name), content, 0o600))
}

// entries is the journal.
func (s *studio) entries() []journal.Entry {
	s.t.Helper()
	var all []journal.Entry
	skipped, err := journal.Read(filepath.Join(s.stateDir(), "journal"), func(e journal.Entry) error {
		all = append(all, e)
		return nil
	})
	if err != nil || skipped > 0 {
		s.t.Fatalf("the journal: %d lines that are none, %v", skipped, err)
	}
	return all
}

// awaitEntries waits until the journal has n entries.
func (s *studio) awaitEntries(n int) []journal.Entry {
	s.t.Helper()
	var all []journal.Entry
	desktoptest.Wait(s.t, fmt.Sprintf("%d entries in the journal", n), func() bool {
		all = s.entries()
		return len(all) >= n
	})
	if len(all) > n {
		s.t.Fatalf("the journal has %d entries, want %d: %+v", len(all), n, all)
	}
	return all
}

// running is the agent at work.
type running struct {
	*desktoptest.Process
	*desktoptest.Item
	t     testing.TB
	words *words
}

// start starts the agent, and waits for nothing.
func (s *studio) start() *running {
	s.t.Helper()
	cmd := exec.Command(s.program)
	r := &running{t: s.t, words: new(words)}
	cmd.Stdout, cmd.Stderr = r.words, r.words
	cmd.Env = []string{"PATH=" + s.Path("bin") + string(os.PathListSeparator) + os.Getenv("PATH")}
	r.Process = s.RunCmd(cmd)
	return r
}

// show starts the agent and waits until it is in the tray with a complete menu.
func (s *studio) show() *running {
	s.t.Helper()
	r := s.start()
	r.awaitMenu(s)
	return r
}

func (r *running) awaitMenu(s *studio) {
	r.t.Helper()
	r.Item = s.Item(r.Cmd.Process.Pid)
	desktoptest.Wait(r.t, "a menu with the desk", func() bool {
		return r.line("The screen is") != "" && len(r.Labels("Surround now")) == 5
	})
}

// line is the visible row of the menu that begins with these words.
func (r *running) line(begins string) string {
	r.t.Helper()
	for _, text := range r.Labels("") {
		if strings.HasPrefix(text, begins) {
			return text
		}
	}
	return ""
}

// awaitLine waits for a row that begins and goes on with these words.
func (r *running) awaitLine(begins, has string) string {
	r.t.Helper()
	defer func() {
		if r.t.Failed() {
			r.t.Logf("the menu is %q", r.Labels(""))
		}
	}()
	var text string
	desktoptest.Wait(r.t, fmt.Sprintf("a line %q with %q", begins, has), func() bool {
		text = r.line(begins)
		return text != "" && strings.Contains(text, has)
	})
	return text
}

// exit waits for the end and gives the exit code.
func (r *running) exit() int {
	r.t.Helper()
	desktoptest.Receive(r.t, "the end of the program", after(r.Ended()))
	return r.Cmd.ProcessState.ExitCode()
}

// after sends once when done is closed.
func after(done <-chan struct{}) <-chan struct{} {
	c := make(chan struct{}, 1)
	go func() { <-done; c <- struct{}{} }()
	return c
}

// words is what a program has said so far.
type words struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (w *words) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.text.Write(p)
}

func (w *words) String() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.text.String()
}
