package agent

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/picture"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// drawer is a PaperReader: the sheet of every profile in it, but for those whose
// name says that they lie.
type drawer struct {
	sheet picture.Paper
	reads int
}

func (d *drawer) Paper(_ context.Context, path string) (picture.Paper, error) {
	d.reads++
	if strings.Contains(path, "lying") {
		return picture.Paper{}, errors.New("the colour profile can't be used")
	}
	return d.sheet, nil
}

// locked is a PaperReader of profiles that may not be opened just now.
type locked struct{ drawer }

func (l *locked) Paper(ctx context.Context, path string) (picture.Paper, error) {
	if l.reads++; l.reads == 1 {
		return picture.Paper{}, picture.ErrVanished
	}
	return l.sheet, nil
}

func TestPaperIsReadAgain(t *testing.T) {
	path := filepath.Join(t.TempDir(), "harbour.icc")
	mustNot(t, os.WriteFile(path, []byte("a profile"), 0o600))
	p := &rules.Profile{Papers: []rules.Paper{{Name: "harbour rag", ICC: path, White: rules.Assume(0.9), DMax: rules.Stated(1.6)}}}
	s := newPapers(&locked{drawer{sheet: picture.Paper{White: colour.Lab{L: 95}}}})
	if _, notes := s.fill(t.Context(), p); len(notes) != 1 {
		t.Errorf("notes of a file that may not be opened: %q", notes)
	}
	if q, notes := s.fill(t.Context(), p); len(notes) != 0 || q.Papers[0].White.Assumed {
		t.Errorf("once it may: %+v, %q", q.Papers[0], notes)
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
	d := &drawer{sheet: picture.Paper{White: colour.Lab{L: 95}, Black: colour.Lab{L: 16.5}}}
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

// TestBlackestPaper: a profile that promises no light at all isn't believed.
func TestBlackestPaper(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pit.icc")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	p := &rules.Profile{Papers: []rules.Paper{{ICC: path, White: rules.Assume(0.9), DMax: rules.Assume(1.6)}}}
	got, _ := ReadPapers(t.Context(), &drawer{sheet: picture.Paper{White: colour.Lab{L: 100}}}, p)
	if d := got.Papers[0].DMax.Value; d != mostDMax {
		t.Errorf("D-max %v, want %v", d, float64(mostDMax))
	}
}

// TestPaperTrouble: an ICC profile that can't be used is told in the menu until it
// can be, and read again when its file has changed.
func TestPaperTrouble(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		icc := filepath.Join(s.root, "lying.icc")
		s.must(os.WriteFile(icc, []byte("lies"), 0o600))
		s.writeProfile([]byte("[[paper]]\nname = \"harbour rag\"\nicc = \"lying.icc\"\n"))
		s.begin()
		if got := s.troubles(); len(got) == 0 || !strings.Contains(got[0], `paper "harbour rag": lying.icc: `) {
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
