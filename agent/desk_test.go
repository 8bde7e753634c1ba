package agent

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/icc"
	"lampblack/agent/picture"
	"lampblack/agent/watch"
	"lampblack/rules"
)

// TestDeskTellsByValues: a desk knows and tells without a loop.
func TestDeskTellsByValues(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "profile.toml")
	d := knowNothing(path, dir)
	told := d.load(path, morning)
	if d.profile == nil || !strings.Contains(sentencesOf(told), "there is no profile at "+path) {
		t.Errorf("without a profile it knows %+v, and tells %q", d.profile, sentencesOf(told))
	}
	noted, told := d.logLight(rules.Reading{At: morning, Light: 40, Place: rules.AtScreen}, morning)
	if !noted || len(d.profile.Readings) != 1 || sentencesOf(told) != "" {
		t.Errorf("a reading is noted: %v, known: %v, and it tells %q", noted, d.profile.Readings, sentencesOf(told))
	}
}

func sentencesOf(ts tidings) string {
	var b strings.Builder
	for _, t := range ts {
		if t.does == saySentence || t.does == beginTrouble {
			b.WriteString(t.text + "\n")
		}
	}
	return b.String()
}

// TestReadyForExports: an export waits for the sensor until it answers, and for papers
// that were never read for four seconds.
func TestReadyForExports(t *testing.T) {
	d := knowNothing("profile.toml", t.TempDir())
	if at, ok := d.readyAt(); !ok || !at.IsZero() {
		t.Errorf("with nothing under way it is ready at %v, %v", at, ok)
	}
	d.papers.asked["/harbour.icc"], d.papers.asked["/slip.icc"] = morning, morning.Add(time.Second)
	d.papers.sheets["/slip.icc"] = sheet{} // which is read once more, and was known before
	if at, ok := d.readyAt(); !ok || !at.Equal(morning.Add(4*time.Second)) {
		t.Errorf("while a paper is read it is ready at %v, %v", at, ok)
	}
	d.sensing.asked = true
	if at, ok := d.readyAt(); ok {
		t.Errorf("while the sensor is read it is ready at %v", at)
	}
}

// faulty is a world whose every part panics.
type faulty struct{}

func (faulty) Examine(context.Context, string) (picture.Examined, error)      { panic("no tones") }
func (faulty) Paper(context.Context, string) (icc.Paper, error)               { panic("no sheet") }
func (faulty) Photograph(context.Context, string) (picture.Photograph, error) { panic("no light") }
func (faulty) Read(context.Context) (rules.Lux, error)                        { panic("no sensor") }
func (faulty) page(context.Context) error                                     { panic("no page") }

// TestFaultsAreTold: whatever breaks beside the loop is one sentence about that part, and
// the loop goes on.
func TestFaultsAreTold(t *testing.T) {
	const profile = "[room]\nsensor = true\nlight_folder = \"light\"\n" + paperProfile
	l := testLoop(t, "")
	f := faulty{}
	l.o.Reader, l.o.Sensor, l.o.Page = f, f, f.page
	l.o.Watch = func(context.Context, []watch.Folder, watch.Options, chan<- watch.Event) { panic("no watch") }
	mustNot(t, os.WriteFile(filepath.Join(filepath.Dir(l.o.ProfilePath), "harbour.icc"), []byte("a profile"), 0o600))
	l.rewrite(t, profile)
	for range 2 { // of the exports, and of the light folder
		l.onWatchEnded(<-l.answers.watches)
	}
	l.onPaper(<-l.answers.papers)
	l.sense(senseEvery)
	l.onSensed(<-l.answers.sensor)
	l.openPage()
	l.onPage(<-l.answers.page)
	l.onLight(watch.Event{File: &watch.File{Path: "/light/sheet.jpg", Size: 1, ModTime: morning}})
	l.feedPhotos()
	l.onPhoto(<-l.answers.photos)
	l.enqueue(watch.File{Path: filepath.Join(l.exports.watched[0].Path, "fog.tif"), Size: 1, ModTime: morning})
	l.feed(morning)
	l.onRead(<-l.answers.exports)
	const fault = "a fault of Lampblack's own "
	shown := strings.Join(append(l.voice.troubles.shown(morning), l.voice.lastLine.String()), "\n")
	for _, want := range []string{
		"The folders of exports can't be watched any more: " + fault + "(no watch); quit Lampblack, and start it again\n",
		"The light folder can't be watched any more: " + fault + "(no watch); quit",
		`Paper "harbour rag": harbour.icc: ` + fault + "(no sheet); ",
		"Light sensor: " + fault + "(no sensor)\n",
		"Desk page: " + fault + "(no page)\n",
		"Light folder: sheet.jpg: " + fault + "(no light)\n",
		"fog.tif: could not be read: " + fault + "(no tones)",
	} {
		if strings.Count(shown, want) != 1 {
			t.Errorf("not told, or not once: %q", want)
		}
	}
	if t.Failed() {
		t.Logf("it is told\n%s", shown)
	}
	if l.askPapers(); len(l.desk.papers.asked) != 1 {
		t.Error("the paper is not looked at when the profile is loaded again")
	}
	l.onPaper(<-l.answers.papers)
	if l.lookAgain(morning.Add(time.Hour)); len(l.desk.papers.asked) != 0 {
		t.Error("what breaks us is tried again by itself")
	}
}

// TestLoopOutlivesAFault: an export whose reading breaks is journaled as unread, and the
// next one is judged.
func TestLoopOutlivesAFault(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		s.begin()
		s.export("to-print/fault.tif")
		s.export("to-print/fog.tif")
		s.wait(time.Minute)
		s.end()
		if len(s.journal) != 2 || s.journal[0].Unread != "a fault of Lampblack's own (no such tone)" || s.journal[1].Report == nil {
			t.Errorf("the journal has %+v", s.journal)
		}
	})
}
