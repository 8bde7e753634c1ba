package journal

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"runtime"
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

// TestNewFilesNameIsSynced: the name of a new file is seen to the disk before its first
// entry counts as kept; of a file that is there already it was, and is not again.
func TestNewFilesNameIsSynced(t *testing.T) {
	dir := t.TempDir()
	synced, full := 0, errors.New("no space left on device")
	var fails error
	watched := func() *Journal {
		j := open(t, dir)
		j.syncFolder = func(of string) error {
			if of != dir {
				t.Errorf("%s is synced, not %s", of, dir)
			}
			synced++
			return fails
		}
		return j
	}
	want := func(what string, n int) {
		t.Helper()
		if synced != n {
			t.Errorf("%s: synced %d times, want %d", what, synced, n)
		}
		synced = 0
	}
	nextYear := entry(5)
	nextYear.At = nextYear.At.AddDate(1, 0, 0)

	j := watched()
	want("no file yet", 0)
	must(t, j.Append(entry(1)))
	want("a new file", 1)
	must(t, j.Append(entry(2)))
	want("the same file", 0)
	must(t, j.Close())
	must(t, j.Append(entry(3)))
	want("the same file, opened anew", 0)
	must(t, j.Close())
	j = watched()
	must(t, j.Append(entry(4)))
	want("an old file", 0)

	fails = full
	if err := j.Append(nextYear); !errors.Is(err, full) || !strings.Contains(err.Error(), whatToDo) {
		t.Errorf("a name that could not be synced gives %v", err)
	}
	want("a new year's file, in vain", 1)
	fails = nil
	must(t, j.Append(nextYear))
	want("a new year's file", 1)
	wantSizes(t, dir, 0, 2, 3, 4, 5, 6)
}

// TestSyncedByDefault: an open journal has the system's own way.
func TestSyncedByDefault(t *testing.T) {
	j := open(t, t.TempDir())
	if runtime.GOOS != "windows" && j.syncFolder(filepath.Join(t.TempDir(), "gone")) == nil {
		t.Error("a folder that isn't there was synced")
	}
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
