package agent

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// entryOf is an entry of an export that could not be read.
func entryOf(name string) journal.Entry {
	return journal.Entry{At: morning, Path: name, Size: 1, ModTime: morning, Unread: "torn"}
}

// keepAll takes exports and keeps their entries.
func keepAll(l *loop, entries ...journal.Entry) {
	for _, e := range entries {
		l.exports.stages[journal.Identify(e.Path, e.Size, e.ModTime)] = handed
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
	l.retryJournal(morning.Add(time.Minute))
	if got := kept(t, l); got != "a" {
		t.Errorf("the journal holds %q, want a", got)
	}
	keepAll(l, entryOf("b"))
	l.retryJournal(morning.Add(2 * time.Minute))
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
	for i := range 2010 {
		keepAll(l, entryOf(fmt.Sprint(i)))
	}
	if len(l.exports.unkept) != 2000 || len(l.exports.stages) != 2000 {
		t.Errorf("%d entries wait and %d are known, want %d", len(l.exports.unkept), len(l.exports.stages), 2000)
	}
	mustNot(t, os.Remove(dir))
	mustNot(t, os.Rename(dir+".away", dir))
	l.retryJournal(morning) // too early: nobody has told that it works again
	if len(l.exports.unkept) != 2000 {
		t.Error("it was tried again before its time")
	}
	l.retryJournal(morning.Add(time.Minute))
	if got := len(strings.Fields(kept(t, l))); got != 2000 {
		t.Errorf("%d entries are in the journal, want %d", got, 2000)
	}
	if l.exports.unkept != nil || len(l.exports.stages) != 0 || !l.exports.retryAt.IsZero() {
		t.Errorf("afterwards %d entries wait, %d are known, and %v is the next try", len(l.exports.unkept), len(l.exports.stages), l.exports.retryAt)
	}
}

// retryJournal tries to write the journal if that is due.
func (l *loop) retryJournal(now time.Time) {
	if l.exports.retryDue(now) {
		l.writeJournal()
	}
}

func mustNot(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
