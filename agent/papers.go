package agent

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"lampblack/agent/icc"
	"lampblack/agent/picture"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// PaperReader reads what a colour profile says of the sheet it was made for.
// picture.Worker does it in a process of its own.
type PaperReader interface {
	Paper(ctx context.Context, path string) (icc.Paper, error)
}

// sheet is one colour profile as it was last read, or why it can't be used. A profile is
// read again only when its file has changed.
type sheet struct {
	size     int64 // −1: it is to be read again whatever its file is like
	modified time.Time
	paper    icc.Paper
	err      error
}

// gone tells that the file could not be looked at, which may be over soon.
func (s sheet) gone() bool { return s.err != nil && s.size < 0 }

// ReadPapers is p with the white and the black that the colour profiles of its
// papers give, where p doesn't state them itself. notes are plain sentences about
// profiles that can't be used; their papers stay assumed.
func ReadPapers(ctx context.Context, r PaperReader, p *rules.Profile) (q *rules.Profile, notes []string) {
	sheets := map[string]sheet{}
	for _, path := range wantedSheets(p) {
		sheets[path] = readSheet(ctx, r, os.Stat, path, sheet{})
	}
	return fillPapers(p, sheets)
}

// wantedSheets are the paths of the colour profiles that p needs.
func wantedSheets(p *rules.Profile) []string {
	var paths []string
	for _, paper := range p.Papers {
		if wantsSheet(paper) && !slices.Contains(paths, paper.ICC) {
			paths = append(paths, paper.ICC)
		}
	}
	return paths
}

func wantsSheet(p rules.Paper) bool { return p.ICC != "" && (p.White.Assumed || p.DMax.Assumed) }

// statFunc is os.Stat, or a test's.
type statFunc = func(path string) (fs.FileInfo, error)

// readSheet reads a colour profile, unless it is as it was when it was last read. It
// takes as long as its drive does.
func readSheet(ctx context.Context, r PaperReader, stat statFunc, path string, last sheet) sheet {
	info, err := stat(path)
	if err != nil {
		return sheet{size: -1, err: fmt.Errorf("it can't be reached right now (%w)", err)}
	}
	if !last.modified.IsZero() && last.size == info.Size() && last.modified.Equal(info.ModTime()) {
		return last
	}
	s := sheet{size: info.Size(), modified: info.ModTime()}
	s.paper, s.err = r.Paper(ctx, path)
	if errors.Is(s.err, picture.ErrVanished) { // which may be over, with the file as it was
		s.size = -1
	}
	return s
}

// fillPapers is p with what the sheets that have been read give.
func fillPapers(p *rules.Profile, sheets map[string]sheet) (q *rules.Profile, notes []string) {
	filled := *p
	filled.Papers = slices.Clone(p.Papers)
	for i, paper := range p.Papers {
		s, read := sheets[paper.ICC]
		if !read || !wantsSheet(paper) {
			continue
		}
		full, err := s.fill(paper)
		if err != nil {
			notes = append(notes, fmt.Sprintf("paper %q: %s: %v; what the profile doesn't say of it is assumed",
				paper.Name, filepath.Base(paper.ICC), err))
			continue
		}
		filled.Papers[i] = full
	}
	return &filled, notes
}

// What is believed of a sheet. Absolute colours are relative to a perfectly white
// one, which no sheet outdoes by more than an instrument's error.
const (
	darkestSheet = 0.2  // luminous reflectance
	whitestSheet = 1.02 // beyond 1 it counts as 1
	densestSheet = 4    // density; with a black beyond it, a profile is a formula and no measurement
)

// fill is a paper with what its colour profile gives, where it doesn't state that itself.
func (s sheet) fill(p rules.Paper) (rules.Paper, error) {
	if s.err != nil {
		return p, s.err
	}
	if p.White.Assumed {
		white := colour.FromLightness(s.paper.White.L)
		if !(white >= darkestSheet && white <= whitestSheet) {
			return p, fmt.Errorf("its white reflects %.0f %% of the light, as no paper's does", 100*white)
		}
		p.White = rules.Stated(min(white, 1))
	}
	if p.DMax.Assumed {
		density := colour.Density(colour.FromLightness(s.paper.Black.L))
		if density > densestSheet {
			return p, fmt.Errorf("its black, of L* %.1f, is darker than any print's", s.paper.Black.L)
		}
		p.DMax = rules.Stated(density)
	}
	if white := colour.Density(p.White.Value); !(p.DMax.Value > white) {
		return p, fmt.Errorf("with it the black, of density %.2f, is no darker than the white, of density %.2f", p.DMax.Value, white)
	}
	return p, nil
}

// papers are the colour profiles of the papers in force.
type papers struct {
	sheets map[string]sheet     // by path, as last read
	asked  map[string]time.Time // those that are being read, and since when
	at     time.Time            // when they were last asked for
	turn   chan struct{}        // who has it may set a process to work: one at a time
	stat   statFunc
}

func newPapers() *papers {
	return &papers{
		sheets: map[string]sheet{},
		asked:  map[string]time.Time{},
		turn:   make(chan struct{}, 1),
		stat:   os.Stat,
	}
}

// ask takes note that the colour profiles of the papers in a profile are looked at now, and
// gives the paths of those that are not being looked at already.
func (ps *papers) ask(p *rules.Profile, now time.Time) (paths []string) {
	ps.at = now
	for _, path := range wantedSheets(p) {
		if _, already := ps.asked[path]; !already {
			ps.asked[path] = now
			paths = append(paths, path)
		}
	}
	return paths
}

// looking is how one of them is looked at, beside the loop: its drive may be dead, and
// hang.
func (ps *papers) looking(r PaperReader, path string) func(context.Context, string) (sheet, error) {
	last, turn, stat := ps.sheets[path], inTurn{r, ps.turn}, ps.stat
	return func(ctx context.Context, path string) (sheet, error) {
		return readSheet(ctx, turn, stat, path, last), nil
	}
}

// inTurn is a PaperReader that does one thing at a time.
type inTurn struct {
	reader PaperReader
	turn   chan struct{}
}

func (t inTurn) Paper(ctx context.Context, path string) (icc.Paper, error) {
	select {
	case t.turn <- struct{}{}:
	case <-ctx.Done():
		return icc.Paper{}, ctx.Err()
	}
	defer func() { <-t.turn }()
	return t.reader.Paper(ctx, path)
}

// paperPatience is how long an export waits for the colour profiles of the papers to be
// read for the first time; then those that are still on their way stay assumed.
const paperPatience = 4 * time.Second

// due is when exports need wait for papers no longer; zero when there is none to
// wait for.
func (ps *papers) due() time.Time {
	var due time.Time
	for path, since := range ps.asked {
		if _, known := ps.sheets[path]; !known && since.Add(paperPatience).After(due) {
			due = since.Add(paperPatience)
		}
	}
	return due
}

// retry tells whether to look again for what could not be reached.
func (ps *papers) retry(p *rules.Profile, now time.Time) bool {
	if now.Sub(ps.at).Abs() < refresh { // Abs: the clock may have been set back
		return false
	}
	return slices.ContainsFunc(wantedSheets(p), func(path string) bool { return ps.sheets[path].gone() })
}
