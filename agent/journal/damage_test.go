package journal

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestLastLineCutOffAnywhere(t *testing.T) {
	whole, cut := line(t, entry(1)), line(t, entry(2))
	for n := range len(cut) + 1 {
		dir := t.TempDir()
		write(t, dir, 2026, whole+cut[:n])
		j := open(t, dir)
		isEntry := n >= len(cut)-1 // only its newline is missing, if anything
		torn := n > 0 && n < len(cut)
		if said := j.Recovered(); (said != "") != torn || j.Recovered() != "" {
			t.Fatalf("cut after %d bytes: Recovered said %q, want a sentence %v, once", n, said, torn)
		}
		if e := entry(2); j.Known(e.Path, e.Size, e.ModTime) != isEntry {
			t.Fatalf("cut after %d bytes: known = %v", n, !isEntry)
		}
		must(t, j.Append(entry(3)))
		must(t, j.Close())
		switch {
		case isEntry:
			wantSizes(t, dir, 0, 2, 3, 4)
		case torn:
			wantSizes(t, dir, 1, 2, 4)
		default:
			wantSizes(t, dir, 0, 2, 4)
		}
		if b, err := os.ReadFile(filepath.Join(dir, fileName(2026))); err != nil || !strings.HasPrefix(string(b), whole+cut[:n]) {
			t.Fatalf("cut after %d bytes: what was there is not left as it was: %v", n, err)
		}
	}
}

func TestDamagedLines(t *testing.T) {
	damaged := []string{
		"garbage", "{}", "null", "[]", "17", `{"v":1}`, `{"v":0,"at":"2026-03-02T09:30:00Z","path":"/a"}`,
		`{"v":1,"at":"yesterday","path":"/a"}`, `{"v":1,"at":"2026-03-02T09:30:00Z","path":""}`,
		strings.Repeat("\x00", 5000), "\xff\xfe", strings.Repeat("x", 10<<20),
		`{"v":1,"at":"2026-03-02T09:30:00Z","path":"` + strings.Repeat("x", 2*maxLine) + `"}`,
		strings.TrimSuffix(line(t, entry(9)), "\n") + strings.Repeat(" ", maxLine) + "x",
	}
	for _, d := range damaged {
		dir := t.TempDir()
		write(t, dir, 2026, line(t, entry(1))+d+"\n\n"+line(t, entry(2))+d)
		wantSizes(t, dir, 2, 2, 3)
		j := open(t, dir)
		must(t, j.Append(entry(3)))
		wantSizes(t, dir, 2, 2, 3, 4)
	}
}

func TestNewerFormatIsLeftAlone(t *testing.T) {
	newest := `{"v":2,"at":{"unheard":"of"},"path":["/a"]}` + "\n"
	for _, text := range []string{newest, line(t, entry(1)) + newest, newest + line(t, entry(1)), newest + `{"v":2,"at`} {
		dir := t.TempDir()
		write(t, dir, 2026, text)
		_, err := Open(dir)
		wantNewer(t, err)
		_, err = Read(dir, func(Entry) error { return nil })
		wantNewer(t, err)
		if b, err := os.ReadFile(filepath.Join(dir, fileName(2026))); err != nil || string(b) != text {
			t.Errorf("the file was touched: %q, %v", b, err)
		}
	}
}

func TestNewerFormatAppearsWhileOpen(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	write(t, dir, 2026, `{"v":2}`+"\n")
	wantNewer(t, j.Append(entry(1)))
}

func wantNewer(t *testing.T, err error) {
	t.Helper()
	if !errors.Is(err, ErrNewer) {
		t.Fatalf("error %v, want ErrNewer", err)
	}
	for _, part := range []string{fileName(2026), "format 1", "update"} {
		if !strings.Contains(err.Error(), part) {
			t.Errorf("the sentence lacks %q: %v", part, err)
		}
	}
}

func TestBalanced(t *testing.T) {
	e := entry(1)
	e.Report = report()
	e.Path = `/srv/tidemark/},"report":{\".tif`
	whole := strings.TrimSuffix(line(t, e), "\n")
	for n := range len(whole) {
		if balanced([]byte(whole[:n])) {
			t.Fatalf("balanced, though cut off after %d of %d bytes", n, len(whole))
		}
	}
	if !balanced([]byte(whole)) || balanced([]byte(whole+"}")) || balanced([]byte(whole+" {}")) {
		t.Error("only the whole line is balanced")
	}
	if h, err := decodeHead([]byte(whole)); err != nil || h.Path != e.Path || h.Size != e.Size || !h.ModTime.Equal(e.ModTime) {
		t.Errorf("head %+v, %v", h, err)
	}
}

// An empty file has no line, not even an empty one.
func TestNoLine(t *testing.T) {
	for text, want := range map[string]string{"": "", "a": "a", "a\n": "a", "\n": ""} {
		l := newLines(strings.NewReader(text))
		got, err := l.next()
		if (err == nil) != (text != "") || string(got) != want {
			t.Errorf("%q: line %q, %v", text, got, err)
		}
		if _, err := l.next(); err == nil {
			t.Errorf("%q has a second line", text)
		}
	}
}
