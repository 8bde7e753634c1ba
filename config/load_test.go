package config

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// writeProfile writes a profile into a folder of its own.
func writeProfile(t *testing.T, content string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "desk.toml")
	if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestLoadTakesRelativePathsFromTheProfilesFolder(t *testing.T) {
	path := writeProfile(t, "[[paper]]\nname = \"harbour rag\"\nicc = \"icc/rag.icc\"\n"+
		"[[folder]]\npath = \"prints/./sub/..\"\npurpose = \"print\"\n[[folder]]\npath = \"~/prints\"\npurpose = \"print\"\n")
	home := t.TempDir() // with a folder that holds something, and one that doesn't
	t.Setenv("HOME", home)
	t.Setenv("USERPROFILE", home)
	dir := filepath.Dir(path)
	for _, d := range []string{filepath.Join(dir, "prints"), filepath.Join(home, "prints")} {
		if err := os.Mkdir(d, 0o700); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "prints", "hall.tif"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	t.Chdir(filepath.Dir(dir))
	p, doubts, err := Load(filepath.Join(filepath.Base(dir), "desk.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(doubts) != 1 || doubts[0].Key != "paper.icc" || doubts[0].Line != 3 {
		t.Errorf("got doubts %v, want one of the missing icc in line 3", doubts)
	}
	want := []string{filepath.Join(dir, "prints"), filepath.Join(home, "prints"), filepath.Join(dir, "icc", "rag.icc")}
	for i, got := range []string{p.Folders[0].Path, p.Folders[1].Path, p.Papers[0].ICC} {
		if real, err := filepath.EvalSymlinks(filepath.Dir(want[i])); err == nil {
			want[i] = filepath.Join(real, filepath.Base(want[i]))
		}
		if real, err := filepath.EvalSymlinks(filepath.Dir(got)); err == nil {
			got = filepath.Join(real, filepath.Base(got))
		}
		if got != want[i] {
			t.Errorf("got path %s, want %s", got, want[i])
		}
	}
}

func TestLoadDoubtsAFolderThatIsNotThere(t *testing.T) {
	path := writeProfile(t, "[[folder]]\npath = \"unplugged\"\npurpose = \"print\"\n")
	p, doubts, err := Load(path)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Folders) != 1 || len(doubts) != 1 || doubts[0].Line != 2 || !strings.Contains(doubts[0].Text, "is not there right now") {
		t.Errorf("got folders %v and doubts %v", p.Folders, doubts)
	}
}

func TestLoadRefusesAFileAsFolder(t *testing.T) {
	for _, folder := range []string{"desk.toml", "desk.toml/below"} {
		path := writeProfile(t, fmt.Sprintf("[[folder]]\npath = %q\npurpose = \"print\"\n", folder))
		_, doubts, err := Load(path)
		if runtime.GOOS == "windows" && len(doubts) == 1 {
			continue // there, what lies below a file is merely not there
		}
		var mistakes Mistakes
		if !errors.As(err, &mistakes) || len(mistakes) != 1 || !strings.Contains(mistakes[0].Text, "is not a folder") {
			t.Errorf("%s: got %v", folder, err)
		}
	}
}

// The superuser may read everything, so what the system would say is said here.
func TestUnreadableFolderIsAMistake(t *testing.T) {
	r := &reader{file: "desk.toml"}
	r.judgeFolder(place(""), "folder.path", "/exports", &fs.PathError{Op: "open", Path: "/exports", Err: fs.ErrPermission})
	if len(r.wrong) != 1 || !strings.Contains(r.wrong[0].Text, "/exports can't be read (permission denied)") {
		t.Errorf("got %v", r.wrong)
	}
}

func TestLoadErrors(t *testing.T) {
	_, _, err := Load(filepath.Join(t.TempDir(), "none.toml"))
	if !errors.Is(err, fs.ErrNotExist) || !strings.HasPrefix(err.Error(), "the profile can't be read: ") {
		t.Errorf("a missing profile: %v", err)
	}
	_, _, err = Load(writeProfile(t, strings.Repeat("# more\n", maxProfile/7+1)))
	if err == nil || !strings.Contains(err.Error(), "larger than 256 KB") {
		t.Errorf("a large file: %v", err)
	}
	if _, _, err = Load(t.TempDir()); err == nil {
		t.Error("a folder was read as a profile")
	}
}

func TestFutureDaysAreDoubted(t *testing.T) {
	r := read("desk.toml", "", "[[display]]\nname = \"a\"\nmeasured = 2062-02-14\n"+
		"[[reading]]\nat = 2062-02-14T09:00:00Z\nlx = 41\nplace = \"screen\"\n", "")
	r.checkFuture(time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC))
	want := "desk.toml:3: display.measured: 2062-02-14 has yet to come, and until then it is taken for today; " +
		"write when it was, or set this machine's clock right\n" +
		"desk.toml:5: reading.at: 2062-02-14 09:00 has yet to come, and until then it is left out; " +
		"write when it was, or set this machine's clock right"
	if got := r.doubtful.inOrder().Error(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestHomeIsNeededForATildeOnly(t *testing.T) {
	_, _, err := Parse("desk.toml", []byte("[[folder]]\npath = \"~/prints\"\npurpose = \"print\"\n"), "")
	if err == nil || !strings.Contains(err.Error(), "write the whole path") {
		t.Errorf("got %v", err)
	}
	_, _, err = Parse("desk.toml", []byte("[[folder]]\npath = \"prints\"\npurpose = \"print\"\n"), "")
	if err != nil {
		t.Error(err)
	}
}

// The years of the profile, as typed: the day before 1990 and the one after 2199 are
// refused, with the line.
func TestYearsOfTheProfile(t *testing.T) {
	for day, want := range map[string]bool{"1989-12-31": false, "1990-01-01": true, "2199-12-31": true, "2200-01-01": false} {
		_, _, err := Parse("desk.toml", []byte("[[display]]\nname = \"north bench\"\nmeasured = "+day+"\n"), "")
		if (err == nil) != want || err != nil && !strings.Contains(err.Error(), "desk.toml:3: display.measured: found the date "+day+", allowed is a date from 1990 to 2199") {
			t.Errorf("%s: %v", day, err)
		}
	}
}

// What is clear is at least what is noticeable; as much is no doubt, a hair less is one.
func TestClearIsNoticeable(t *testing.T) {
	for quiet, doubts := range map[string]int{
		"noticeable_stops = 0.15\nclear_stops = 0.15":  0,
		"noticeable_stops = 0.15\nclear_stops = 0.149": 1,
		"clear_stops = 0.15":                           0,
		"clear_stops = 0.14":                           1,
		"noticeable_stops = 0.33":                      0,
		"noticeable_stops = 0.34":                      1,
	} {
		_, got, err := Parse("desk.toml", []byte("[quiet]\n"+quiet+"\n"), "")
		if err != nil || len(got) != doubts {
			t.Errorf("%q: %v, %v; want %d doubts", quiet, got, err, doubts)
		}
	}
}
