package watch

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/fsnotify/fsnotify"
)

// What only the scan after lost events has found is handed over when it has rested, and
// not at the next tick, which is an hour away.
func TestFoundAfterLostEvents(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	events := make(chan Event)
	w := newWatched(ctx, 0, Folder{Path: t.TempDir(), Match: []string{"*.tif"}}, fast().withDefaults(), events)
	w.start, w.hands = time.Now(), new(sync.WaitGroup)
	w.put(t, "a.tif")
	var done sync.WaitGroup
	done.Go(w.run)
	t.Cleanup(func() { cancel(); done.Wait(); w.hands.Wait() })
	r := &rig{t, w.Path, events}
	r.wantFile("a.tif", "x")

	watcher := w.opened.watcher // which run leaves alone until it ends
	must(t, watcher.Remove(w.Path))
	must(t, os.WriteFile(filepath.Join(w.Path, "b.tif"), []byte("unseen"), 0o600))
	watcher.Errors <- fsnotify.ErrEventOverflow
	r.wantTrouble(Overflow, false)
	r.wantTrouble(Overflow, true)
	r.wantFile("b.tif", "unseen")
}
