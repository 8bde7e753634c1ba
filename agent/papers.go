package agent

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"time"

	"lampblack/agent/picture"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// PaperReader reads what an ICC profile says of the sheet it was made for.
// picture.Worker does it in a process of its own.
type PaperReader interface {
	Paper(ctx context.Context, path string) (picture.Paper, error)
}

// papers are the ICC profiles of papers as they were last read: a profile is
// read again only when its file has changed.
type papers struct {
	reader PaperReader
	read   map[string]sheet
}

// sheet is one ICC profile, or why it can't be used.
type sheet struct {
	size     int64
	modified time.Time
	paper    picture.Paper
	err      error
}

func newPapers(r PaperReader) *papers { return &papers{reader: r, read: map[string]sheet{}} }

// ReadPapers is p with the white and the black that the ICC profiles of its
// papers give, where p doesn't state them itself. notes are plain sentences about
// profiles that can't be used; their papers stay assumed.
func ReadPapers(ctx context.Context, r PaperReader, p *rules.Profile) (q *rules.Profile, notes []string) {
	return newPapers(r).fill(ctx, p)
}

func (s *papers) fill(ctx context.Context, p *rules.Profile) (q *rules.Profile, notes []string) {
	filled := *p
	filled.Papers = slices.Clone(p.Papers)
	for i := range filled.Papers {
		if err := s.fillOne(ctx, &filled.Papers[i]); err != nil {
			notes = append(notes, fmt.Sprintf("paper %q: %s: %v; what the profile doesn't say of it is assumed",
				p.Papers[i].Name, filepath.Base(p.Papers[i].ICC), err))
		}
	}
	return &filled, notes
}

func (s *papers) fillOne(ctx context.Context, p *rules.Paper) error {
	if p.ICC == "" || !p.White.Assumed && !p.DMax.Assumed {
		return nil
	}
	read, err := s.sheet(ctx, p.ICC)
	if err != nil {
		return err
	}
	// Absolute colours are relative to a perfectly white sheet, and so are
	// reflectances.
	if p.White.Assumed {
		p.White = rules.Stated(colour.FromLightness(read.White.L))
	}
	if p.DMax.Assumed {
		p.DMax = rules.Stated(min(-math.Log10(colour.FromLightness(read.Black.L)), mostDMax))
	}
	return nil
}

// mostDMax is the density beyond which a black is a matter of belief.
const mostDMax = 4

// sheet reads an ICC profile, or remembers it.
func (s *papers) sheet(ctx context.Context, path string) (picture.Paper, error) {
	info, err := os.Stat(path)
	if err != nil {
		return picture.Paper{}, fmt.Errorf("it can't be reached right now (%w)", err)
	}
	known, ok := s.read[path]
	if !ok || known.size != info.Size() || !known.modified.Equal(info.ModTime()) {
		known = sheet{size: info.Size(), modified: info.ModTime()}
		known.paper, known.err = s.reader.Paper(ctx, path)
		if ctx.Err() == nil && !errors.Is(known.err, picture.ErrVanished) { // which may be over, with the file as it was
			s.read[path] = known
		}
	}
	return known.paper, known.err
}
