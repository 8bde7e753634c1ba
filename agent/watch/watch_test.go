package watch

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"
)

// patience bounds every wait of these tests. None of them waits that long
// unless something is broken.
const patience = 2 * time.Minute

// rig is a watch on real folders, fast enough for tests.
type rig struct {
	t      *testing.T
	dir    string // the first folder
	events chan Event
}

func fast() Options {
	return Options{Settle: 30 * time.Millisecond, MaxWait: patience, Tick: time.Hour}
}

// watchDirs starts a watch of these folders.
func watchDirs(t *testing.T, o Options, dirs ...string) *rig {
	t.Helper()
	var folders []Folder
	for _, d := range dirs {
		folders = append(folders, Folder{Path: d, Match: []string{"*.tif"}})
	}
	return watchFolders(t, o, folders...)
}

func watchFolders(t *testing.T, o Options, folders ...Folder) *rig {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	r := &rig{t, folders[0].Path, make(chan Event)}
	var done sync.WaitGroup
	done.Go(func() { Watch(ctx, folders, o, r.events) })
	t.Cleanup(func() {
		cancel()
		done.Wait()
		wantNoGoroutines(t)
	})
	return r
}

// newRig watches an empty temporary folder.
func newRig(t *testing.T, o Options) *rig {
	t.Helper()
	r := watchDirs(t, o, t.TempDir())
	r.begun()
	return r
}

// begun returns when the folder is being watched: a first export arrives.
func (r *rig) begun() {
	r.t.Helper()
	r.sentinel("begun.tif")
}

// sentinel writes a file and expects it as the very next event: whatever was to
// be passed over before it has been passed over.
func (r *rig) sentinel(name string) {
	r.t.Helper()
	r.write(name, name)
	r.wantFile(name, name)
}

func (r *rig) path(name string) string { return filepath.Join(r.dir, name) }

func (r *rig) write(name, content string) {
	r.t.Helper()
	must(r.t, os.WriteFile(r.path(name), []byte(content), 0o600))
}

func (r *rig) next() Event {
	r.t.Helper()
	select {
	case e := <-r.events:
		return e
	case <-time.After(patience):
		r.t.Fatal("no event came")
		return Event{}
	}
}

func (r *rig) wantFile(name, content string) File {
	r.t.Helper()
	e := r.next()
	if e.File == nil {
		r.t.Fatalf("got trouble %+v, want file %s", *e.Trouble, name)
	}
	if e.File.Path != r.path(name) || e.File.Size != int64(len(content)) {
		r.t.Fatalf("got %s with %d bytes, want %s with %d", e.File.Path, e.File.Size, r.path(name), len(content))
	}
	if info, err := os.Stat(e.File.Path); err != nil || !info.ModTime().Equal(e.File.ModTime) {
		r.t.Fatalf("modification time %v, the file has %v, %v", e.File.ModTime, info, err)
	}
	return *e.File
}

func (r *rig) wantTrouble(code string, over bool) {
	r.t.Helper()
	e := r.next()
	if e.Trouble == nil {
		r.t.Fatalf("got file %+v, want trouble %s", *e.File, code)
	}
	if e.Trouble.Code != code || e.Trouble.Over != over {
		r.t.Fatalf("got trouble %+v, want %s, over %v", *e.Trouble, code, over)
	}
	if text := e.Trouble.Text; !strings.Contains(text, filepath.Base(r.dir)) {
		r.t.Errorf("the sentence doesn't say where: %s", text)
	}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// wantNoGoroutines fails if one of ours is left behind after Watch has returned.
// One that has just signalled its end may take a moment to be off the list.
func wantNoGoroutines(t *testing.T) {
	var left string
	for end := time.Now().Add(patience); time.Now().Before(end); runtime.Gosched() {
		if left = ourGoroutine(); left == "" {
			return
		}
	}
	t.Errorf("left behind:\n%s", left)
}

func ourGoroutine() string {
	buf := make([]byte, 1<<20)
	stacks := string(buf[:runtime.Stack(buf, true)])
	for g := range strings.SplitSeq(stacks, "\n\n") {
		if strings.Contains(g, "watch.(*watched)") || strings.Contains(g, "watch.ask") || strings.Contains(g, "fsnotify.(*") {
			return g
		}
	}
	return ""
}

func TestOneWrite(t *testing.T) {
	r := newRig(t, fast())
	r.write("a.tif", "picture")
	if f := r.wantFile("a.tif", "picture"); f.CatchUp || f.Folder != 0 {
		t.Errorf("%+v was seen arriving in folder 0", f)
	}
	r.sentinel("end.tif") // and only once
}

func TestWrittenInPieces(t *testing.T) {
	r := newRig(t, fast())
	f, err := os.Create(r.path("a.tif"))
	must(t, err)
	want := ""
	for i := range 20 {
		piece := strings.Repeat(fmt.Sprint(i%10), 1000)
		_, err := f.WriteString(piece)
		must(t, err)
		must(t, f.Sync())
		want += piece
	}
	must(t, f.Close())
	r.wantFile("a.tif", want)
	r.sentinel("end.tif")
}

func TestTemporaryThenRenamed(t *testing.T) {
	r := newRig(t, fast())
	for _, temp := range []string{".a.tif.x1", "a.tif.tmp", "a.tif~", "~a.tif", "a.part"} {
		r.write(temp, temp)
		r.sentinel("between" + temp + ".tif") // the temporary name itself is passed over
		must(t, os.Rename(r.path(temp), r.path("a.tif")))
		r.wantFile("a.tif", temp)
	}
}

func TestOverwrittenInPlace(t *testing.T) {
	r := newRig(t, fast())
	r.write("a.tif", "first")
	r.wantFile("a.tif", "first")
	r.write("a.tif", "again") // same size, new modification time
	r.wantFile("a.tif", "again")
	r.write("a.tif", "longer now")
	r.wantFile("a.tif", "longer now")
}

func TestMovedIn(t *testing.T) {
	r := newRig(t, fast())
	outside := filepath.Join(t.TempDir(), "a.tif")
	must(t, os.WriteFile(outside, []byte("moved"), 0o600))
	old := time.Now().Add(-240 * time.Hour)
	must(t, os.Chtimes(outside, old, old))
	must(t, os.Rename(outside, r.path("a.tif")))
	if f := r.wantFile("a.tif", "moved"); f.CatchUp {
		t.Error("an old file that was seen arriving is no catch-up")
	}
}

func TestPassedOver(t *testing.T) {
	r := newRig(t, fast())
	r.write("notes.txt", "x")
	r.write(".hidden.tif", "x")
	r.write("empty.tif", "")
	must(t, os.Mkdir(r.path("folder.tif"), 0o700))
	r.sentinel("end.tif")
	r.write("empty.tif", "grown")
	r.wantFile("empty.tif", "grown")
}

func TestLinkToAFile(t *testing.T) {
	r := newRig(t, fast())
	outside := filepath.Join(t.TempDir(), "real.tif")
	must(t, os.WriteFile(outside, []byte("linked"), 0o600))
	must(t, os.Symlink(outside, r.path("a.tif")))
	r.wantFile("a.tif", "linked")
	must(t, os.Symlink(filepath.Join(r.dir, "nowhere"), r.path("broken.tif")))
	must(t, os.Symlink(t.TempDir(), r.path("folder.tif")))
	r.sentinel("end.tif")
}

func TestCatchUp(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"known.tif", "new.tif"} {
		must(t, os.WriteFile(filepath.Join(dir, name), []byte(name), 0o600))
	}
	o := fast()
	o.Known = func(f File) bool { return filepath.Base(f.Path) == "known.tif" && f.Size == 9 }
	r := watchDirs(t, o, dir)
	if f := r.wantFile("new.tif", "new.tif"); !f.CatchUp {
		t.Error("a file that was there at the start is a catch-up")
	}
	r.write("known.tif", "known no more")
	if f := r.wantFile("known.tif", "known no more"); f.CatchUp {
		t.Error("a file that was seen changing is no catch-up")
	}
}

func TestKnownIsAskedOfArrivalsToo(t *testing.T) {
	o := fast()
	o.Known = func(f File) bool { return filepath.Base(f.Path) == "known.tif" }
	r := newRig(t, o)
	r.write("known.tif", "moved out and in again")
	r.sentinel("end.tif")
}

func TestSeveralFolders(t *testing.T) {
	a, b := t.TempDir(), t.TempDir()
	r := watchDirs(t, fast(), a, b)
	r.begun()
	must(t, os.WriteFile(filepath.Join(b, "b.tif"), []byte("b"), 0o600))
	if e := r.next(); e.File == nil || e.File.Folder != 1 || e.File.Path != filepath.Join(b, "b.tif") {
		t.Errorf("got %+v, want b.tif in folder 1", e)
	}
}

func TestFolderMissingAtTheStart(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "exports")
	r := watchDirs(t, fast(), dir)
	r.wantTrouble(Missing, false)
	must(t, os.Mkdir(dir, 0o700))
	r.write("a.tif", "waiting for us")
	r.wantTrouble(Missing, true)
	r.wantFile("a.tif", "waiting for us")
	r.sentinel("end.tif")
}

func TestFolderIsAFile(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "exports")
	must(t, os.WriteFile(dir, nil, 0o600))
	r := watchDirs(t, fast(), dir)
	r.wantTrouble(Unreadable, false)
	must(t, os.Remove(dir))
	r.wantTrouble(Unreadable, true)
	r.wantTrouble(Missing, false)
	must(t, os.Mkdir(dir, 0o700))
	r.wantTrouble(Missing, true)
	r.begun()
}

func TestFolderRemovedAndMadeAgain(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "exports")
	must(t, os.Mkdir(dir, 0o700))
	r := watchDirs(t, fast(), dir)
	r.begun()
	for i := range 3 {
		must(t, os.RemoveAll(dir))
		r.wantTrouble(Missing, false)
		name, beside := fmt.Sprintf("%d.tif", i), dir+".new" // so that the file is there first, and not seen arriving
		must(t, os.Mkdir(beside, 0o700))
		must(t, os.WriteFile(filepath.Join(beside, name), []byte(name), 0o600))
		must(t, os.Rename(beside, dir))
		r.wantTrouble(Missing, true)
		if f := r.wantFile(name, name); !f.CatchUp {
			t.Error("it came while nobody watched")
		}
		r.sentinel("end.tif")
	}
}

// A folder that turns into another one without an event, as on a mount or
// unmount: here the path is a link that is pointed elsewhere.
func TestTickNoticesAnotherFolder(t *testing.T) {
	first, second := t.TempDir(), t.TempDir()
	dir := filepath.Join(t.TempDir(), "exports")
	must(t, os.Symlink(first, dir))
	o := fast()
	o.Tick = 50 * time.Millisecond
	r := watchDirs(t, o, dir)
	r.begun()
	must(t, os.WriteFile(filepath.Join(second, "a.tif"), []byte("elsewhere"), 0o600))
	other := dir + ".new"
	must(t, os.Symlink(second, other))
	must(t, os.Rename(other, dir))
	if f := r.wantFile("a.tif", "elsewhere"); !f.CatchUp {
		t.Error("it came while nobody watched")
	}
	r.sentinel("end.tif")
}

func TestManyAtOnce(t *testing.T) {
	r := newRig(t, fast())
	const n = 1000
	for i := range n {
		r.write(fmt.Sprintf("%04d.tif", i), "x")
	}
	got := map[string]int{}
	for range n {
		e := r.next()
		if e.File == nil {
			t.Fatalf("trouble: %+v", *e.Trouble)
		}
		got[e.File.Path]++
	}
	if len(got) != n {
		t.Errorf("%d of %d files came, so some came twice", len(got), n)
	}
	r.sentinel("end.tif")
}

func TestSlowReceiverEndsWithTheContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	dir := t.TempDir()
	must(t, os.WriteFile(filepath.Join(dir, "a.tif"), []byte("x"), 0o600))
	known := make(chan struct{})
	o := fast()
	var once sync.Once
	o.Known = func(File) bool { once.Do(func() { close(known) }); return false }
	returned := make(chan struct{})
	go func() {
		Watch(ctx, []Folder{{Path: dir}}, o, make(chan Event)) // nobody receives
		close(returned)
	}()
	<-known
	cancel()
	select {
	case <-returned:
		wantNoGoroutines(t)
	case <-time.After(patience):
		t.Fatal("Watch doesn't return while a send is blocked")
	}
}
