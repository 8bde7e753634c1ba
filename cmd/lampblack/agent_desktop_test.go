//go:build desktop

package main

import (
	"fmt"
	"html"
	"os"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"lampblack/agent"
	"lampblack/agent/tray/desktoptest"
	"lampblack/config/log"
	"lampblack/rules"
)

// TestWholeProgram plays with the program itself and a session bus of its own.
func TestWholeProgram(t *testing.T) {
	program := build(t)
	for name, play := range map[string]func(t *testing.T, program string){
		"a day on a real panel":         playDay,
		"edits of the profile":          playEdits,
		"no profile yet":                playFirstDay,
		"twelve exports, one notice":    playBurst,
		"no bus at the start":           playLateBus,
		"two agents":                    playTwo,
		"the session ends":              playLogout,
		"nobody listens, nobody reads":  playPrivate,
		"a desk on the dark panel":      func(t *testing.T, p string) { takeMenu(t, p, true) },
		"a desk on the light panel":     func(t *testing.T, p string) { takeMenu(t, p, false) },
		"the rehearsal on a real panel": takeRehearsal,
	} {
		t.Run(name, func(t *testing.T) { play(t, program) })
	}
}

// playDay goes through the whole menu on a real panel with a real notification
// server.
func playDay(t *testing.T, program string) {
	s := tidemark(t, program, desktoptest.Options{Screen: true, Dark: true})
	s.save(s.profile("180.0", "mid grey", "40.0"))
	notices := overhear(s)
	d := look(s)
	a := s.show()
	d.findIcon()
	a.awaitLine("No export yet", "")

	s.export("quay-at-dusk.tif", "quay-at-dusk.tif")
	_, box := d.awaitNotice()
	d.ClickMiddle(box.Min.X+box.Dx()/2, box.Min.Y+box.Dy()/2) // its action is called "Open profile"
	s.wantOpened(s.profilePath())
	e := s.awaitEntries(1)[0]
	if e.Report == nil || e.Report.Verdict != rules.Darker || e.Silence != "" || e.Report.Paper != "harbour rag" {
		t.Fatalf("the journal has %+v", e)
	}
	a.awaitLine("quay-at-dusk.tif", "likely dark")
	n := desktoptest.Receive(t, "the notice", notices)
	wantQuiet(t, n)
	if want := rules.NoticeFor(e.Report); n.Summary != want.Title || n.Body != html.EscapeString(want.Body) {
		t.Errorf("the notice is %q, %q, want the words %+v", n.Summary, n.Body, want)
	}

	a.Click("Log room light", "150 lx")
	a.awaitLine("The room is too bright:", "150 lx")
	a.awaitLine("Log room light", "(last: 150 lx)")
	a.Click("Surround now", "black")
	a.awaitLine("The surround is too dark:", "")
	desktoptest.Wait(t, "the check mark", func() bool {
		return a.Row("Surround now", "black").Checked && !a.Row("Surround now", "mid grey").Checked
	})
	a.Click("Mark calibrated today")
	a.awaitLine("The calibration is good:", "0 days")
	s.wantLog(150, "black", "north bench")

	a.Click("Rest for an hour")
	a.awaitLine("Wake up now", "")
	s.export("boatshed.png", "boatshed.png")
	if rested := s.awaitEntries(2)[1]; rested.Report == nil || rested.Silence == "" {
		t.Errorf("an export during the rest is kept as %+v, want a reason for silence", rested)
	}
	a.Click("Wake up now")
	a.awaitLine("Rest for an hour", "")

	a.Click("Open profile")
	s.wantOpened(s.profilePath(), s.profilePath())

	s.RestartPanel()
	d.findIcon()
	a.awaitLine("boatshed.png", "likely dark")
	d.openMenu()
	wantNoMore(t, notices)
	a.Click("Quit")
	if code := a.exit(); code != ok {
		t.Errorf("Quit ends with exit code %d", code)
	}
	if said := a.words.String(); said != "" {
		t.Errorf("it said %q on a good day", said)
	}
}

// wantLog holds readings.toml against one entry of each kind.
func (s *studio) wantLog(lx rules.Lux, surround, display string) {
	s.t.Helper()
	l, recovered, err := log.Read(s.logPath())
	if err != nil || recovered != "" {
		s.t.Fatalf("the log: %v, %s", err, recovered)
	}
	readings, surrounds, calibrations := log.Of[*log.Reading](l), log.Of[*log.Surround](l), log.Of[*log.Calibrated](l)
	if len(readings) != 1 || readings[0].Light != lx || readings[0].Place != rules.AtScreen ||
		len(surrounds) != 1 || surrounds[0].Name != surround ||
		len(calibrations) != 1 || calibrations[0].Display != display {
		s.t.Errorf("the log has %+v, want one reading of %v lx, one surround %q, one calibration of %q", l, lx, surround, display)
	}
}

// wantOpened waits until these files, each alone, have been opened for the user.
func (s *studio) wantOpened(paths ...string) {
	s.t.Helper()
	want := ""
	for _, path := range paths {
		want += "1 argument\n" + path + "\n"
	}
	desktoptest.Wait(s.t, fmt.Sprintf("%q opened for the user", paths), func() bool {
		opened, err := os.ReadFile(s.Path("opened"))
		return err == nil && string(opened) == want
	})
}

// onBus is a studio on a bus with stand-ins for panel and notification server.
func onBus(t testing.TB, program string) (*studio, *desktoptest.Server) {
	t.Helper()
	s := tidemark(t, program, desktoptest.Options{})
	s.StartWatcher()
	return s, s.StartServer(1, "body", "body-markup", "actions")
}

// wantQuiet checks that a notice is as quiet as the desktop's conventions allow.
func wantQuiet(t *testing.T, n desktoptest.Shown) {
	t.Helper()
	if n.Hints["urgency"].Value() != byte(0) || n.Hints["suppress-sound"].Value() != true {
		t.Errorf("the hints of the notice are %v, want low urgency and no sound", n.Hints)
	}
}

func wantNoMore(t *testing.T, notices <-chan desktoptest.Shown) {
	t.Helper()
	if n := len(notices); n > 0 {
		t.Errorf("%d more notices: %+v", n, <-notices)
	}
}

// playEdits edits the profile under the running agent, well and badly.
func playEdits(t *testing.T, program string) {
	s, server := onBus(t, program)
	s.save(s.profile("96.0", "mid grey", "40.0"))
	a := s.show()
	a.awaitLine("The desk is as it should be", "")

	s.save(s.profile("180.0", "mid grey", "40.0"))
	a.awaitLine("The screen is too bright:", "180 cd/m²")

	broken := strings.Replace(s.profile("140.0", "mid grey", "40.0"), "contrast = 900", "contrast = 0.5", 1)
	s.save(broken)
	line := a.awaitLine("Profile: ", "profile.toml:")
	n := desktoptest.Receive(t, "a notice about the mistake", server.Shown)
	wantQuiet(t, n)
	if want := rules.BrokenProfile("").Title; n.Summary != want || !strings.Contains(n.Body, "contrast") {
		t.Errorf("the notice is %q, %q", n.Summary, n.Body)
	}
	if !strings.Contains(line, "contrast") {
		t.Errorf("the menu says %q, and not which key", line)
	}
	a.awaitLine("The screen is too bright:", "180 cd/m²") // the last good one

	s.save(broken + "\n# still broken\n")
	s.export("portrait.jpg", "portrait.jpg")
	if e := s.awaitEntries(1)[0]; e.Report == nil || e.Report.Verdict != rules.Darker {
		t.Errorf("under a broken profile the export came to %+v", e)
	}
	n = desktoptest.Receive(t, "the notice about the export", server.Shown)
	if !strings.Contains(n.Body, "portrait.jpg") {
		t.Errorf("the second notice is %q, %q", n.Summary, n.Body)
	}
	if a.line("Profile: ") == "" {
		t.Error("the mistake has left the menu, but not the profile")
	}

	s.save(s.profile("96.0", "mid grey", "40.0"))
	a.awaitLine("The desk is as it should be", "")
	desktoptest.Wait(t, "the end of the mistake in the menu", func() bool { return a.line("Profile: ") == "" })
	wantNoMore(t, server.Shown)
	a.Click("Quit")
	if code := a.exit(); code != ok {
		t.Errorf("exit code %d", code)
	}
}

// playFirstDay starts without a profile: the menu makes one to fill in.
func playFirstDay(t *testing.T, program string) {
	s, server := onBus(t, program)
	a := s.show()
	a.awaitLine("No folder is watched", "")
	a.Click("Open profile")
	s.wantOpened(s.profilePath(), agent.FirstPage(s.stateDir()))
	if page, err := os.ReadFile(agent.FirstPage(s.stateDir())); err != nil || !strings.Contains(string(page), s.profilePath()) {
		t.Errorf("the page that explains it is %q, %v", page, err)
	}
	if text, err := os.ReadFile(s.profilePath()); err != nil || !strings.Contains(string(text), "white_cd_m2") {
		t.Errorf("the profile to fill in is %q, %v", text, err)
	}
	s.save(s.profile("180.0", "mid grey", "40.0"))
	a.awaitLine("The screen is too bright:", "180 cd/m²")
	desktoptest.Wait(t, "the end of the trouble", func() bool { return a.line("No folder is watched") == "" })
	s.export("portrait.jpg", "portrait.jpg")
	s.awaitEntries(1)
	wantQuiet(t, desktoptest.Receive(t, "the first notice", server.Shown))
}

// playBurst exports a series as an editor does.
func playBurst(t *testing.T, program string) {
	s, server := onBus(t, program)
	s.save(s.profile("180.0", "mid grey", "40.0"))
	a := s.show()
	const n = 12
	var names []string
	for i := range n {
		names = append(names, fmt.Sprintf("portrait-%02d.jpg", i))
		s.export("portrait.jpg", names[i]+".tmp")
	}
	for _, name := range names { // at once, so that no lull can be among them
		s.must(os.Rename(s.Path("to-print", name+".tmp"), s.Path("to-print", name)))
	}
	shown := desktoptest.Receive(t, "the notice", server.Shown)
	wantQuiet(t, shown)
	if !strings.HasPrefix(shown.Body, "12 of 12 exports. ") {
		t.Errorf("the notice says %q, want a count of 12", shown.Body)
	}
	for _, e := range s.awaitEntries(n) {
		if e.Report == nil || e.Silence != "" {
			t.Errorf("the journal has %+v", e)
		}
	}
	a.awaitLine("portrait-", "likely dark")
	a.Cmd.Process.Signal(syscall.SIGTERM)
	if code := a.exit(); code != ok {
		t.Errorf("SIGTERM ends with exit code %d", code)
	}
	wantNoMore(t, server.Shown)
}

// playLateBus starts where there is no desktop yet.
func playLateBus(t *testing.T, program string) {
	t.Parallel() // it waits most of its time
	s := tidemark(t, program, desktoptest.Options{NoBus: true})
	s.save(s.profile("180.0", "mid grey", "40.0"))
	a := s.start()
	desktoptest.Wait(t, "a word about the bus", func() bool { return strings.Contains(a.words.String(), "there is no tray here yet") })
	s.awaitWatching()
	s.export("portrait.jpg", "portrait.jpg")
	s.awaitEntries(1)

	s.StartBus()
	w := s.StartWatcher()
	select {
	case <-w.Registered:
	case <-time.After(3 * time.Minute): // it looks every 30 s
		t.Fatalf("no icon on the late bus; it said %q", a.words)
	}
	a.awaitMenu(s)
	a.awaitLine("portrait.jpg", "likely dark")
	s.export("boatshed.png", "boatshed.png") // from here on the tray tells
	s.awaitEntries(2)
	a.awaitLine("boatshed.png", "likely dark")
	said := a.words.String()
	if strings.Count(said, "\n") != 2 || !strings.Contains(said, "\nlampblack: portrait.jpg: likely dark: ") {
		t.Errorf("it said %q, want a line about the bus, and one of the export before it came", said)
	}
	a.Click("Quit")
	if code := a.exit(); code != ok {
		t.Errorf("exit code %d", code)
	}
}

// awaitWatching waits until the folders are watched: exports that were there
// before are none of ours.
func (s *studio) awaitWatching() {
	s.t.Helper()
	desktoptest.Wait(s.t, "watched folders", func() bool {
		text, err := os.ReadFile(s.Path(".local", "state", "lampblack", "folders.json"))
		return err == nil && strings.Contains(string(text), "to-print")
	})
}

// playTwo starts a second agent beside the first.
func playTwo(t *testing.T, program string) {
	s, _ := onBus(t, program)
	s.save(s.profile("96.0", "mid grey", "40.0"))
	a := s.show()
	second := s.start()
	if code := second.exit(); code != ok {
		t.Errorf("the second agent ends with exit code %d, want %d", code, ok)
	}
	said := second.words.String()
	for _, want := range []string{
		"already running: look for Lampblack in the tray, if there is one\n",
		fmt.Sprintf("process %d, since ", a.Cmd.Process.Pid), "with the profile " + s.Path("config", "lampblack", "profile.toml"),
		"The desk is as it should be\n", "  The screen is right: 96 cd/m²",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("the second agent says\n%s\nwhich lacks %q", said, want)
		}
	}
	if !slices.Contains(a.Labels(""), "Quit") {
		t.Error("the first agent has lost its menu")
	}
	a.Click("Quit")
	if code := a.exit(); code != ok {
		t.Errorf("the first agent ends with exit code %d", code)
	}
	third := s.show() // the lock went with its holder
	third.Click("Quit")
	if code := third.exit(); code != ok {
		t.Errorf("the third agent ends with exit code %d", code)
	}
}

// playLogout takes the bus away, as the end of a session does.
func playLogout(t *testing.T, program string) {
	s, _ := onBus(t, program)
	s.save(s.profile("180.0", "mid grey", "40.0"))
	a := s.show()
	s.export("portrait.jpg", "portrait.jpg")
	s.awaitEntries(1)
	s.StopBus()
	if code := a.exit(); code != ok {
		t.Errorf("the end of the session ends it with exit code %d", code)
	}
	if said := a.words.String(); said != "" {
		t.Errorf("it said %q", said)
	}
}
