//go:build desktop

package main

import (
	"bytes"
	"flag"
	"fmt"
	"hash/crc32"
	"image"
	"image/png"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/tray/desktoptest"
)

var (
	kills = flag.Int("kills", 40, "how often TestKilledWhileExportsArrive kills the agent")
	seed  = flag.Uint64("seed", 1, "of what TestKilledWhileExportsArrive does when")
)

// TestKilledWhileExportsArrive kills the agent at arbitrary moments while exports
// arrive in every way there is. In the end each is in the journal, once. A failure
// tells the seed; the moments are the same again, what the machine makes of them
// is not.
func TestKilledWhileExportsArrive(t *testing.T) {
	s := tidemark(t, build(t), desktoptest.Options{NoBus: true})
	s.save(s.profile("180.0", "mid grey", "40.0"))
	s.must(os.Mkdir(s.Path("elsewhere"), 0o700))
	a := s.start()
	s.awaitWatching() // what comes before that is none of ours
	a.kill()

	w := &writer{s: s, dice: rand.New(rand.NewPCG(*seed, 1)), states: map[string][]written{}}
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		w.work(stop)
	}()
	dice := rand.New(rand.NewPCG(*seed, 2))
	for range *kills {
		a := s.start()
		time.Sleep(lifetime(dice))
		a.kill()
	}
	close(stop)
	<-stopped

	for _, name := range []string{"last.png", "after.png"} { // with another start between
		a := s.start()
		s.awaitAll(w)
		w.put(name, byRename) // whatever came before it has been told by the time that it is
		s.awaitAll(w)
		a.kill()
		all, _ := s.journaled()
		w.check(all)
	}
	all, torn := s.journaled()
	if torn > *kills {
		t.Errorf("%d torn lines after %d kills", torn, *kills)
	}
	t.Logf("%d kills, %d exports, %d entries, %d torn lines (seed %d)", *kills, w.made, len(all), torn, *seed)
}

// journaled is the journal, and how many of its lines are torn: the one that is just
// being written, or was when its writer was killed.
func (s *studio) journaled() (all []journal.Entry, torn int) {
	s.t.Helper()
	torn, err := journal.Read(filepath.Join(s.stateDir(), "journal"), func(e journal.Entry) error {
		all = append(all, e)
		return nil
	})
	s.must(err)
	return all, torn
}

// lifetime is how long an agent lives: often too short to read anything.
func lifetime(dice *rand.Rand) time.Duration {
	if dice.IntN(3) == 0 {
		return time.Duration(dice.IntN(100)) * time.Millisecond
	}
	return time.Duration(dice.IntN(900)) * time.Millisecond
}

// kill is SIGKILL.
func (r *running) kill() {
	r.t.Helper()
	if err := r.Cmd.Process.Kill(); err != nil {
		r.t.Fatal(err)
	}
	r.exit()
}

// awaitAll waits until the latest state of every export is in the journal.
func (s *studio) awaitAll(w *writer) {
	s.t.Helper()
	for late := time.Now().Add(3 * time.Minute); ; time.Sleep(100 * time.Millisecond) {
		all, _ := s.journaled()
		missing := w.missing(all)
		if len(missing) == 0 {
			return
		}
		if time.Now().After(late) {
			s.t.Fatalf("%d of %d exports are not in the journal (seed %d): %q", len(missing), len(w.states), *seed, missing)
		}
	}
}

// written is a state that a file was left in.
type written struct {
	size  int64
	mtime time.Time
	hash  string
}

// writer is an editor that exports.
type writer struct {
	s      *studio
	dice   *rand.Rand
	made   int
	names  []string             // of all exports
	states map[string][]written // of each path, the latest last
}

// way is how an export comes into its folder.
type way int

const (
	byRename way = iota
	inPieces
	overwriting
	backdating // overwriting, and giving it back its old time
	movedIn
	linkedIn
	ways
)

// work exports until it is stopped.
func (w *writer) work(stop <-chan struct{}) {
	for {
		select {
		case <-stop:
			return
		case <-time.After(time.Duration(w.dice.IntN(120)) * time.Millisecond):
		}
		name := fmt.Sprintf("%04d.png", w.made)
		if w.dice.IntN(4) == 0 {
			name = fmt.Sprintf("day-%d/%s", w.made/50, name)
		}
		how := way(w.dice.IntN(int(ways)))
		if n := len(w.names); (how == overwriting || how == backdating) && n > 0 {
			name = w.names[w.dice.IntN(n)]
			if w.dice.IntN(2) == 0 {
				name = w.names[n-1] // which may be being read
			}
		}
		w.put(name, how)
	}
}

// put exports a new picture, and keeps the state it was left in.
func (w *writer) put(name string, how way) {
	path := w.s.Path("to-print", name)
	w.s.must(os.MkdirAll(filepath.Dir(path), 0o700))
	content := w.picture()
	elsewhere := w.s.Path("elsewhere", fmt.Sprint(w.made))
	switch how {
	case byRename:
		w.s.must(os.WriteFile(path+".tmp", content, 0o600))
		w.s.must(os.Rename(path+".tmp", path))
	case inPieces:
		w.inPieces(path, content)
	case overwriting:
		w.s.must(os.WriteFile(path, content, 0o600))
	case backdating:
		w.backdate(path, content)
	case movedIn, linkedIn:
		w.s.must(os.WriteFile(elsewhere, content, 0o600))
		old := time.Now().Add(-time.Duration(w.dice.IntN(100)) * time.Hour)
		w.s.must(os.Chtimes(elsewhere, old, old))
		into := map[way]func(string, string) error{movedIn: os.Rename, linkedIn: os.Link}[how]
		w.s.must(into(elsewhere, path))
	}
	info, err := os.Stat(path)
	w.s.must(err)
	sum := crc32.Checksum(content, crc32.MakeTable(crc32.Castagnoli))
	if w.states[path] == nil {
		w.names = append(w.names, name)
	}
	w.states[path] = append(w.states[path], written{info.Size(), info.ModTime(), fmt.Sprintf("%08x", sum)})
	w.made++
}

// backdate overwrites a file, if it is there, and gives it back its time.
func (w *writer) backdate(path string, content []byte) {
	was, missing := os.Stat(path)
	w.s.must(os.WriteFile(path, content, 0o600))
	if missing == nil {
		w.s.must(os.Chtimes(path, was.ModTime(), was.ModTime()))
	}
}

func (w *writer) inPieces(path string, content []byte) {
	f, err := os.Create(path)
	w.s.must(err)
	for len(content) > 0 {
		n := min(len(content), 1+w.dice.IntN(100))
		_, err := f.Write(content[:n])
		w.s.must(err)
		content = content[n:]
		time.Sleep(time.Duration(w.dice.IntN(20)) * time.Millisecond)
	}
	w.s.must(f.Close())
}

// picture is a small picture that there was none of before. All are of one size, so
// that one which is overwritten differs in nothing else.
func (w *writer) picture() []byte {
	m := image.NewGray(image.Rect(0, 0, 12, 9))
	for i := range m.Pix {
		m.Pix[i] = byte(w.dice.IntN(256))
	}
	var b bytes.Buffer
	w.s.must((&png.Encoder{CompressionLevel: png.NoCompression}).Encode(&b, m))
	return b.Bytes()
}

// missing are the exports whose latest state is not in the journal.
func (w *writer) missing(all []journal.Entry) (paths []string) {
	have := map[string]bool{}
	for _, e := range all {
		have[fmt.Sprint(e.Path, e.Size, e.ModTime.UnixNano(), e.Hash)] = true
	}
	for path, states := range w.states {
		latest := states[len(states)-1]
		if !have[fmt.Sprint(path, latest.size, latest.mtime.UnixNano(), latest.hash)] {
			paths = append(paths, path)
		}
	}
	return paths
}

// check holds the journal against what was written: nothing is in it twice, each
// entry is about a state that there was, and about its very content.
func (w *writer) check(all []journal.Entry) {
	w.s.t.Helper()
	seen := map[string]bool{}
	for _, e := range all {
		id := fmt.Sprint(e.Path, e.Size, e.ModTime.UnixNano(), e.Hash)
		if seen[id] {
			w.s.t.Errorf("%s is in the journal twice (seed %d)", id, *seed)
		}
		seen[id] = true
		if e.Unread != "" || e.Report == nil {
			w.s.t.Errorf("%s was not read: %s", e.Path, e.Unread)
		}
		if e.CatchUp && (e.Silence == "" || !e.Report.At.Equal(e.ModTime)) {
			w.s.t.Errorf("%s was caught up as of %v, and the reason for silence is %q", e.Path, e.Report.At, e.Silence)
		}
		if !w.wrote(e) {
			w.s.t.Errorf("%s was never so (seed %d)", id, *seed)
		}
	}
	left, err := fs.Glob(os.DirFS(w.s.stateDir()), "*.tmp")
	if err != nil || len(left) > 0 {
		w.s.t.Errorf("left behind in the state directory: %q, %v", left, err)
	}
}

func (w *writer) wrote(e journal.Entry) bool {
	for _, st := range w.states[e.Path] {
		if st.size == e.Size && st.mtime.Equal(e.ModTime) && st.hash == e.Hash {
			return true
		}
	}
	return false
}
