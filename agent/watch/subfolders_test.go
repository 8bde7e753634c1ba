package watch

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/fsnotify/fsnotify"
)

// deepRig watches an empty temporary folder and all below it.
func deepRig(t *testing.T, o Options) *rig {
	t.Helper()
	r := watchFolders(t, o, Folder{Path: t.TempDir(), Match: []string{"*.tif"}, Subfolders: true})
	r.begun()
	return r
}

// mkdir makes folders below the watched one.
func (r *rig) mkdir(names ...string) {
	r.t.Helper()
	for _, name := range names {
		must(r.t, os.MkdirAll(r.path(name), 0o700))
	}
}

// wantFiles expects these files in any order, each once, and nothing else.
func (r *rig) wantFiles(names ...string) (files map[string]File) {
	r.t.Helper()
	files = map[string]File{}
	for range names {
		e := r.next()
		if e.File == nil {
			r.t.Fatalf("got trouble %+v", *e.Trouble)
		}
		rel, err := filepath.Rel(r.dir, e.File.Path)
		must(r.t, err)
		if _, twice := files[rel]; twice {
			r.t.Fatalf("%s came twice", rel)
		}
		files[rel] = *e.File
	}
	for _, name := range names {
		if _, came := files[filepath.FromSlash(name)]; !came {
			r.t.Fatalf("%s is not among %v", name, files)
		}
	}
	return files
}

func TestSubfoldersAreLeftAloneUnlessAskedFor(t *testing.T) {
	r := newRig(t, fast())
	r.mkdir("2026-03-02")
	r.write("2026-03-02/a.tif", "x")
	r.sentinel("end.tif")
}

func TestSubfoldersThatAreThere(t *testing.T) {
	dir := t.TempDir()
	must(t, os.MkdirAll(filepath.Join(dir, "2026", "03"), 0o700))
	must(t, os.WriteFile(filepath.Join(dir, "2026", "03", "old.tif"), []byte("x"), 0o600))
	r := watchFolders(t, fast(), Folder{Path: dir, Match: []string{"*.tif"}, Subfolders: true})
	if f := r.wantFiles("2026/03/old.tif"); !f[filepath.FromSlash("2026/03/old.tif")].CatchUp {
		t.Error("a file that was there at the start is a catch-up")
	}
	for _, name := range []string{"2026/03/a.tif", "2026/b.tif", "c.tif"} {
		r.write(name, name)
		if f := r.wantFile(name, name); f.CatchUp || !f.Written {
			t.Errorf("%+v was seen arriving", f)
		}
	}
}

// Folders are made within each other while files are written into them at once.
func TestNewSubfoldersWhileFilesAreWritten(t *testing.T) {
	r := deepRig(t, fast())
	var want []string
	for i := range 60 {
		dir := fmt.Sprintf("%d/%d/%d", i%3, i%20, i)
		r.mkdir(dir)
		for _, up := range []string{dir, filepath.Dir(dir), filepath.Dir(filepath.Dir(dir))} {
			name := fmt.Sprintf("%s/%d.tif", up, i)
			r.write(name, "x")
			want = append(want, name)
		}
	}
	r.wantFiles(want...)
	r.sentinel("0/0/0/end.tif")
}

func TestSubfolderThatIsRenamed(t *testing.T) {
	r := deepRig(t, fast())
	r.mkdir("a/deep/er")
	r.write("a/deep/er/1.tif", "x")
	r.wantFiles("a/deep/er/1.tif")
	must(t, os.Rename(r.path("a"), r.path("b")))
	if f := r.wantFiles("b/deep/er/1.tif")["b/deep/er/1.tif"]; !f.CatchUp || f.Written {
		t.Errorf("%+v came with its folder, and is not of now", f)
	}
	r.sentinel("b/deep/er/2.tif") // under its new name, though the kernel still watches the old
	r.mkdir("a/deep/er")
	r.write("a/deep/er/3.tif", "x")
	r.wantFiles("a/deep/er/3.tif")
	r.sentinel("b/deep/4.tif")
}

func TestSubfolderThatIsRemovedAndMadeAgain(t *testing.T) {
	r := deepRig(t, fast())
	for range 3 {
		r.mkdir("a/b")
		r.write("a/b/1.tif", "x")
		r.wantFiles("a/b/1.tif")
		must(t, os.RemoveAll(r.path("a")))
	}
	r.sentinel("end.tif")
}

func TestSubfoldersThatArePassedOver(t *testing.T) {
	r := deepRig(t, fast())
	elsewhere := t.TempDir()
	must(t, os.WriteFile(filepath.Join(elsewhere, "a.tif"), []byte("x"), 0o600))
	must(t, os.Symlink(elsewhere, r.path("link")))
	must(t, os.Symlink(r.dir, r.path("circle")))
	r.mkdir(".thumbnails", "~temporary")
	r.write(".thumbnails/a.tif", "x")
	r.write("~temporary/a.tif", "x")
	r.write("notes.txt", "x")
	r.sentinel("end.tif")
	r.mkdir("folder.tif")
	r.write("folder.tif/a.tif", "x") // no picture, in spite of its name, but a folder
	r.wantFiles("folder.tif/a.tif")
}

func TestSubfoldersBeyondTheBounds(t *testing.T) {
	dir := t.TempDir()
	deep := strings.Repeat("d/", 16)
	must(t, os.MkdirAll(filepath.Join(dir, deep, "too"), 0o700))
	must(t, os.WriteFile(filepath.Join(dir, deep, "a.tif"), []byte("x"), 0o600))
	must(t, os.WriteFile(filepath.Join(dir, deep, "too", "b.tif"), []byte("x"), 0o600))
	r := watchFolders(t, fast(), Folder{Path: dir, Match: []string{"*.tif"}, Subfolders: true})
	r.wantTrouble(TooDeep, false)
	r.wantFiles(deep + "a.tif")
}

func TestSubfoldersOverflow(t *testing.T) {
	w, events := still(t, opened{})
	w.Subfolders = true
	must(t, os.Mkdir(filepath.Join(w.Path, "sub"), 0o700))
	w.put(t, "sub/a.tif")
	w.failure(fsnotify.ErrEventOverflow)
	wantCode(t, events, Overflow, false)
	wantCode(t, events, Overflow, true)
	if f := w.files.files[filepath.Join("sub", "a.tif")]; f == nil || f.catchUp {
		t.Errorf("%+v, want sub/a.tif waiting, and no catch-up", f)
	}
}

// No watch is left for one of the subfolders: all are scanned until there is.
func TestSubfolderWithoutAWatch(t *testing.T) {
	w, events := still(t, opened{})
	w.Subfolders = true
	watcher, err := newWatcher(w.Path)
	must(t, err)
	w.opened.watcher = watcher
	w.tellBatch(batch{limit: syscall.ENOSPC})
	w.put(t, "a.tif")
	w.tell(Limit, "no watch left")
	wantCode(t, events, Limit, false)
	w.check()
	wantCode(t, events, Limit, true)
	if _, waits := w.files.files["a.tif"]; !waits || w.opened.limit != nil {
		t.Errorf("the tick didn't scan; limit %v", w.opened.limit)
	}
}

func TestSubfolderThatCannotBeRead(t *testing.T) {
	w, events := still(t, opened{})
	w.tellBatch(batch{partial: os.ErrPermission})
	wantCode(t, events, Unreadable, false)
	w.put(t, "a.tif")
	w.check() // it may be readable by now
	wantCode(t, events, Unreadable, true)
	if _, waits := w.files.files["a.tif"]; !waits {
		t.Error("the tick didn't scan")
	}
}

// A folder that is polled by choice finds what no event tells of.
func TestPolledByChoice(t *testing.T) {
	w, _ := still(t, opened{})
	w.Poll = time.Second
	w.opened.remote = true
	before := time.Now()
	w.scan()
	after := time.Now()
	latest := after.Add(max(w.Poll, 50*after.Sub(before))) // a slow machine polls less often
	if w.poll.Before(before.Add(w.Poll)) || w.poll.After(latest) {
		t.Errorf("the next scan comes after %v, want %v", w.poll.Sub(before), w.Poll)
	}
	w.put(t, "a.tif")
	w.poll = before
	w.wake()
	if _, waits := w.files.files["a.tif"]; !waits || !w.poll.After(before) {
		t.Errorf("a.tif waits: %v; the scan after this one is planned for %v", waits, w.poll)
	}
	w.poll = time.Now()
	w.tick = w.poll.Add(time.Hour)
	w.arm()
	if !w.armed.Equal(w.poll) {
		t.Errorf("the timer is set to %v, want the poll at %v", w.armed, w.poll)
	}
}

// Polling costs at most a fiftieth of the time, however slow a drive is.
func TestPollingIsCheap(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		for _, c := range []struct{ took, pause time.Duration }{
			{0, time.Second}, {20 * time.Millisecond, time.Second}, {30 * time.Millisecond, 1500 * time.Millisecond}, {time.Minute, 50 * time.Minute},
		} {
			w := newWatched(t.Context(), 0, Folder{Path: "/exports", Poll: time.Second}, fast().withDefaults(), nil)
			w.polled(c.took)
			if pause := time.Until(w.poll); pause != c.pause {
				t.Errorf("after a scan that took %v comes a pause of %v, want %v", c.took, pause, c.pause)
			}
		}
	})
}

// A program that overwrites a file and gives it its old time is still noticed.
func TestOverwrittenWithItsOldTime(t *testing.T) {
	r := newRig(t, fast())
	r.write("a.tif", "first")
	was := r.wantFile("a.tif", "first")
	r.write("a.tif", "other")
	must(t, os.Chtimes(r.path("a.tif"), was.ModTime, was.ModTime))
	now := r.wantFile("a.tif", "other")
	if !now.ModTime.Equal(was.ModTime) || !now.Written {
		t.Errorf("%+v, want the time of %+v, and that it was written", now, was)
	}
	must(t, os.Chmod(r.path("a.tif"), 0o640))
	if f := r.wantFile("a.tif", "other"); f.Written {
		t.Errorf("%+v: only its permissions have changed", f)
	}
}

// Where times are whole seconds, a write can leave every time as it is.
func TestOverwrittenWithinASecond(t *testing.T) {
	w, events := still(t, opened{})
	st := state{size: 1, mtime: 5e9, change: 5e9}
	w.handOver("a.tif", st, false, true)
	w.handOver("a.tif", st, false, false)
	if len(events) != 1 {
		t.Fatalf("%d events, want one: nothing was written", len(events))
	}
	w.handOver("a.tif", st, false, true)
	fine := state{size: 1, mtime: 5e9, change: 5e9 + 4e6}
	w.handOver("b.tif", fine, false, true)
	w.handOver("b.tif", fine, false, true)
	if len(events) != 3 {
		t.Errorf("%d events, want one more for a.tif, one for b.tif", len(events))
	}
}

// The watched folder itself is renamed, and back: what was written to it under its
// other name is found, and nothing that is written there goes by the old name.
func TestFolderThatIsRenamedAndBack(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "exports")
	must(t, os.MkdirAll(filepath.Join(dir, "sub"), 0o700))
	r := watchFolders(t, fast(), Folder{Path: dir, Match: []string{"*.tif"}, Subfolders: true})
	r.begun()
	for i := range 3 {
		other := fmt.Sprint(dir, i)
		must(t, os.Rename(dir, other))
		r.wantTrouble(Missing, false)
		name := filepath.Join("sub", fmt.Sprintf("%d.tif", i))
		must(t, os.WriteFile(filepath.Join(other, name), []byte("away"), 0o600))
		must(t, os.Rename(other, dir))
		r.wantTrouble(Missing, true)
		if f := r.wantFile(name, "away"); !f.CatchUp {
			t.Error("it came while nobody watched")
		}
		r.sentinel(filepath.Join("sub", fmt.Sprintf("back-%d.tif", i)))
	}
}

// A folder is renamed and back while one of its subfolders waits to be looked at: the
// root is closed for a moment, and nothing below it can be walked.
func TestRootRenamedWhileASubfolderSettles(t *testing.T) {
	for range 5 {
		r := deepRig(t, fast())
		away := r.dir + ".away"
		r.mkdir("job")
		must(t, os.Rename(r.dir, away))
		time.Sleep(4 * fast().Settle) // the subfolder comes to rest while its root is away
		must(t, os.Rename(away, r.dir))
		r.write("job/1.tif", "x")
		for e := r.next(); ; e = r.next() {
			if e.File != nil {
				break
			}
		}
		r.sentinel("job/end.tif")
	}
}
