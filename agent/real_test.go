package agent

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/agent/tray"
	"lampblack/rules"
	"lampblack/testdata/exports"
)

// workerArgument makes the test's own program the picture reader.
const workerArgument = "read-one-picture"

func TestMain(m *testing.M) {
	if len(os.Args) == 2 && os.Args[1] == workerArgument {
		os.Exit(picture.WorkerMain(os.Stdin, os.Stdout))
	}
	time.Local = time.UTC // a date without a zone is local: the days are told in one zone
	os.Exit(m.Run())
}

// patience bounds each wait of the tests with real parts. It is only reached
// when they fail.
const patience = 2 * time.Minute

// realDesktop hands on what it is shown.
type realDesktop struct {
	states  chan tray.State
	notices chan rules.Notice
	clicks  chan tray.Command
}

func (d realDesktop) Show(s tray.State)             { d.states <- s }
func (d realDesktop) Notify(n rules.Notice)         { d.notices <- n }
func (d realDesktop) Commands() <-chan tray.Command { return d.clicks }

// realAgent is an agent with the real watch and the real reader.
type realAgent struct {
	t       *testing.T
	root    string
	desktop realDesktop
	entries chan journal.Entry
	ended   chan error
}

func startReal(t *testing.T) *realAgent {
	exe, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	a := &realAgent{
		t: t, root: t.TempDir(),
		desktop: realDesktop{make(chan tray.State, 1000), make(chan rules.Notice, 10), make(chan tray.Command, 10)},
		entries: make(chan journal.Entry, 10),
		ended:   make(chan error, 1),
	}
	for _, dir := range []string{"to-print", "to-web"} {
		a.must(os.Mkdir(filepath.Join(a.root, dir), 0o700))
	}
	a.setWhite("180.0")
	ctx, cancel := context.WithCancel(t.Context())
	var running sync.WaitGroup
	t.Cleanup(func() { cancel(); running.Wait() }) // it has its folder until it has ended
	running.Go(func() {
		a.ended <- Run(ctx, Options{
			ProfilePath: filepath.Join(a.root, "profile.toml"),
			StateDir:    filepath.Join(a.root, "state"),
			Reader:      picture.Worker{Command: []string{exe, workerArgument}},
			Desktop:     a.desktop,
			Observe:     func(e journal.Entry) { a.entries <- e },
		})
	})
	return a
}

func (a *realAgent) must(err error) {
	a.t.Helper()
	if err != nil {
		a.t.Fatal(err)
	}
}

// setWhite saves the profile of the days with another white, the way an editor
// does: beside its place, and renamed.
func (a *realAgent) setWhite(white string) {
	text, err := os.ReadFile("../testdata/days/profile.toml")
	a.must(err)
	edited := strings.Replace(string(text), "white_cd_m2 = 96.0", "white_cd_m2 = "+white, 1)
	edited = strings.Replace(edited, "2026-02-20", time.Now().Format(time.DateOnly), 1)
	temporary := filepath.Join(a.root, "profile.toml.tmp")
	a.must(os.WriteFile(temporary, []byte(edited), 0o600))
	a.must(os.Rename(temporary, filepath.Join(a.root, "profile.toml")))
}

// export writes a demo export into the folder for prints.
func (a *realAgent) export(demo, name string) {
	content, err := exports.Files.ReadFile(demo)
	a.must(err)
	a.must(os.WriteFile(filepath.Join(a.root, "to-print", name), content, 0o600))
}

// await is the next value that fits.
func await[T any](t *testing.T, what string, from <-chan T, fits func(T) bool) T {
	t.Helper()
	late := time.After(patience)
	for {
		select {
		case v := <-from:
			if fits(v) {
				return v
			}
		case <-late:
			t.Fatalf("%s did not come within %v", what, patience)
		}
	}
}

func anything[T any](T) bool { return true }

// said waits for a state of the tray in which a condition is told with words.
func (a *realAgent) said(words string) {
	a.t.Helper()
	await(a.t, words, a.desktop.states, func(s tray.State) bool {
		return strings.Contains(strings.Join(s.Summary.Conditions, "\n"), words)
	})
}

// TestRealParts plays with the real watch, the real reader in its own process,
// and real files: an export is judged, kept and warned about, and an edit of
// the profile and a click in the menu take effect.
func TestRealParts(t *testing.T) {
	before := runtime.NumGoroutine()
	a := startReal(t)
	a.said("180 cd/m²")
	a.desktop.clicks <- tray.Command{Kind: tray.LogLight, Lux: 48}
	a.said("The room is right: 48 lx")

	a.export("portrait.jpg", "portrait.jpg")
	e := await(t, "the entry", a.entries, anything)
	if e.Report == nil || e.Report.Verdict != rules.Darker || e.Silence != "" || e.Report.Paper != "harbour rag" {
		t.Errorf("the entry is %+v", e)
	}
	n := await(t, "the notice", a.desktop.notices, anything)
	if !strings.Contains(n.Body, "portrait.jpg") {
		t.Errorf("the notice is %q", n)
	}

	a.setWhite("96.0")
	a.said("96 cd/m²")
	a.export("fog.tif", "fog.tif")
	if e := await(t, "the second entry", a.entries, anything); e.Report == nil || e.Report.Verdict != rules.Holds {
		t.Errorf("after the edit the entry is %+v", e)
	}

	a.desktop.clicks <- tray.Command{Kind: tray.Quit}
	if err := await(t, "the end", a.ended, anything); err != nil {
		t.Error(err)
	}
	kept := 0
	if _, err := journal.Read(filepath.Join(a.root, "state", "journal"), func(journal.Entry) error { kept++; return nil }); err != nil || kept != 2 {
		t.Errorf("the journal holds %d entries (%v), want 2", kept, err)
	}
	awaitGoroutines(t, before)
}

// awaitGoroutines waits until no more goroutines run than before the agent.
func awaitGoroutines(t *testing.T, before int) {
	t.Helper()
	for late := time.Now().Add(patience); runtime.NumGoroutine() > before; runtime.Gosched() {
		if time.Now().After(late) {
			stacks := make([]byte, 1<<16)
			t.Fatalf("%d goroutines, %d before the agent:\n%s", runtime.NumGoroutine(), before, stacks[:runtime.Stack(stacks, true)])
		}
	}
}
