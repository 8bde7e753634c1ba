// Package rehearse plays a short day at an invented desk, in a temporary
// folder: real picture files, the real watch, reader, rules and journal.
package rehearse

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"lampblack/agent"
	"lampblack/agent/journal"
	"lampblack/agent/tray"
	"lampblack/rules"
)

// Options join the rehearsal to the world.
type Options struct {
	Reader  agent.Reader
	Desktop agent.Desktop // where it shows besides; may be nil
	Print   func(string)  // takes what happens, line by line
}

// patience is how long any one thing of the rehearsal may take. Nothing takes that
// long on a machine that works at all; a torn export alone takes some seconds, as it
// is read three times.
const patience = 2 * time.Minute

// Run plays the day. It gives an error when anything did not come out as it
// must: an export that was not judged, a verdict of another kind, a journal
// that lacks one.
func Run(ctx context.Context, o Options) (err error) {
	root, err := os.MkdirTemp("", "lampblack-rehearsal-")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(root)) }()
	r := newRehearsal(ctx, root, o)
	return r.play()
}

// rehearsal is one run of the day.
type rehearsal struct {
	ctx     context.Context
	root    string
	o       Options
	desk    scenery
	files   pictures
	entries chan journal.Entry
	desktop *stage
}

func newRehearsal(ctx context.Context, root string, o Options) *rehearsal {
	r := &rehearsal{
		ctx: ctx, root: root, o: o,
		files:   newPictures(),
		entries: make(chan journal.Entry, 64),
		desktop: newStage(o.Print, o.Desktop),
	}
	r.desk = scenery{
		white: 96, held: true, lx: 44, surround: "mid grey",
		print: filepath.Join(root, "to-print"), web: filepath.Join(root, "to-web"),
		profile: filepath.Join(root, "profile.toml"), now: time.Now(),
	}
	return r
}

func (r *rehearsal) play() error {
	if err := r.desk.build(); err != nil {
		return err
	}
	ctx, stop := context.WithCancel(r.ctx)
	var hands sync.WaitGroup
	hands.Go(func() { r.files.drawAhead(ctx) })
	var agentErr error
	hands.Go(func() {
		agentErr = agent.Run(ctx, agent.Options{
			ProfilePath: r.desk.profile,
			StateDir:    filepath.Join(r.root, "state"),
			Reader:      r.o.Reader,
			Desktop:     r.desktop,
			Say:         r.o.Print,
			Observe:     func(e journal.Entry) { r.entries <- e },
		})
	})
	err := r.scenes()
	stop()
	hands.Wait()
	if err = errors.Join(err, agentErr); err != nil {
		return err
	}
	return r.checkJournal()
}

// scenes plays one scene after the other.
func (r *rehearsal) scenes() error {
	if err := r.await("the desk", func(s tray.State) bool { return len(s.Summary.Conditions) > 0 }); err != nil {
		return err
	}
	for _, s := range day {
		r.o.Print("")
		r.o.Print("-- " + s.title)
		if s.change != nil {
			if err := r.changeDesk(s.change); err != nil {
				return err
			}
		}
		if err := r.export(s); err != nil {
			return fmt.Errorf("%s: %w", s.title, err)
		}
	}
	return nil
}

// changeDesk edits the profile, as a person would, and waits until the agent
// has taken it over.
func (r *rehearsal) changeDesk(change func(*scenery)) error {
	change(&r.desk)
	if err := r.desk.save(); err != nil {
		return err
	}
	return r.await("the edited profile", r.desk.shownIn)
}

// export writes the scene's file the way its editor would, waits for it to be
// judged, and shows what came of it.
func (r *rehearsal) export(s scene) error {
	folder := r.desk.print
	if s.forWeb {
		folder = r.desk.web
	}
	content, err := r.files[s.source]()
	if err != nil {
		return err
	}
	if err := s.write(filepath.Join(folder, s.name), content); err != nil {
		return err
	}
	e, err := r.entry(s.name)
	if err != nil {
		return err
	}
	r.show(e)
	return s.check(e)
}

// entry waits for the journal entry on a file.
func (r *rehearsal) entry(name string) (journal.Entry, error) {
	late := time.After(patience)
	for {
		select {
		case e := <-r.entries:
			if filepath.Base(e.Path) == name {
				return e, nil
			}
		case <-late:
			return journal.Entry{}, fmt.Errorf("%s was not judged within %v", name, patience)
		case <-r.ctx.Done():
			return journal.Entry{}, r.ctx.Err()
		}
	}
}

// show prints what came of an export.
func (r *rehearsal) show(e journal.Entry) {
	name := filepath.Base(e.Path)
	if e.Report == nil {
		r.o.Print(name + ": could not be read: " + e.Unread)
		return
	}
	r.o.Print(fmt.Sprintf("%s, for %s", name, e.Report.Purpose))
	for _, line := range rules.Lines(e.Report) {
		r.o.Print("  " + line)
	}
	if e.Silence != "" {
		r.o.Print("  no notice: " + e.Silence)
		return
	}
	r.desktop.awaitNotice(r.ctx, patience)
}

// await waits for a state of the tray.
func (r *rehearsal) await(what string, fits func(tray.State) bool) error {
	late := time.After(patience)
	for {
		select {
		case s := <-r.desktop.states:
			if fits(s) {
				r.o.Print("desk: " + s.Summary.Headline)
				for _, c := range s.Summary.Conditions {
					r.o.Print("  " + c)
				}
				return nil
			}
		case <-late:
			return fmt.Errorf("%s did not show within %v", what, patience)
		case <-r.ctx.Done():
			return r.ctx.Err()
		}
	}
}

// checkJournal reads the journal back: every export is in it exactly once.
func (r *rehearsal) checkJournal() error {
	seen := map[string]int{}
	skipped, err := journal.Read(filepath.Join(r.root, "state", "journal"), func(e journal.Entry) error {
		seen[filepath.Base(e.Path)]++
		return nil
	})
	if err != nil {
		return err
	}
	for _, s := range day {
		if seen[s.name] != 1 {
			return fmt.Errorf("the journal has %s %d times, not once", s.name, seen[s.name])
		}
	}
	if skipped > 0 {
		return fmt.Errorf("the journal has %d damaged lines", skipped)
	}
	r.o.Print("")
	r.o.Print(fmt.Sprintf("The journal holds all %d exports. That was the rehearsal; nothing of it is kept.", len(day)))
	return nil
}
