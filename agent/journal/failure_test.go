package journal

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestEntryThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	tooLong, noNumber, noYear := entry(1), entry(2), entry(3)
	tooLong.Unread = strings.Repeat("x", maxLine)
	noNumber.Report = report()
	noNumber.Report.Picture.MeanY = math.NaN()
	noYear.At = time.Date(12026, 1, 1, 0, 0, 0, 0, time.UTC)
	for _, e := range []Entry{tooLong, noNumber, noYear} {
		if err := j.Append(e); err == nil || !strings.Contains(err.Error(), e.Path) {
			t.Errorf("error %v, want one that names %s", err, e.Path)
		}
	}
	must(t, j.Append(entry(4)))
	wantSizes(t, dir, 0, 5)
}

func TestFolderThatVanishes(t *testing.T) {
	parent := filepath.Join(t.TempDir(), "drive")
	dir := filepath.Join(parent, "journal")
	j := open(t, dir)
	must(t, j.Append(entry(1)))

	must(t, os.RemoveAll(dir)) // made again: nothing is lost
	must(t, j.Append(entry(2)))
	wantSizes(t, dir, 0, 3)

	must(t, os.RemoveAll(parent))
	must(t, os.WriteFile(parent, nil, 0o600)) // can't be made again
	for range 2 {
		err := j.Append(entry(3))
		if err == nil || !strings.Contains(err.Error(), "skarvik-3.tif") || !strings.Contains(err.Error(), whatToDo) {
			t.Fatalf("error %v, want a sentence that names the export and says what to do", err)
		}
		if e := entry(3); j.Known(e.Path, e.Size, e.ModTime) {
			t.Error("an entry that was not kept is known")
		}
	}
	must(t, os.Remove(parent))
	must(t, j.Append(entry(4)))
	wantSizes(t, dir, 0, 5)
}

func TestFileThatIsReplaced(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	must(t, j.Append(entry(1)))
	path := filepath.Join(dir, fileName(2026))
	must(t, os.Rename(path, path+".old"))
	must(t, j.Append(entry(2)))
	wantSizes(t, dir, 0, 3)
}

func TestOpenInAnImpossiblePlace(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	must(t, os.WriteFile(file, nil, 0o600))
	if _, err := Open(file); err == nil || !strings.Contains(err.Error(), whatToDo) {
		t.Errorf("error %v, want a sentence that says what to do", err)
	}
}
