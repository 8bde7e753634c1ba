package private

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func mustNot(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// led is a file that must stay as it is, and a link to it.
func led(t *testing.T) (victim, link string) {
	t.Helper()
	dir := t.TempDir()
	victim, link = filepath.Join(dir, "victim"), filepath.Join(dir, "link")
	mustNot(t, os.WriteFile(victim, []byte("precious"), 0o644))
	mustNot(t, os.Symlink(victim, link))
	return victim, link
}

func wantText(t *testing.T, path, want string) {
	t.Helper()
	if text, err := os.ReadFile(path); err != nil || string(text) != want {
		t.Errorf("%s holds %q, %v; want %q", filepath.Base(path), text, err, want)
	}
}

func TestLinksAreRefused(t *testing.T) {
	for name, open := range map[string]func(path string) error{
		"append": func(path string) error { _, err := Append(path); return err },
		"read":   func(path string) error { _, err := Read(path); return err },
		"lock":   func(path string) error { _, err := Open(path, os.O_RDWR|os.O_CREATE); return err },
		"folder": Folder,
	} {
		victim, link := led(t)
		err := open(link)
		if !errors.Is(err, ErrLink) || !strings.Contains(err.Error(), link) {
			t.Errorf("%s: %v, want ErrLink and the path", name, err)
		}
		mustNot(t, os.Remove(victim))
		if err := open(link); !errors.Is(err, ErrLink) {
			t.Errorf("%s, with nothing at the link's end: %v", name, err)
		}
		if _, err := os.Lstat(victim); err == nil {
			t.Errorf("%s made what the link led to", name)
		}
	}
}

func TestReplace(t *testing.T) {
	victim, link := led(t)
	mustNot(t, Replace(link, []byte("new")))
	wantText(t, victim, "precious")
	wantText(t, link, "new")
	info, err := os.Lstat(link)
	if err != nil || !info.Mode().IsRegular() || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("in the place of the link is %v, %v", info, err)
	}
	mustNot(t, Replace(link, []byte("newer")))
	wantText(t, link, "newer")
	if left, _ := os.ReadDir(filepath.Dir(link)); len(left) != 2 {
		t.Errorf("left behind: %v", left)
	}
	taken := filepath.Join(filepath.Dir(link), "taken")
	mustNot(t, os.MkdirAll(filepath.Join(taken, "of"), 0o700))
	if err := Replace(taken, nil); err == nil {
		t.Error("a folder was replaced")
	}
	if left, _ := os.ReadDir(filepath.Dir(link)); len(left) != 3 {
		t.Errorf("left behind by a failure: %v", left)
	}
}

// A line goes behind what is there, on a line of its own.
func TestAppendLines(t *testing.T) {
	for was, want := range map[string]string{
		"":              "one\ntwo\n",
		"before\n":      "before\none\ntwo\n",
		"before\ncut o": "before\ncut o\none\ntwo\n",
	} {
		path := filepath.Join(t.TempDir(), "lines")
		mustNot(t, os.WriteFile(path, []byte(was), 0o600))
		f, err := Append(path)
		mustNot(t, err)
		before, added, err := AppendLines(f, []byte("one\ntwo\n"))
		mustNot(t, errors.Join(err, f.Close()))
		if before.Size() != int64(len(was)) || added != len(want)-len(was) {
			t.Errorf("behind %q: it was %d bytes, %d were added", was, before.Size(), added)
		}
		wantText(t, path, want)
	}
	f, err := os.Open(t.TempDir())
	mustNot(t, err)
	defer f.Close()
	if _, _, err := AppendLines(f, []byte("one\n")); err == nil {
		t.Error("a folder was written to")
	}
}

func TestAppendAndRead(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "deep", "journal")
	mustNot(t, Folder(dir))
	mustNot(t, Folder(dir))
	path := filepath.Join(dir, "lines")
	if _, err := Read(path); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("of no file: %v", err)
	}
	for range 2 {
		f, err := Append(path)
		mustNot(t, err)
		_, err = f.WriteString("line\n")
		mustNot(t, errors.Join(err, f.Close()))
	}
	if text, err := Read(path); err != nil || string(text) != "line\nline\n" {
		t.Errorf("read %q, %v", text, err)
	}
	for _, p := range []string{path, dir} {
		info, err := os.Stat(p)
		if err != nil || runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
			t.Errorf("others may use %s: %v, %v", p, info.Mode(), err)
		}
	}
	if _, err := Read(dir); err == nil {
		t.Error("a folder was read")
	}
}
