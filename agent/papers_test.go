package agent

import (
	"context"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/icc"
	"lampblack/agent/picture"
	"lampblack/agent/tray"
	"lampblack/agent/watch"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// drawer is a PaperReader: the sheet of every profile in it, but for those whose
// name says that they lie.
type drawer struct {
	sheet icc.Paper
	reads int
}

func (d *drawer) Paper(_ context.Context, path string) (icc.Paper, error) {
	d.reads++
	if strings.Contains(path, "lying") {
		return icc.Paper{}, errors.New("the colour profile can't be used")
	}
	return d.sheet, nil
}

// locked is a PaperReader of profiles that may not be opened just now.
type locked struct{ drawer }

func (l *locked) Paper(ctx context.Context, path string) (icc.Paper, error) {
	if l.reads++; l.reads == 1 {
		return icc.Paper{}, picture.ErrVanished
	}
	return l.sheet, nil
}

func TestPaperIsReadAgain(t *testing.T) {
	path := filepath.Join(t.TempDir(), "harbour.icc")
	mustNot(t, os.WriteFile(path, []byte("a profile"), 0o600))
	r := &locked{drawer{sheet: icc.Paper{White: colour.Lab{L: 95}}}}
	first := readSheet(t.Context(), r, os.Stat, path, sheet{})
	if first.err == nil || !first.gone() {
		t.Errorf("of a file that may not be opened: %+v", first)
	}
	second := readSheet(t.Context(), r, os.Stat, path, first)
	if second.err != nil || second.gone() {
		t.Errorf("once it may: %+v", second)
	}
	if third := readSheet(t.Context(), r, os.Stat, path, second); third != second || r.reads != 2 {
		t.Errorf("a file as it was is %+v after %d reads", third, r.reads)
	}
	mustNot(t, os.WriteFile(path, []byte("another profile"), 0o600))
	if readSheet(t.Context(), r, os.Stat, path, second); r.reads != 3 {
		t.Errorf("another file has had %d reads", r.reads)
	}
}

func TestReadPapers(t *testing.T) {
	dir := t.TempDir()
	profile := func(name string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte("a profile"), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	assumed := rules.Paper{White: rules.Assume(0.9), DMax: rules.Assume(1.6)}
	with := func(name, icc string, p rules.Paper) rules.Paper {
		p.Name, p.ICC = name, icc
		return p
	}
	p := &rules.Profile{Papers: []rules.Paper{
		with("harbour rag", profile("harbour.icc"), assumed),
		with("slip gloss", profile("harbour.icc"), rules.Paper{White: rules.Assume(0.9), DMax: rules.Stated(2.2)}),
		with("stated", filepath.Join(dir, "never-read.icc"), rules.Paper{White: rules.Stated(0.8), DMax: rules.Stated(2.0)}),
		with("without", "", assumed),
		with("broken", profile("lying.icc"), assumed),
		with("gone", filepath.Join(dir, "gone.icc"), assumed),
	}}
	d := &drawer{sheet: icc.Paper{White: colour.Lab{L: 95}, Black: colour.Lab{L: 16.5}}}
	got, notes := ReadPapers(t.Context(), d, p)
	// CIE 15: Y = ((L*+16)/116)³.
	white, black := math.Pow((95+16)/116.0, 3), math.Pow((16.5+16)/116.0, 3)
	for i, want := range []rules.Paper{
		{White: rules.Stated(white), DMax: rules.Stated(-math.Log10(black))},
		{White: rules.Stated(white), DMax: rules.Stated(2.2)},
		{White: rules.Stated(0.8), DMax: rules.Stated(2.0)},
		assumed, assumed, assumed,
	} {
		g := got.Papers[i]
		if math.Abs(g.White.Value-want.White.Value) > 1e-9 || math.Abs(g.DMax.Value-want.DMax.Value) > 1e-9 ||
			g.White.Assumed != want.White.Assumed || g.DMax.Assumed != want.DMax.Assumed {
			t.Errorf("%s: %+v, want %+v", g.Name, g, want)
		}
	}
	if p.Papers[0].White != assumed.White {
		t.Error("the profile that was given has changed")
	}
	if d.reads != 2 {
		t.Errorf("%d profiles read, want the two that are there and needed, once each", d.reads)
	}
	if len(notes) != 2 || !strings.HasPrefix(notes[0], `paper "broken": lying.icc: the colour profile can't be used; `) ||
		!strings.HasPrefix(notes[1], `paper "gone": gone.icc: it can't be reached`) {
		t.Errorf("notes %q", notes)
	}
}

// TestUnlikelyPapers: a profile that promises no light at all, or more than there is,
// isn't believed, nor a black that is none.
func TestUnlikelyPapers(t *testing.T) {
	assumed := rules.Paper{White: rules.Assume(0.9), DMax: rules.Assume(1.6)}
	faint := rules.Paper{White: rules.Assume(0.9), DMax: rules.Stated(0.5)}
	dull := rules.Paper{White: rules.Stated(0.2), DMax: rules.Assume(1.6)}
	for name, c := range map[string]struct {
		paper        rules.Paper
		white, black float64 // L*
		want         rules.Paper
		note         string
	}{
		"a pit":              {assumed, 100, 0, assumed, "its black, of L* 0.0, is darker than any print's"},
		"as deep as they go": {assumed, 95, 0.1, rules.Paper{White: rules.Stated(colour.FromLightness(95)), DMax: rules.Stated(colour.Density(colour.FromLightness(0.1)))}, ""},
		"an instrument's":    {assumed, 100.5, 16, rules.Paper{White: rules.Stated(1.0), DMax: rules.Stated(colour.Density(colour.FromLightness(16)))}, ""},
		"a lamp":             {assumed, 104, 16, assumed, "its white reflects 111 %"},
		"a night":            {assumed, 40, 16, assumed, "its white reflects 11 %"},
		"not a number":       {assumed, math.NaN(), 16, assumed, "its white reflects NaN %"},
		"fainter than white": {faint, 58, 16, faint, "the black, of density 0.50, is no darker than the white, of density 0.59"},
		"black above white":  {dull, 95, 55, dull, "is no darker than"},
		"black not a number": {assumed, 95, math.NaN(), assumed, "is no darker than"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "sheet.icc")
			mustNot(t, os.WriteFile(path, nil, 0o600))
			c.paper.Name, c.paper.ICC = "harbour rag", path
			c.want.Name, c.want.ICC = "harbour rag", path
			d := &drawer{sheet: icc.Paper{White: colour.Lab{L: c.white}, Black: colour.Lab{L: c.black}}}
			got, notes := ReadPapers(t.Context(), d, &rules.Profile{Papers: []rules.Paper{c.paper}})
			if got.Papers[0] != c.want {
				t.Errorf("it is %+v, want %+v", got.Papers[0], c.want)
			}
			if said := strings.Join(notes, "\n"); (said == "") != (c.note == "") || !strings.Contains(said, c.note) || strings.Contains(said, "\n") {
				t.Errorf("it is said %q, want one sentence with %q", said, c.note)
			}
		})
	}
}

// paperLoop is a loop with one paper whose colour profile is there.
func paperLoop(t *testing.T) *loop {
	l := testLoop(t, "[[folder]]\npath = \"prints\"\npurpose = \"print\"\n")
	mustNot(t, os.WriteFile(filepath.Join(filepath.Dir(l.o.ProfilePath), "harbour.icc"), []byte("a profile"), 0o600))
	l.o.Reader = paperOnly{drawer: &drawer{sheet: icc.Paper{White: colour.Lab{L: 95}, Black: colour.Lab{L: 16}}}}
	return l
}

// paperOnly is a Reader of which only papers are asked.
type paperOnly struct {
	none
	*drawer
}

type none struct{ Reader } // a level deeper, so that it doesn't hide the drawer

// givenTo is a Reader that tells what it is given.
type givenTo struct {
	Reader
	paths chan<- string
}

func (g givenTo) Examine(_ context.Context, path string) (picture.Examined, error) {
	g.paths <- path
	return picture.Examined{}, picture.ErrVanished
}

const paperProfile = "[[folder]]\npath = \"prints\"\npurpose = \"print\"\n[[paper]]\nname = \"harbour rag\"\nicc = \"harbour.icc\"\n"

// TestPaperOnADeadDrive: while the file can't even be looked at, the loop goes on, with
// the paper assumed, and exports wait for it in vain no longer than is fit.
func TestPaperOnADeadDrive(t *testing.T) {
	l := paperLoop(t)
	answers := make(chan struct{})
	l.desk.papers.stat = func(path string) (fs.FileInfo, error) {
		<-answers
		return os.Stat(path)
	}
	l.rewrite(t, paperProfile)
	l.desk.logLight(rules.Reading{At: morning, Light: 40, Place: rules.AtScreen}, morning)
	if !l.desk.profile.Papers[0].White.Assumed || len(l.desk.profile.Readings) != 1 || len(l.voice.troubles.shown(morning)) != 0 {
		t.Errorf("meanwhile it is %+v, with the troubles %q", l.desk.profile, l.voice.troubles.shown(morning))
	}
	l.enqueue(watch.File{Path: filepath.Join(l.exports.watched[0].Path, "fog.tif"), Size: 1, ModTime: morning})
	if l.feed(morning); len(l.exports.queue) != 1 || l.untilAlarm(morning) != 4*time.Second {
		t.Errorf("an export doesn't wait, or for %v", l.untilAlarm(morning))
	}
	late := morning.Add(4 * time.Second)
	given := make(chan string, 1)
	l.o.Reader = givenTo{l.o.Reader, given}
	if l.feed(late); len(l.exports.queue) != 0 {
		t.Error("the export waits on")
	}
	if path := <-given; filepath.Base(path) != "fog.tif" || l.untilAlarm(late) == 0 {
		t.Errorf("%s was given to the reader, and the loop sleeps %v", path, l.untilAlarm(late))
	}
	close(answers)
	l.onPaper(<-l.answers.papers)
	if l.desk.profile.Papers[0].White.Assumed || len(l.desk.profile.Readings) != 1 {
		t.Errorf("once it has answered, it is %+v", l.desk.profile)
	}
}

// lookAgain looks again for papers if that is due.
func (l *loop) lookAgain(now time.Time) {
	if l.desk.papers.retry(l.desk.good.profile, now) {
		l.askPapers()
	}
}

// TestPaperIsBack: what could not be reached is looked for again, and nothing else.
func TestPaperIsBack(t *testing.T) {
	l := paperLoop(t)
	path := filepath.Join(filepath.Dir(l.o.ProfilePath), "harbour.icc")
	mustNot(t, os.Rename(path, path+".away"))
	l.rewrite(t, paperProfile)
	l.onPaper(<-l.answers.papers)
	if got := l.voice.troubles.shown(morning); len(got) != 1 || !strings.Contains(got[0], "can't be reached right now") {
		t.Errorf("troubles %q", got)
	}
	mustNot(t, os.Rename(path+".away", path))
	if l.lookAgain(morning.Add(5*time.Minute - 1)); len(l.desk.papers.asked) != 0 {
		t.Error("it is looked for all the time")
	}
	l.lookAgain(morning.Add(5 * time.Minute))
	l.onPaper(<-l.answers.papers)
	if got := l.voice.troubles.shown(morning); len(got) != 0 || l.desk.profile.Papers[0].White.Assumed {
		t.Errorf("once it is back, the paper is %+v, with the troubles %q", l.desk.profile.Papers[0], got)
	}
	if l.lookAgain(morning.Add(15 * time.Minute)); len(l.desk.papers.asked) != 0 {
		t.Error("what has been read is looked for again")
	}
}

// TestQuitWhileAPaperHangs: the menu is served while a colour profile is being read.
func TestQuitWhileAPaperHangs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		s.must(os.WriteFile(filepath.Join(s.root, "harbour.icc"), []byte("a profile"), 0o600))
		s.writeProfile([]byte("[[paper]]\nname = \"harbour rag\"\nicc = \"harbour.icc\"\n"))
		s.papersHang = make(chan struct{})
		s.begin()
		s.click(tray.Command{Kind: tray.LogLight, Lux: 60})
		synctest.Wait()
		if !s.inMenu(" 60 lx, read at the screen ") {
			t.Errorf("the menu reads %q", s.menu())
		}
		s.click(tray.Command{Kind: tray.Quit})
		clicked := time.Now()
		if err := <-s.ended; err != nil || time.Since(clicked) != 5*time.Second {
			t.Errorf("ended %v after the click: %v", time.Since(clicked), err)
		}
		close(s.papersHang)
		synctest.Wait() // the reader left behind has its file until it is done
	})
}

// TestPaperTrouble: a colour profile that can't be used is told in the menu until it
// can be, and read again when its file has changed.
func TestPaperTrouble(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		icc := filepath.Join(s.root, "lying.icc")
		s.must(os.WriteFile(icc, []byte("lies"), 0o600))
		s.writeProfile([]byte("[[paper]]\nname = \"harbour rag\"\nicc = \"lying.icc\"\n"))
		s.begin()
		if got := s.troubles(); len(got) == 0 || !strings.Contains(got[0], `Paper "harbour rag": lying.icc: `) {
			t.Errorf("troubles %q", got)
		}
		s.must(os.WriteFile(icc, []byte("an honest profile"), 0o600))
		s.edited()
		time.Sleep(time.Minute)
		if got := s.troubles(); len(got) != 1 || strings.Contains(got[0], "lying.icc") {
			t.Errorf("troubles %q, want only that no folder is watched", got)
		}
		s.end()
	})
}
