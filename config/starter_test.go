package config

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
)

var march = time.Date(2026, 3, 2, 0, 0, 0, 0, time.Local)

func starterOf(t *testing.T, a Answers) *rules.Profile {
	t.Helper()
	p, doubts, err := Parse("/home/anna/profile.toml", []byte(Starter(a)), "/home/anna")
	if err != nil || len(doubts) > 0 {
		t.Fatalf("%+v: %v %v\n%s", a, err, doubts, Starter(a))
	}
	return p
}

// What was answered is in the profile; whatever else is in it is what stands in
// for an empty one.
func TestStarter(t *testing.T) {
	for name, c := range map[string]struct {
		a      Answers
		expect func(*rules.Profile)
	}{
		"nothing": {Answers{}, func(*rules.Profile) {}},
		"white":   {Answers{White: 118.5}, func(p *rules.Profile) { p.Displays[0].White = rules.Stated(rules.Luminance(118.5)) }},
		"day":     {Answers{Measured: march}, func(p *rules.Profile) { p.Displays[0].Measured = rules.Stated(march) }},
		"held":    {Answers{Held: new(true)}, func(p *rules.Profile) { p.Displays[0].Held = rules.Stated(true) }},
		"not held": {Answers{White: 160, Held: new(false)}, func(p *rules.Profile) {
			p.Displays[0].White, p.Displays[0].Held = rules.Stated(rules.Luminance(160)), rules.Stated(false)
		}},
		"folder": {Answers{Exports: "~/to-print"}, func(p *rules.Profile) {
			p.Folders = []rules.Folder{{Path: "/home/anna/to-print", Purpose: rules.ForPrint, Subfolders: true, Match: defaultMatch}}
		}},
		"judged": {Answers{Judged: rules.Beside}, func(p *rules.Profile) { p.Judged = rules.Beside }},
		"all": {Answers{White: 10000, Measured: march, Exports: "/srv/to-print"}, func(p *rules.Profile) {
			p.Displays[0].White, p.Displays[0].Measured = rules.Stated(rules.Luminance(10000)), rules.Stated(march)
			p.Folders = []rules.Folder{{Path: "/srv/to-print", Purpose: rules.ForPrint, Subfolders: true, Match: defaultMatch}}
		}},
	} {
		want := Default()
		c.expect(want)
		// In words, since a time in the local zone has several forms.
		if got, want := fmt.Sprintf("%+v", starterOf(t, c.a)), fmt.Sprintf("%+v", want); got != want {
			t.Errorf("%s: the profile is\n%s\nwant\n%s", name, got, want)
		}
	}
}

// Every line of the example is there, in its place: the comments are the manual.
func TestStarterKeepsTheComments(t *testing.T) {
	got := strings.Split(Starter(Answers{White: 120, Measured: march, Exports: "/srv/to-print"}), "\n")
	example := strings.Split(Example, "\n")
	if len(got) != len(example) {
		t.Fatalf("%d lines, the example has %d", len(got), len(example))
	}
	changed := map[int]string{}
	for i, line := range example {
		if got[i] != line && got[i] != "# "+line && line != studioLine {
			changed[i+1] = got[i]
		}
	}
	want := map[string]string{
		"display.name":        `name = "screen"`,
		"display.white_cd_m2": "white_cd_m2 = 120               # luminance of its white, in cd/m²",
		"display.measured":    "measured = 2026-03-02           # date of the last calibration; leave out if there was none",
		"folder.path":         "path = '/srv/to-print'",
	}
	at := StarterLines(Example)
	for key, line := range want {
		if changed[at[key]] != line {
			t.Errorf("%s is on line %d as %q, want %q", key, at[key], changed[at[key]], line)
		}
	}
	if len(changed) != len(want) {
		t.Errorf("changed are the lines %v, want %d", changed, len(want))
	}
}

// Nobody's own profile says that it is somebody else's.
func TestStarterIsOnesOwn(t *testing.T) {
	if !strings.Contains(Example, studioLine+"\n") {
		t.Error("the example doesn't say that its studio is invented")
	}
	for _, a := range []Answers{{}, {White: 120, Exports: "/a"}} {
		if text := Starter(a); strings.Contains(text, "invented") || !strings.Contains(text, starterLine+"\n") {
			t.Errorf("the profile begins with\n%s", text[:200])
		}
	}
}

func TestStarterPaths(t *testing.T) {
	for _, path := range []string{`/a b`, `D:\Exports\to-print`, `/it's`, `/a"b`, "/tab\there", "/ü/写真", `/'"\`, `/#x = "y"`} {
		text := Starter(Answers{Exports: path})
		p, _, err := Parse("/home/anna/profile.toml", []byte(text), "/home/anna")
		if strings.ContainsRune(path, '\t') { // no profile can hold it, and the mistake says so
			if err == nil {
				t.Errorf("%q was taken", path)
			}
			continue
		}
		if err != nil {
			t.Errorf("%q: %v", path, err)
			continue
		}
		if got := p.Folders[0].Path; got != path && (runtime.GOOS == "windows" || !strings.HasPrefix(path, "D:") || !strings.HasSuffix(got, path)) {
			t.Errorf("%q becomes %q", path, got)
		}
	}
}

// The lines are found in the example, in what is made of it, and in what somebody
// made of that.
func TestStarterLines(t *testing.T) {
	want := StarterLines(Example)
	for _, key := range []string{"display", "display.name", "display.white_cd_m2", "display.measured", "reading", "reading.at", "reading.lx",
		"reading.place", "folder", "folder.path", "folder.purpose"} {
		if want[key] == 0 {
			t.Errorf("%s is not found", key)
		}
	}
	for _, text := range []string{Starter(Answers{}), Starter(Answers{White: 120, Exports: "/a"}), strings.ReplaceAll(Starter(Answers{}), "\n", "\r\n")} {
		if got := StarterLines(text); !reflect.DeepEqual(got, want) {
			t.Errorf("the lines are %v, want %v", got, want)
		}
	}
	if got := StarterLines("[[folder]]\n#path = 'x'\n"); got["folder.path"] != 2 || got["display"] != 0 {
		t.Errorf("the lines are %v", got)
	}
}

func TestWriteStarter(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new", "lampblack", "profile.toml")
	if err := WriteStarter(path, Answers{White: 120}); err != nil {
		t.Fatal(err)
	}
	p, _, err := Load(path)
	if err != nil || p.Displays[0].White != rules.Stated(rules.Luminance(120)) {
		t.Errorf("loaded %+v, %v", p, err)
	}
	before, _ := os.ReadFile(path)
	if err := WriteStarter(path, Answers{White: 90}); !errors.Is(err, fs.ErrExist) {
		t.Errorf("error %v, want that it exists", err)
	}
	if after, err := os.ReadFile(path); err != nil || string(after) != string(before) {
		t.Errorf("the profile was written over: %v", err)
	}
	if runtime.GOOS == "windows" {
		return // which has no such modes
	}
	for path, want := range map[string]fs.FileMode{filepath.Dir(path): 0o700, path: 0o600} {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v; want %o", path, info.Mode(), err, want)
		}
	}
}
