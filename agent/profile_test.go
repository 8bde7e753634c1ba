package agent

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/config"
	"lampblack/config/log"
	"lampblack/rules"
)

func (l *loop) rewrite(t *testing.T, text string) {
	t.Helper()
	mustNot(t, os.WriteFile(l.o.ProfilePath, []byte(text), 0o600))
	l.loadProfile()
}

func TestBrokenEdit(t *testing.T) {
	const good = "[target]\nroom_lx = 50.0\n"
	l := testLoop(t, good)
	shown := func() string { return strings.Join(l.voice.troubles.shown(morning), "\n") }
	check := func(what string, notices int, trouble string) {
		t.Helper()
		if got := len(l.raised()); got != notices {
			t.Errorf("%s: %d notices were raised, want %d", what, got, notices)
		}
		if has := strings.Contains(shown(), "profile.toml:"); has != (trouble != "") || !strings.Contains(shown(), trouble) {
			t.Errorf("%s: the menu shows %q, want %q", what, shown(), trouble)
		}
		if l.desk.profile.Target.Room != 50 {
			t.Errorf("%s: the profile in force has %v lx", what, l.desk.profile.Target.Room)
		}
	}
	l.rewrite(t, "[target]\nroom_lx = -1\n")
	check("a mistake", 1, "profile.toml:2: target.room_lx")
	l.rewrite(t, "[target]\nroom_lx = -1\n\n")
	check("the same mistake", 1, "target.room_lx")
	l.rewrite(t, "[target]\nroom_lx = -1\nrecalibrate_days = -1\n")
	check("another mistake", 2, "(and 1 more mistake)")
	l.rewrite(t, "[target]\nrom_lx = 50\nroom = 50\nlux = 50\n")
	check("a mistyped key", 3, "target.rom_lx: is not a key of [target]; did you mean room_lx? (and 2 more mistakes)")
	l.rewrite(t, good)
	check("healed", 3, "")
	l.rewrite(t, "[target]\nroom_lx = -1\n")
	check("the mistake again", 4, "target.room_lx")
}

func TestBrokenAtTheStart(t *testing.T) {
	l := testLoop(t, "[target\n")
	if !reflect.DeepEqual(l.desk.profile, config.Default()) {
		t.Errorf("in force is %+v", l.desk.profile)
	}
	if len(l.raised()) != 1 || len(l.voice.troubles.shown(morning)) != 2 {
		t.Errorf("raised %q, shown %q", l.raised(), l.voice.troubles.shown(morning))
	}
}

func TestFirstMistake(t *testing.T) {
	_, _, err := config.Parse("p.toml", []byte("[target]\nroom_lx = -1\nrecalibrate_days = -1\n"), "")
	for _, c := range []struct {
		err  error
		want string
	}{
		{errors.New("one\ntwo"), "one two"},
		{config.Mistakes{}, ""},
		{err, "p.toml:2: target.room_lx: "},
	} {
		got := firstMistake(c.err)
		if !strings.HasPrefix(got, c.want) || strings.Contains(got, "\n") {
			t.Errorf("of %q the first mistake is %q, want %q", c.err, got, c.want)
		}
	}
}

func TestMissingProfile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "profile.toml")
	p, notes, existed, err := LoadProfile(path, "")
	if err != nil || existed || len(notes) != 0 || !reflect.DeepEqual(p, config.Default()) {
		t.Errorf("a missing profile gives %+v, %q, %v, %v", p, notes, existed, err)
	}
	// What was logged before there is a profile counts all the same.
	mustNot(t, log.Append(LogPath(path), &log.Reading{Reading: rules.Reading{At: morning, Light: 44, Place: rules.AtScreen}}))
	p, _, _, err = LoadProfile(path, "")
	if err != nil || len(p.Readings) != 1 {
		t.Errorf("with a log it gives %+v, %v", p, err)
	}
}

func TestMissingProfileIsSaidOnce(t *testing.T) {
	l := testLoop(t, "")
	var said []string
	l.o.Say = func(s string) { said = append(said, s) }
	mustNot(t, os.Remove(l.o.ProfilePath))
	l.loadProfile()
	l.loadProfile()
	if len(said) != 1 || !strings.Contains(said[0], l.o.ProfilePath) {
		t.Errorf("said %q, want one sentence with the path", said)
	}
}

func TestUnreadableLog(t *testing.T) {
	l := testLoop(t, "")
	log := LogPath(l.o.ProfilePath)
	mustNot(t, os.Mkdir(log, 0o700))
	l.loadProfile()
	if got := l.voice.troubles.shown(morning)[0]; !strings.Contains(got, "log of readings") {
		t.Errorf("the menu shows %q", got)
	}
	if _, notes, _, err := LoadProfile(l.o.ProfilePath, l.o.StateDir); err != nil || len(notes) != 1 {
		t.Errorf("LoadProfile gives %q, %v", notes, err)
	}
	l.onCommand(tray.Command{Kind: tray.LogLight, Lux: 50})
	if got := l.voice.troubles.shown(morning); len(got) != 3 {
		t.Errorf("after a click that could not be logged the menu shows %q", got)
	}
	mustNot(t, os.Remove(log))
	l.onCommand(tray.Command{Kind: tray.LogLight, Lux: 50})
	if got := l.voice.troubles.shown(morning); len(got) != 1 || len(l.desk.profile.Readings) != 1 {
		t.Errorf("healed, the menu shows %q, and the readings are %v", got, l.desk.profile.Readings)
	}
}

func TestStarter(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new", "profile.toml")
	if first, err := writeStarter(path); err != nil || !first {
		t.Errorf("the first profile is the first: %v, %v", first, err)
	}
	text, err := os.ReadFile(path)
	mustNot(t, err)
	p, doubts, err := config.Parse(path, text, "/home/tidemark")
	if err != nil || len(doubts) > 0 || !reflect.DeepEqual(p, config.Default()) {
		t.Errorf("the starter gives %+v, %v, %v; want the profile of an empty file", p, doubts, err)
	}
	for _, key := range []string{"# white_cd_m2 = ", "# [[folder]]", "# purpose = "} {
		if !strings.Contains(string(text), key) {
			t.Errorf("the starter does not show %q", key)
		}
	}
	mustNot(t, os.WriteFile(path, []byte("mine"), 0o600))
	if first, err := writeStarter(path); err != nil || first {
		t.Errorf("a second profile is the first: %v, %v", first, err)
	}
	if text, err := os.ReadFile(path); err != nil || string(text) != "mine" {
		t.Errorf("a profile that was there is now %q, %v", text, err)
	}
}

func TestOpenProfile(t *testing.T) {
	l := testLoop(t, "")
	mustNot(t, os.Remove(l.o.ProfilePath))
	var opened string
	fails := errors.New("no editor")
	l.o.Open = func(path string) error { opened = path; return fails }
	l.onCommand(tray.Command{Kind: tray.OpenProfile})
	if got := strings.Join(l.voice.troubles.shown(morning), " "); !strings.Contains(got, "no editor") || opened != l.o.ProfilePath {
		t.Errorf("opened %q, and the menu shows %q", opened, got)
	}
	fails = nil
	l.onCommand(tray.Command{Kind: tray.OpenProfile})
	if got := strings.Join(l.voice.troubles.shown(morning), " "); strings.Contains(got, "no editor") {
		t.Errorf("opened, the menu still shows %q", got)
	}
}

// TestNoPage: the page is a help; without it, the profile is opened all the same.
func TestNoPage(t *testing.T) {
	for name, c := range map[string]struct {
		explain, open error
		said          int
	}{
		"all is well":         {nil, nil, 0},
		"it can't be made":    {errors.New("the disk is full"), nil, 1},
		"there is no browser": {nil, errors.New("no browser"), 1},
	} {
		l := testLoop(t, "")
		mustNot(t, os.Remove(l.o.ProfilePath))
		var said, opened []string
		l.o.Say = func(text string) { said = append(said, text) }
		l.o.Open = func(path string) error { opened = append(opened, path); return nil }
		l.o.Explain = func(context.Context) error { return c.explain }
		l.o.OpenPage = func(path string) error { opened = append(opened, path); return c.open }
		l.onCommand(tray.Command{Kind: tray.OpenProfile})
		l.onFirstPage(<-l.answers.firstPage)
		want := []string{l.o.ProfilePath, FirstPage(l.o.StateDir)}
		if c.explain != nil {
			want = want[:1]
		}
		if len(said) != c.said || !reflect.DeepEqual(opened, want) || len(l.voice.troubles.shown(morning)) != 1 { // no folder is watched
			t.Errorf("%s: said %q, opened %q, troubles %q; want %d sentences, %q", name, said, opened, l.voice.troubles.shown(morning), c.said, want)
		}
	}
}

// TestProfileFolderIsMade: a folder that isn't there can't be watched, and the
// first profile would go unseen for minutes.
func TestProfileFolderIsMade(t *testing.T) {
	l := testLoop(t, "")
	l.o.ProfilePath = filepath.Join(t.TempDir(), "not", "yet", "profile.toml")
	l.o.Watch = func(_ context.Context, folders []watch.Folder, _ watch.Options, _ chan<- watch.Event) {
		for _, f := range folders {
			if _, err := os.Stat(f.Path); err != nil {
				t.Error(err)
			}
		}
		// It ends at once, which no watch does.
	}
	l.watchProfile()
	<-l.answers.watches
}

func TestLogPath(t *testing.T) {
	got := LogPath(filepath.Join("desk", "my.toml"))
	if want := filepath.Join("desk", logName); got != want {
		t.Errorf("the log is at %s, want %s", got, want)
	}
}
