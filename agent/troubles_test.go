package agent

import (
	"reflect"
	"testing"
	"time"
)

var morning = time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)

func TestTroublesAreShownWhenTheyLast(t *testing.T) {
	var ts troubles
	ts.begin(folderTrouble, "0 missing", "the folder is not there", morning)
	if got := ts.shown(morning.Add(5*time.Second - 1)); got != nil {
		t.Errorf("shown too early: %q", got)
	}
	due := morning.Add(5 * time.Second)
	if got := ts.nextShown(morning); !got.Equal(due) {
		t.Errorf("it is due at %v, want %v", got, due)
	}
	if got := ts.shown(due); len(got) != 1 {
		t.Errorf("shown when due: %q", got)
	}
	if got := ts.nextShown(due); !got.IsZero() {
		t.Errorf("what is shown is due again at %v", got)
	}
	ts.end(folderTrouble, "0 missing")
	if got := ts.shown(due); got != nil {
		t.Errorf("shown after its end: %q", got)
	}
}

func TestTroublesKeepTheirTime(t *testing.T) {
	var ts troubles
	if !ts.begin(growingTrouble, "0", "changing for 30 s", morning) {
		t.Error("a first trouble is no news")
	}
	if ts.begin(growingTrouble, "0", "changing for 30 s", morning.Add(time.Second)) {
		t.Error("the same text is news")
	}
	if !ts.begin(growingTrouble, "0", "changing for 60 s", morning.Add(50*time.Second)) {
		t.Error("a new text is no news")
	}
	want := []string{"Changing for 60 s"}
	if got := ts.shown(morning.Add(time.Minute)); !reflect.DeepEqual(got, want) {
		t.Errorf("shown %q, want %q: an old trouble with its new text", got, want)
	}
}

func TestTroublesAreOrdered(t *testing.T) {
	var ts troubles
	for i := len(allTroubles) - 1; i >= 0; i-- {
		ts.begin(allTroubles[i], "", allTroubles[i].code, morning)
	}
	ts.begin(folderTrouble, "another", "folder", morning)
	want := []string{"Profile", "Journal", "Log", "Paper", "Open", "Page", "Outcome", "Folder", "Folder", "Growing", "Light folder", "Light photo", "Sensor", "Fault", "Nothing"}
	if got := ts.shown(morning.Add(time.Hour)); !reflect.DeepEqual(got, want) {
		t.Errorf("shown %q, want %q", got, want)
	}
	ts.endAll(folderTrouble)
	if got := ts.shown(morning.Add(time.Hour)); len(got) != len(want)-2 {
		t.Errorf("without the folders' %q", got)
	}
}
