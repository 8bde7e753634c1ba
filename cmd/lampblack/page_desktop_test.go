//go:build desktop

package main

import (
	"os"
	"strings"
	"testing"

	"lampblack/agent"
	"lampblack/agent/tray/desktoptest"
)

// TestOpenPage: a click in the menu writes the desk page of this desk and opens
// it; when it can't be written, the menu says so until it can.
func TestOpenPage(t *testing.T) {
	s := tidemark(t, build(t), desktoptest.Options{})
	s.save(s.profile("180.0", "mid grey", "40.0"))
	s.StartWatcher()
	a := s.show()
	s.export("portrait.jpg", "portrait.jpg")
	s.awaitEntries(1)

	path := agent.PagePath(s.stateDir())
	a.Click("Open the desk page")
	s.wantOpened(path)
	text, err := os.ReadFile(path)
	s.must(err)
	for _, want := range []string{"Tidemark, Skarvik", "The screen is too bright", "portrait.jpg: likely dark", "data:image/jpeg;base64,"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the page doesn't say %q", want)
		}
	}

	s.must(os.Remove(path))
	s.must(os.Mkdir(path, 0o700))
	a.Click("Open the desk page")
	a.awaitLine("Desk page: ", "desk.html is a folder")
	s.must(os.Remove(path))
	a.Click("Open the desk page")
	desktoptest.Wait(t, "no more trouble in the menu", func() bool { return a.line("Desk page: ") == "" })
	a.Stop()
}
