package agent

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/page"
	"lampblack/agent/picture"
	"lampblack/config/legible"
	"lampblack/config/private"
	"lampblack/rules"
)

// PagePath is where the desk page is kept in a state directory.
func PagePath(state string) string { return filepath.Join(state, "desk.html") }

// Previewer makes a small copy of a picture file. *picture.Worker does it in a
// process of its own.
type Previewer interface {
	Preview(ctx context.Context, path string) (picture.Preview, error)
}

// WritePage writes the desk page of a profile and its state directory to a file
// that only its owner can read, in place of the one before. notes are plain
// sentences about what was put up with.
func WritePage(ctx context.Context, p *rules.Profile, state, path string, v Previewer, now time.Time) (notes []string, err error) {
	shown, notes, err := gatherPage(ctx, p, JournalDir(state), now)
	if err != nil {
		return notes, err
	}
	shown.drawPictures(ctx, p, v, now)
	if err := ctx.Err(); err != nil {
		return notes, err
	}
	var b bytes.Buffer
	if err := page.Write(&b, shown.Page); err != nil {
		return notes, fmt.Errorf("the desk page can't be made: %w", err)
	}
	folder := filepath.Dir(path)
	if folder == state { // ours, and made at the first start
		if err := os.MkdirAll(folder, 0o700); err != nil {
			return notes, err
		}
	}
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return notes, fmt.Errorf("%s is a folder: move it away, or name a file", legible.Line(filepath.Base(path)))
	}
	if _, err := os.Stat(folder); errors.Is(err, os.ErrNotExist) {
		return notes, fmt.Errorf("there is no folder %s", legible.Line(folder))
	}
	if err := private.Replace(path, b.Bytes()); err != nil {
		return notes, fmt.Errorf("can't write %s (%w): see that its folder is there, writable and not full",
			legible.Line(filepath.Base(path)), withoutPath(err))
	}
	return notes, nil
}

// withoutPath is the system's reason alone: the paths around it, one of them of a
// file that nobody knows, would leave no room for it in the menu.
func withoutPath(err error) error {
	var number syscall.Errno
	if errors.As(err, &number) {
		return number
	}
	return err
}

// gathered is a page with what its pictures are made from.
type gathered struct {
	page.Page
	last journal.Entry // the export that the page's report is on
}

// gatherPage brings together what the page shows, without its pictures.
func gatherPage(ctx context.Context, p *rules.Profile, journalDir string, now time.Time) (g gathered, notes []string, err error) {
	c := rules.Resolve(p, now)
	from := now.AddDate(0, 0, -page.Days)
	g.Page = page.Page{
		Desk: p.Desk, At: now, Conditions: c.List, Quiet: p.Quiet, ReadingLife: p.Room.ReadingLife,
		Light: p.RoomLight(from, now), Learnt: p.Learnt,
		NoPictures: "No export yet: the first one that is written into a watched folder is shown here.",
	}
	latest, err := g.readJournal(ctx, journalDir, from, now)
	if err != nil {
		return g, nil, err
	}
	outcomes, note, err := readOutcomes(journalDir)
	if err != nil {
		return g, nil, err
	}
	if note != "" {
		notes = append(notes, note)
	}
	g.Outcomes = olderWhites{}.judged(journalDir, p, outcomes)
	g.Report = g.last.Report
	var line rules.LastExport
	if latest.Unread != "" {
		_, line = tellOf(latest)
		if g.Report != nil {
			g.Older = fmt.Sprintf("What follows is about the export before it, %s.", filepath.Base(g.last.Path))
		}
	}
	g.Summary = summarise(&c, p.Quiet, g.Report, line)
	return g, notes, nil
}

// readJournal takes the exports of the last days, and the last one that could be
// read, from however long ago; latest is the very last.
func (g *gathered) readJournal(ctx context.Context, dir string, from, now time.Time) (latest journal.Entry, err error) {
	take := func(e journal.Entry) error {
		if e.At.After(now) {
			return nil
		}
		latest = e
		verdict := rules.Unread
		if sound(e.Report) {
			verdict, g.last = e.Report.Verdict, e
		}
		if !e.At.Before(from) {
			g.Exports = append(g.Exports, page.Export{At: e.At, Verdict: verdict, Notice: e.Report != nil && e.Silence == ""})
		}
		return nil
	}
	if _, err := journal.Search(ctx, dir, journal.Filter{From: from}, take); err != nil || g.last.Report != nil {
		return latest, err
	}
	// Nothing was read in these days: look further back, and only as far as need be.
	const last = 5 // seldom are all of them unread
	recent, err := journal.ReadLast(dir, last)
	if err != nil {
		return latest, err
	}
	for _, e := range recent { // the latest first
		if latest.At.IsZero() && !e.At.After(now) {
			latest = e
		}
		if sound(e.Report) && !e.At.After(now) {
			g.last = e
			return latest, nil
		}
	}
	g.Exports = nil
	_, err = journal.Read(dir, take)
	return latest, err
}

// sound tells whether a report has all that the page draws: a journal can be
// damaged, or edited by hand.
func sound(r *rules.Report) bool {
	if r == nil || r.Prediction.Targets.Spread == nil {
		return false
	}
	for _, c := range r.Conditions {
		if c.Name == "" {
			return false
		}
	}
	return len(r.Conditions) > 0
}

// drawPictures draws the last export, or says why it can't be drawn.
func (g *gathered) drawPictures(ctx context.Context, p *rules.Profile, v Previewer, now time.Time) {
	if g.Report == nil {
		return
	}
	sight := rules.SightOf(p, g.Report, now)
	g.Tones = sight.Tones
	name := filepath.Base(g.last.Path)
	info, err := os.Stat(g.last.Path)
	if err == nil && (info.Size() != g.last.Size || !info.ModTime().Equal(g.last.ModTime)) {
		g.NoPictures = fmt.Sprintf("%s has been changed since it was judged: export it again to see it here.", name)
		return
	}
	preview, err := v.Preview(ctx, g.last.Path)
	if err == nil {
		g.Pictures, err = page.Draw(page.Raster(preview), sight)
	}
	switch {
	case errors.Is(err, picture.ErrVanished):
		g.NoPictures = fmt.Sprintf("%s is no longer where it was exported to, so it can't be shown.", name)
	case err != nil:
		g.NoPictures = fmt.Sprintf("%s can't be shown: %v.", name, err)
	}
}
