package agent

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/agent/watch"
	"lampblack/rules"
)

// entryOf is an entry of an export that could not be read.
func entryOf(name string) journal.Entry {
	return journal.Entry{At: morning, Path: name, Size: 1, ModTime: morning, Unread: "torn"}
}

// keepAll takes exports and keeps their entries.
func keepAll(l *loop, entries ...journal.Entry) {
	for _, e := range entries {
		l.exports.taken[journal.Identify(e.Path, e.Size, e.ModTime)] = handed
		l.exports.keep(e)
		l.writeJournal()
	}
}

// kept are the paths in the journal, in its order.
func kept(t *testing.T, l *loop) string {
	t.Helper()
	var paths []string
	_, err := journal.Read(filepath.Join(l.exports.state.dir, "journal"), func(e journal.Entry) error {
		paths = append(paths, e.Path)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(paths, " ")
}

// TestUnwritableEntry: an entry that can never be written holds up no other.
func TestUnwritableEntry(t *testing.T) {
	l := testLoop(t, "")
	never := entryOf("never")
	never.Report = &rules.Report{Picture: rules.Picture{MeanY: math.NaN()}} // JSON has no such number
	keepAll(l, never, entryOf("a"))
	l.retryJournal(morning.Add(keepRetry))
	if got := kept(t, l); got != "a" {
		t.Errorf("the journal holds %q, want a", got)
	}
	keepAll(l, entryOf("b"))
	l.retryJournal(morning.Add(2 * keepRetry))
	if got := kept(t, l); got != "a b" {
		t.Errorf("the journal holds %q, want a and b", got)
	}
	if len(l.exports.unkept) != 1 || len(l.voice.troubles.shown(morning)) == 0 {
		t.Errorf("%d entries wait, troubles %q", len(l.exports.unkept), l.voice.troubles.shown(morning))
	}
}

// TestMostUnkept: what waits for the journal is bounded, and what is let go is
// unknown, so that it can be caught up.
func TestMostUnkept(t *testing.T) {
	l := testLoop(t, "")
	dir := filepath.Join(l.exports.state.dir, "journal")
	mustNot(t, os.Rename(dir, dir+".away"))
	mustNot(t, os.WriteFile(dir, nil, 0o600))
	for i := range mostUnkept + 10 {
		keepAll(l, entryOf(fmt.Sprint(i)))
	}
	if len(l.exports.unkept) != mostUnkept || len(l.exports.taken) != mostUnkept {
		t.Errorf("%d entries wait and %d are known, want %d", len(l.exports.unkept), len(l.exports.taken), mostUnkept)
	}
	mustNot(t, os.Remove(dir))
	mustNot(t, os.Rename(dir+".away", dir))
	l.retryJournal(morning) // too early: nobody has told that it works again
	if len(l.exports.unkept) != mostUnkept {
		t.Error("it was tried again before its time")
	}
	l.retryJournal(morning.Add(keepRetry))
	if got := len(strings.Fields(kept(t, l))); got != mostUnkept {
		t.Errorf("%d entries are in the journal, want %d", got, mostUnkept)
	}
	if l.exports.unkept != nil || len(l.exports.taken) != 0 || !l.exports.retryAt.IsZero() {
		t.Errorf("afterwards %d entries wait, %d are known, and %v is the next try", len(l.exports.unkept), len(l.exports.taken), l.exports.retryAt)
	}
}

// retryJournal tries to write the journal if that is due.
func (l *loop) retryJournal(now time.Time) {
	if l.exports.retryDue(now) {
		l.writeJournal()
	}
}

// tornReader is a Reader to which every export is broken.
type tornReader struct{ Reader }

func (tornReader) Examine(context.Context, string) (picture.Examined, error) {
	return picture.Examined{}, errors.New("torn")
}

// TestQueueIsGivenBack: nothing of a burst stays in memory.
func TestQueueIsGivenBack(t *testing.T) {
	l := testLoop(t, "[[folder]]\npath = \".\"\npurpose = \"print\"\n")
	const burst = 100
	for i := range burst {
		f := watch.File{Path: fmt.Sprint(i), Size: 1, ModTime: morning}
		l.enqueue(f)
		l.enqueue(f) // told twice, taken once
	}
	if len(l.exports.queue) != burst {
		t.Fatalf("%d exports queue, want %d", len(l.exports.queue), burst)
	}
	l.o.Reader = tornReader{}
	for range burst {
		l.feed(morning)
		l.onRead(<-l.answers.exports)
	}
	if l.exports.queue != nil || l.exports.unkept != nil || len(l.exports.taken) != 0 {
		t.Errorf("afterwards the queue has %d, the journal lacks %d, and %d are known", cap(l.exports.queue), len(l.exports.unkept), len(l.exports.taken))
	}
	l.enqueue(watch.File{Path: "0", Size: 1, ModTime: morning})
	if len(l.exports.queue) != 0 {
		t.Error("what the journal has was taken again")
	}
}

// TestFirstFolderTakes: of two folders of the profile that claim a file, the
// first has it, whichever tells of it first.
func TestFirstFolderTakes(t *testing.T) {
	l := testLoop(t, `
[[folder]]
path = "out"
purpose = "screen"
match = ["*-web.*"]

[[folder]]
path = "out"
purpose = "print"
`)
	out := l.exports.watched[0].Path
	for name, want := range map[string]rules.Purpose{"quay.tif": rules.ForPrint, "quay-WEB.tif": rules.ForScreen} {
		f := watch.File{Folder: 1, Path: filepath.Join(out, name)}
		if got := l.exports.watched[l.exports.owner(f)].Purpose; got != want {
			t.Errorf("%s is for the %s, want %s", name, got, want)
		}
	}
}

// TestLightFolderWithin: photographs of a sheet are no exports, wherever they are
// dropped.
func TestLightFolderWithin(t *testing.T) {
	l := testLoop(t, "[room]\nlight_folder = \"out/light\"\n\n[[folder]]\npath = \"out\"\npurpose = \"print\"\n")
	for name, want := range map[string]bool{"light/sheet.jpg": false, "light/2026/quay.jpg": true, "quay.jpg": true} {
		f := watch.File{Path: filepath.Join(l.exports.watched[0].Path, name), Size: 1, ModTime: morning}
		l.enqueue(f)
		if taken := l.exports.taken[journal.Identify(f.Path, f.Size, f.ModTime)] != 0; taken != want {
			t.Errorf("%s is taken: %v, want %v", name, taken, want)
		}
	}
}

// TestInnermostFolderTakes: a folder of the profile within another has its own
// files, and those below it unless it says otherwise.
func TestInnermostFolderTakes(t *testing.T) {
	l := testLoop(t, `
[[folder]]
path = "out"
purpose = "print"

[[folder]]
path = "out/web"
purpose = "screen"
match = ["*.jpg"]

[[folder]]
path = "out/flat"
purpose = "screen"
subfolders = false
`)
	for name, want := range map[string]int{
		"quay.tif": 0, "web/quay.jpg": 1, "web/2026/quay.jpg": 1, "web/quay.tif": 0,
		"flat/quay.tif": 2, "flat/deep/quay.tif": 0, "website/quay.jpg": 0,
	} {
		f := watch.File{Folder: 0, Path: filepath.Join(l.exports.watched[0].Path, name), Size: 1, ModTime: morning}
		if got := l.exports.owner(f); got != want {
			t.Errorf("%s belongs to folder %d, want %d", name, got, want)
		}
		l.enqueue(f)
		if queued := l.exports.taken[journal.Identify(f.Path, 1, morning)] != 0; queued != (want == 0) {
			t.Errorf("%s told of by folder 0 is taken: %v", name, queued)
		}
	}
}

func mustNot(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
