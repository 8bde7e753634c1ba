package agent

import (
	"testing"
	"time"

	"lampblack/agent/watch"
	"lampblack/rules"
)

// TestExportsOfTheFirstMoment: an export that is written right after its folder
// came to be watched can bear a time from just before that, for file systems
// keep coarser time than the clock. It is an export all the same; one that lay
// there a minute is not.
func TestExportsOfTheFirstMoment(t *testing.T) {
	l := testLoop(t, "")
	folders := []rules.Folder{{Path: t.TempDir(), Purpose: rules.ForPrint}}
	known := l.known(folders)
	first := l.o.Now()
	for lag, want := range map[time.Duration]bool{0: false, 10 * time.Millisecond: false, 1900 * time.Millisecond: false, time.Minute: true} {
		f := watch.File{Path: folders[0].Path + "/quay.tif", Size: 5, ModTime: first.Add(-lag), CatchUp: true}
		if got := known(f); got != want {
			t.Errorf("written %v before the first look: known %v, want %v", lag, got, want)
		}
	}
}
