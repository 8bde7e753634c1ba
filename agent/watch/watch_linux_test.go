package watch

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

func TestWriterThatPauses(t *testing.T) {
	r := newRig(t, fast())
	f, err := os.Create(r.path("a.tif"))
	must(t, err)
	_, err = f.WriteString("half ")
	must(t, err)
	for i := range 3 { // each takes longer than a.tif needs to settle
		r.sentinel(fmt.Sprintf("between%d.tif", i))
	}
	_, err = f.WriteString("whole")
	must(t, err)
	must(t, f.Close())
	r.wantFile("a.tif", "half whole")
	r.sentinel("end.tif")
}

// As long as somebody has them open, the two are not finished, however slow this
// machine is at taking them away.
func TestRemovedOrRenamedWhileWaiting(t *testing.T) {
	r := newRig(t, fast())
	var open []*os.File
	for _, name := range []string{"removed.tif", "renamed.tif"} {
		f, err := os.Create(r.path(name))
		must(t, err)
		_, err = f.WriteString("x")
		must(t, err)
		open = append(open, f)
	}
	must(t, os.Remove(r.path("removed.tif")))
	must(t, os.Rename(r.path("renamed.tif"), r.path("final.tif")))
	for _, f := range open {
		must(t, f.Close())
	}
	r.wantFile("final.tif", "x")
	r.sentinel("end.tif")
}

func TestWriterThatNeverLetsGo(t *testing.T) {
	o := fast()
	o.MaxWait = 200 * time.Millisecond
	r := newRig(t, o)
	begun := time.Now()
	f, err := os.Create(r.path("a.tif"))
	must(t, err)
	defer f.Close()
	_, err = f.WriteString("saved")
	must(t, err)
	r.wantFile("a.tif", "saved")
	if d := time.Since(begun); d < o.MaxWait {
		t.Errorf("handed over after %v, though a program has it open", d)
	}
}

func TestFileThatNeverRests(t *testing.T) {
	o := fast()
	o.MaxWait = time.Second // a pause of the writer as long as that is one in which the file rests
	r := newRig(t, o)
	f, err := os.Create(r.path("a.tif"))
	must(t, err)
	stop, stopped := make(chan struct{}), make(chan int)
	go func() {
		tick := time.NewTicker(2 * time.Millisecond)
		defer tick.Stop()
		for n := 0; ; n++ {
			select {
			case <-stop:
				f.Close()
				stopped <- n
				return
			case <-tick.C:
				f.WriteString("x")
			}
		}
	}()
	r.wantTrouble(Growing, false)
	close(stop)
	n := <-stopped
	r.wantFile("a.tif", fmt.Sprintf("%*s", n, ""))
	r.wantTrouble(Growing, true)
}

func TestHeld(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.tif")
	f, err := os.Create(path)
	must(t, err)
	if !held(path) {
		t.Error("not held, though open for writing")
	}
	must(t, f.Close())
	if held(path) {
		t.Error("held after the writer closed it")
	}
	f, err = os.Open(path)
	must(t, err)
	if held(path) {
		t.Error("a reader doesn't hold a file")
	}
	must(t, f.Close())
	if held(path + ".missing") {
		t.Error("a file that isn't there is held")
	}
	w, err := os.OpenFile(path, os.O_WRONLY, 0)
	must(t, err) // the lease was given back, or this would have waited
	must(t, w.Close())
}

// handles are the files that this program has open.
func handles(t *testing.T) int {
	t.Helper()
	list, err := os.ReadDir("/proc/self/fd")
	must(t, err)
	return len(list)
}

// No file handle is left: the folder is opened all the same, and will be scanned.
func TestFolderWithoutAHandle(t *testing.T) {
	dir := t.TempDir()
	var was unix.Rlimit
	must(t, unix.Getrlimit(unix.RLIMIT_NOFILE, &was))
	must(t, unix.Setrlimit(unix.RLIMIT_NOFILE, &unix.Rlimit{Cur: 0, Max: was.Max}))
	watcher, err := newWatcher(dir)
	r := openFolder(dir)
	must(t, unix.Setrlimit(unix.RLIMIT_NOFILE, &was))
	if watcher != nil || !isLimit(err) {
		t.Errorf("a watcher: %v, %v; want a limit", watcher, err)
	}
	if r.err != nil || r.opened.watcher != nil || !isLimit(r.opened.limit) {
		t.Errorf("%+v, %v; want it opened, with the limit", r.opened, r.err)
	}
}

func TestScanLeavesNothingOpen(t *testing.T) {
	w, _ := still(t, opened{})
	w.Subfolders = true
	must(t, os.Mkdir(filepath.Join(w.Path, "sub"), 0o700))
	before := handles(t)
	for range 3 {
		w.scan()
		looks := lookAll(w.Path, []string{"sub"})
		if !looks[0].folder || looks[0].gone {
			t.Errorf("%+v, want a folder", looks[0])
		}
	}
	if after := handles(t); after != before {
		t.Errorf("%d files are open after a scan, %d before it", after, before)
	}
}

// unknown is a file of which the system tells nothing more than its size.
type unknown struct{ fs.FileInfo }

func (unknown) Sys() any { return nil }

func TestWhatTheSystemDoesNotTell(t *testing.T) {
	if got := changeOf(unknown{}); got != 0 {
		t.Errorf("the last change is %d, want 0: it isn't kept", got)
	}
	if remote("/proc") {
		t.Error("no other computer writes to /proc")
	}
	if !remote(filepath.Join(t.TempDir(), "missing")) {
		t.Error("what can't be asked can't be trusted")
	}
}

func TestPipeIsPassedOver(t *testing.T) {
	r := newRig(t, fast())
	must(t, unix.Mkfifo(r.path("pipe.tif"), 0o600))
	r.sentinel("end.tif")
	if held(r.path("pipe.tif")) {
		t.Error("a pipe is held")
	}
}

// More events than the kernel queues, and more files than may wait: all of them
// come, each once, though nobody received while they were written.
func TestRealOverflow(t *testing.T) {
	text, err := os.ReadFile("/proc/sys/fs/inotify/max_queued_events")
	must(t, err)
	queue, err := strconv.Atoi(strings.TrimSpace(string(text)))
	must(t, err)
	r := newRig(t, fast())
	n := max(12_000, queue) // each has at least two events
	for i := range n {
		r.write(fmt.Sprintf("%05d.tif", i), "x")
	}
	got, overflow := map[string]bool{}, 0
	for len(got) < n {
		e := r.next()
		switch {
		case e.File == nil && e.Trouble.Code == Overflow:
			overflow++
		case e.File == nil:
			t.Fatalf("trouble: %+v", *e.Trouble)
		case got[e.File.Path]:
			t.Fatalf("%s came twice", e.File.Path)
		default:
			got[e.File.Path] = true
		}
	}
	if overflow == 0 {
		t.Error("the queue held everything; write more files")
	}
}
