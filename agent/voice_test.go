package agent

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// TestEachSentenceOnce: the terminal says a sentence once, however often it is told of
// and whatever is said between; after two hundred others it may say it again, and those
// of a year don't add up.
func TestEachSentenceOnce(t *testing.T) {
	l := testLoop(t, "")
	var said []string
	l.o.Say = func(text string) { said = append(said, text) }
	about := func(i int) string { return fmt.Sprintf("export-%d.tif is broken", i) }
	for range 3 {
		for i := range 200 {
			l.say(about(i))
			l.say(about(i))
		}
	}
	if len(said) != 200 {
		t.Fatalf("of 200 sentences, each told of six times, %d were said", len(said))
	}
	l.say(about(200)) // for which the first is forgotten
	for i := 1; i <= 200; i++ {
		l.say(about(i))
	}
	if len(said) != 201 {
		t.Errorf("after one sentence more, %q were said again", said[201:])
	}
	if l.say(about(0)); len(said) != 202 {
		t.Error("a sentence of long ago is never said again")
	}
	for i := range 10_000 {
		l.say(about(1000 + i))
	}
	if len(l.voice.said) > 200 {
		t.Errorf("%d sentences are remembered", len(l.voice.said))
	}
}

// TestTidingsInOrder: what a group has to tell is taken one after the other, and the
// notice that goes with a trouble is raised while that is news.
func TestTidingsInOrder(t *testing.T) {
	l := testLoop(t, "[[folder]]\npath = \"out\"\npurpose = \"print\"\n")
	var said []string
	l.o.Say = func(text string) { said = append(said, text) }
	broken := tiding{does: beginTrouble, kind: profileTrouble, text: "it is broken", notice: &rules.Notice{Title: "broken"}}
	for _, c := range []struct {
		what    string
		tell    func(*tidings)
		notices int
		shown   []string
	}{
		{"a notice", func(t *tidings) { *t = append(*t, broken) }, 1, []string{"It is broken"}},
		{"no news", func(t *tidings) { *t = append(*t, broken) }, 1, []string{"It is broken"}},
		{"over, and anew", func(t *tidings) { t.end(profileTrouble, ""); *t = append(*t, broken) }, 2, []string{"It is broken"}},
		{"anew, and over", func(t *tidings) { *t = append(*t, broken); t.end(profileTrouble, "") }, 2, nil},
		{"two of a kind", func(t *tidings) { t.begin(paperTrouble, "a", "a"); t.begin(paperTrouble, "b", "b") }, 2, []string{"A", "B"}},
		{"another's end", func(t *tidings) { t.end(paperTrouble, "a") }, 2, []string{"B"}},
		{"the newest", func(t *tidings) {
			for _, p := range []string{"c", "d", "e"} {
				*t = append(*t, tiding{does: beginTrouble, kind: paperTrouble, about: p, text: p, most: 2})
			}
		}, 2, []string{"D", "E"}},
		{"of all", func(t *tidings) { t.say("all is well"); t.endAll(paperTrouble) }, 2, nil},
	} {
		var ts tidings
		c.tell(&ts)
		l.tell(ts)
		if got := l.voice.troubles.shown(morning); len(l.raised()) != c.notices || !slices.Equal(got, c.shown) {
			t.Errorf("%s: %d notices, shown %q; want %d, %q", c.what, len(l.raised()), got, c.notices, c.shown)
		}
	}
	if !slices.Equal(said, []string{"all is well"}) {
		t.Errorf("said %q", said)
	}
}

// TestRecall: the menu tells of the time before, but of what is newer rather.
func TestRecall(t *testing.T) {
	entry := func(name string) journal.Entry {
		return journal.Entry{Path: "/out/" + name, Size: 1, ModTime: morning, Report: darkReport(name)}
	}
	torn := journal.Entry{Path: "/out/torn.tif", Size: 1, ModTime: morning, Unread: "it is cut off"}
	v := &voice{}
	v.recall([]journal.Entry{torn, entry("fog.tif"), entry("quay.tif")}) // the newest first
	if v.last != nil || v.lastLine.String() != "torn.tif: could not be read: it is cut off" {
		t.Errorf("of the last it tells %+v, %q", v.last, v.lastLine)
	}
	told := func() (names []string) {
		for _, p := range v.tellable(nil) {
			names = append(names, fmt.Sprintf("%s %v", p.Text, p.Chosen))
		}
		return names
	}
	want := []string{"fog.tif (verdict: darker) true", "quay.tif (verdict: darker) false"}
	if got := told(); !slices.Equal(got, want) {
		t.Errorf("its prints are %q, want %q", got, want)
	}
	v.recall([]journal.Entry{entry("harbour.tif")})
	if got := told(); !slices.Equal(got, want) || v.lastLine == (rules.LastExport{}) {
		t.Errorf("with newer to tell, its prints are %q", got)
	}
	v = &voice{}
	foreign := entry("foreign.tif") // written by hand, say: there are no words for it
	foreign.Report.Prediction.Targets.Spread = nil
	for range 2 { // the journal's drive goes and comes
		v.recall([]journal.Entry{foreign, entry("fog.tif")})
	}
	if got := told(); v.last != nil || !slices.Equal(got, want[:1]) {
		t.Errorf("with a foreign entry it tells of %+v, and of the prints %q", v.last, got)
	}
}

// TestVoicePlansAnew: after the clock was set back nothing waits for the old time.
func TestVoicePlansAnew(t *testing.T) {
	v, late := &voice{}, morning.Add(9*time.Hour)
	v.gathered.judged(darkReport("a"), "", late)
	v.troubles.begin(folderTrouble, "0", "gone", late)
	v.planAnew(morning)
	for _, at := range v.due(true, morning) {
		if at.Sub(morning) > 5*time.Second {
			t.Errorf("something is to be said at %v only", at)
		}
	}
}
