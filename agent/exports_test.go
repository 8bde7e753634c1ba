package agent

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/picture"
	"lampblack/agent/watch"
)

// told is what the watch and the reader tell of one file.
type told struct {
	size    int64
	after   time.Duration // of its modification time, from morning
	hash    string
	written bool
}

// tellOf has the loop take a file, and read it unless it is known before that. What
// is read is no picture; that makes no difference here.
func (l *loop) tellOf(t *testing.T, f told, found picture.Examined) {
	t.Helper()
	l.enqueue(watch.File{Path: "/out/a.tif", Size: f.size, ModTime: morning.Add(f.after), Written: f.written})
	if len(l.exports.queue) == 0 {
		return
	}
	e := l.exports.queue[0]
	l.exports.queue = nil
	l.exports.stages[e.identity()] = handed
	found.Hash = f.hash
	l.onRead(examined{about: e, found: found, err: errors.New("torn")})
	if l.exports.stages[e.identity()] != 0 && len(l.exports.unkept) == 0 {
		t.Errorf("%+v is still on its way", f)
	}
}

// TestEachContentOnce: what of the things that are told of a file counts as an
// export of its own, with a journal that works and with one that doesn't.
func TestEachContentOnce(t *testing.T) {
	first := told{1, 0, "0a", true}
	for name, c := range map[string]struct {
		then told
		want int
	}{
		"nothing new":                       {told{1, 0, "0a", false}, 1},
		"moved away and back":               {told{1, 0, "0a", true}, 1},
		"overwritten with its old time":     {told{1, 0, "0b", true}, 2},
		"overwritten":                       {told{1, time.Hour, "0b", true}, 2},
		"the same picture exported again":   {told{1, time.Hour, "0a", true}, 2},
		"touched":                           {told{1, time.Hour, "0a", false}, 1},
		"touched, and nobody can tell":      {told{1, time.Hour, "", false}, 2},
		"found changed by a scan":           {told{1, time.Hour, "0b", false}, 2},
		"found longer by a scan":            {told{2, time.Hour, "0a", false}, 2},
		"overwritten, and nobody can tell":  {told{1, time.Hour, "", true}, 2},
		"told twice, and nobody could tell": {told{1, 0, "", true}, 1},
	} {
		for _, broken := range []bool{false, true} {
			t.Run(fmt.Sprintf("%s, journal broken: %v", name, broken), func(t *testing.T) {
				l := testLoop(t, "[[folder]]\npath = \"/out\"\npurpose = \"print\"\n")
				dir := JournalDir(l.exports.state.dir)
				if broken {
					mustNot(t, os.Rename(dir, dir+".away"))
					mustNot(t, os.WriteFile(dir, nil, 0o600))
				}
				l.tellOf(t, first, picture.Examined{})
				l.tellOf(t, c.then, picture.Examined{})
				if broken {
					mustNot(t, os.Remove(dir))
					l.retryJournal(morning.Add(time.Minute))
				}
				if got := len(strings.Fields(kept(t, l))); got != c.want {
					t.Errorf("%d exports are in the journal, want %d", got, c.want)
				}
			})
		}
	}
}

// TestOvertaken: of a file that was overwritten before it was read, only what it
// holds now counts.
func TestOvertaken(t *testing.T) {
	l := testLoop(t, "[[folder]]\npath = \"/out\"\npurpose = \"print\"\n")
	now := picture.Examined{Size: 1, ModTime: morning.Add(time.Second)}
	l.tellOf(t, told{1, 0, "0b", true}, now)
	if got := kept(t, l); got != "" || len(l.exports.stages) != 0 {
		t.Errorf("the journal has %q, and %d exports are on their way", got, len(l.exports.stages))
	}
	l.tellOf(t, told{1, time.Second, "0b", true}, now)
	if got := kept(t, l); got != "/out/a.tif" {
		t.Errorf("the journal has %q", got)
	}
}

// TestWrittenWhileItIsRead: it is read again.
func TestWrittenWhileItIsRead(t *testing.T) {
	l := testLoop(t, "[[folder]]\npath = \"/out\"\npurpose = \"print\"\n")
	f := watch.File{Path: "/out/a.tif", Size: 1, ModTime: morning, Written: true}
	for _, s := range []struct {
		stage stage
		want  int
	}{{0, 1}, {queued, 0}, {handed, 1}} {
		l.exports.queue, l.exports.stages = nil, map[journal.Identity]stage{journal.Identify(f.Path, f.Size, f.ModTime): s.stage}
		l.enqueue(f)
		if len(l.exports.queue) != s.want {
			t.Errorf("at stage %d: %d queued, want %d", s.stage, len(l.exports.queue), s.want)
		}
	}
}

// TestChangedWhileNobodyLooked: a file that was changed after it was journaled, and
// keeps its time, is read once more, and at the start after that no more.
func TestChangedWhileNobodyLooked(t *testing.T) {
	l := testLoop(t, "[[folder]]\npath = \"/out\"\npurpose = \"print\"\n")
	l.tellOf(t, told{1, 0, "0a", true}, picture.Examined{})
	f := watch.File{Path: "/out/a.tif", Size: 1, ModTime: morning, Changed: morning, CatchUp: true}
	changed := f
	changed.Changed = morning.Add(time.Hour)
	seenLive := changed
	seenLive.CatchUp = false
	for name, c := range map[string]struct {
		f    watch.File
		want bool
	}{"as it was": {f, true}, "changed": {changed, false}, "only its permissions, as an event told": {seenLive, true}} {
		if got := l.exports.state.known(c.f); got != c.want {
			t.Errorf("%s: known %v", name, got)
		}
	}
	l.exports.caughtUp = morning.Add(2 * time.Hour)
	l.tidyAt = morning
	l.tidy(morning)
	l.exports.state.close()
	again := openTestState(t, l.exports.state.dir)
	defer again.close()
	if !again.known(changed) {
		t.Error("it is read at each start")
	}
	changed.Changed = morning.Add(3 * time.Hour)
	if again.known(changed) {
		t.Error("a later change goes unnoticed")
	}
}
