package agent

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/picture"
	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/config/log"
	"lampblack/rules"
	"lampblack/testdata/photo"
)

// Photograph is the Reader's: what is in a file is told by how its name begins.
func (s *studio) Photograph(_ context.Context, path string) (picture.Photograph, error) {
	s.mu.Lock()
	s.reads[path]++
	s.mu.Unlock()
	p := photo.Sheet{Grey: 118, Aperture: [2]uint32{4, 1}, Seconds: [2]uint32{1, 30}, ISO: 400, Clock: "2026:03:02 07:15:00", Zone: "+00:00"}
	switch name := filepath.Base(path); {
	case strings.HasPrefix(name, "gone"):
		return picture.Photograph{}, fmt.Errorf("%w: it was moved away", picture.ErrVanished)
	case strings.HasPrefix(name, "bare"):
		p = photo.Sheet{Grey: 118}
	case strings.HasPrefix(name, "bright"):
		p.Grey = 250
	case strings.HasPrefix(name, "ahead"):
		p.Clock = "2031:01:01 00:00:00"
	}
	file := p.JPEG()
	return picture.ReadPhotograph(bytes.NewReader(file), int64(len(file)))
}

// lightDesk is a profile with more under [room].
func (s *studio) lightDesk(room string) {
	s.t.Helper()
	text, err := os.ReadFile("../testdata/days/profile.toml")
	s.must(err)
	s.writeProfile(bytes.Replace(text, []byte("[room]\n"), []byte("[room]\n"+room+"\n"), 1))
}

// wait lets time pass, and then the agent come to rest.
func (s *studio) wait(d time.Duration) {
	time.Sleep(d)
	synctest.Wait()
}

func (s *studio) readings() []rules.Reading {
	s.t.Helper()
	known, recovered, err := log.Read(LogPath(s.profile()))
	s.must(err)
	if recovered != "" {
		s.t.Error(recovered)
	}
	var rs []rules.Reading
	for _, r := range log.Of[*log.Reading](known) {
		rs = append(rs, r.Reading)
	}
	return rs
}

func (s *studio) inMenu(text string) bool {
	return slices.ContainsFunc(s.menu(), func(line string) bool { return strings.Contains(line, text) })
}

func TestLightFolder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		s.lightDesk(`light_folder = "light"`)
		s.files = append(s.files, watch.File{Path: filepath.Join(s.root, "light/before.jpg"), Size: 1, ModTime: time.Now().Add(-time.Hour)})
		s.wait(8 * time.Hour)
		s.begin()
		s.export("light/sheet.jpg")
		s.wait(time.Second)
		rs := s.readings()
		if len(rs) != 1 || rs[0].Place != rules.AtScreen || !rs[0].At.Equal(time.Date(2026, 3, 2, 7, 15, 0, 0, time.UTC)) ||
			rs[0].Light < 52 || rs[0].Light > 56 || rs[0].Sigma < 0.25 {
			t.Fatalf("logged %+v", rs)
		}
		if !s.inMenu("photographed") {
			t.Errorf("the menu shows %q", s.menu())
		}
		for _, x := range s.lines() {
			if x.kind == "notice" || x.kind == "trouble" {
				t.Errorf("%s: %s", x.kind, x.text)
			}
		}

		// One sentence for a photograph that tells nothing, until the next that does.
		s.export("light/bare.jpg")
		s.wait(time.Second)
		if got := s.troubles(); len(got) != 1 || !strings.HasPrefix(got[0], "Light folder: bare.jpg: ") {
			t.Errorf("troubles %q", got)
		}
		s.export("light/bright.jpg")
		s.export("light/gone.jpg")
		s.wait(time.Second)
		if got := s.troubles(); len(got) != 2 || len(s.readings()) != 1 {
			t.Errorf("troubles %q, %d readings", got, len(s.readings()))
		}
		// The menu names the last of many.
		for i := range 9 {
			s.export(fmt.Sprintf("light/bare-%d.jpg", i))
			s.wait(time.Second)
		}
		if got := s.troubles(); len(got) != 3 || !strings.HasPrefix(got[len(got)-1], "Light folder: bare-8.jpg: ") {
			t.Errorf("troubles %q", got)
		}
		// A camera's clock that is ahead is not believed: the file's time is.
		ahead := time.Now()
		s.export("light/ahead.jpg")
		s.wait(time.Second)
		rs = s.readings()
		if len(rs) != 2 || !rs[1].At.Equal(ahead) || len(s.troubles()) != 0 {
			t.Errorf("logged %+v, troubles %q", rs, s.troubles())
		}

		// Nothing is logged again after a restart, but for what came meanwhile.
		s.end()
		s.files = append(s.files, watch.File{Path: filepath.Join(s.root, "light/sheet-2.jpg"), Size: 1, ModTime: time.Now()})
		s.wait(time.Minute)
		s.begin()
		s.wait(time.Second)
		if rs = s.readings(); len(rs) != 3 || len(s.troubles()) != 0 {
			t.Errorf("after a restart: %+v, troubles %q", rs, s.troubles())
		}
		if n := s.reads[filepath.Join(s.root, "light/before.jpg")] + s.reads[filepath.Join(s.root, "light/sheet.jpg")]; n != 1 {
			t.Errorf("old photographs were read %d times", n)
		}

		// A folder that isn't there is a trouble, until the profile forgets it.
		tr := watch.Trouble{Code: watch.Missing, Text: "the light folder is missing"}
		s.trouble("light", tr)
		s.wait(time.Minute)
		if got := s.troubles(); !slices.Contains(got, "The light folder is missing") {
			t.Errorf("troubles %q", got)
		}
		s.newProfile()
		s.edited()
		s.wait(time.Second)
		if got := s.troubles(); len(got) != 0 {
			t.Errorf("troubles of a folder that isn't watched: %q", got)
		}
		s.end()
	})
}

// TestRealLightFolder: with the real watch, and the reader in its own process.
func TestRealLightFolder(t *testing.T) {
	a := startReal(t)
	a.said("180 cd/m²")
	light := filepath.Join(a.root, "light")
	a.must(os.Mkdir(light, 0o700))
	profile := filepath.Join(a.root, "profile.toml")
	text, err := os.ReadFile(profile)
	a.must(err)
	edited := strings.NewReplacer("[room]\n", "[room]\nlight_folder = \"light\"\n", "180.0", "96.0").Replace(string(text))
	a.must(os.WriteFile(profile, []byte(edited), 0o600))
	a.said("96 cd/m²") // the folder is watched by now: what lay in it before is none of ours
	sheet := photo.Sheet{Grey: 118, Aperture: [2]uint32{4, 1}, Seconds: [2]uint32{1, 30}, ISO: 400}
	a.must(os.WriteFile(filepath.Join(light, "sheet.jpg"), sheet.JPEG(), 0o600))
	a.said("54 lx, read at the screen (photographed)")
	a.desktop.clicks <- tray.Command{Kind: tray.Quit}
	if err := await(t, "the end", a.ended, anything); err != nil {
		t.Error(err)
	}
}

func TestGreyCards(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		s.lightDesk("light_folder = \"light\"\nlight_of = \"grey card\"")
		s.wait(8 * time.Hour)
		s.begin()
		s.export("light/sheet.jpg")
		s.wait(time.Second)
		s.end()
		if rs := s.readings(); len(rs) != 1 || rs[0].Light < 255 || rs[0].Light > 270 {
			t.Errorf("logged %+v", rs)
		}
	})
}

// TestOldPhotographs: what lay in the light folder before it was watched, or is older
// than thirty days, is no reading; what was seen coming is.
func TestOldPhotographs(t *testing.T) {
	const day = 24 * time.Hour
	f := lightFolder{since: morning.Add(-60 * day)}
	for name, c := range map[string]struct {
		age     time.Duration
		catchUp bool
		want    bool
	}{
		"thirty days": {30 * day, true, false}, "more": {30*day + 1, true, true},
		"seen coming": {90 * day, false, false}, "before": {61 * day, true, true},
	} {
		p := watch.File{ModTime: morning.Add(-c.age), CatchUp: c.catchUp}
		if got := f.tooOld(p, morning); got != c.want {
			t.Errorf("%s: too old %v", name, got)
		}
	}
}

func TestPhotosAreRemembered(t *testing.T) {
	dir := t.TempDir()
	now := time.Date(2026, 3, 2, 8, 0, 0, 123456789, time.UTC)
	f := watch.File{Path: "/light/sheet.jpg", Size: 9, ModTime: now}
	old := watch.File{Path: "/light/old.jpg", Size: 9, ModTime: now.Add(-60*24*time.Hour - 1)}
	late := watch.File{Path: "/light/late.jpg", Size: 9, ModTime: now.Add(-60 * 24 * time.Hour)}
	p := readPhotos(dir)
	p.add(late, now)
	p.add(old, now)
	p.add(f, now)
	p = readPhotos(dir)
	if !p.has(f) || !p.has(late) || p.has(old) {
		t.Errorf("remembered %+v", p.seen)
	}
	f.Size++
	if p.has(f) {
		t.Error("a photograph that was written over is another one")
	}
	mustNot(t, os.WriteFile(p.file, []byte("torn {"), 0o600))
	if p = readPhotos(dir); len(p.seen) != 0 {
		t.Errorf("of a torn file: %+v", p.seen)
	}
}
