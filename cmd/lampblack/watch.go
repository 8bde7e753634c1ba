package main

import (
	"context"
	"errors"
	"fmt"
	"runtime/debug"
	"sync"
	"time"

	"lampblack/agent"
	"lampblack/agent/journal"
	"lampblack/agent/sensor"
	"lampblack/agent/tray"
	"lampblack/rules"
)

// watchCmd is the agent itself.
type watchCmd struct{}

// Run watches until it is told to end.
func (watchCmd) Run(j *job) error {
	profile, err := j.profilePath()
	if err != nil {
		return err
	}
	state, err := j.stateDir()
	if err != nil {
		return err
	}
	r, err := reader()
	if err != nil {
		return err
	}
	keepSmall()
	t := tray.New(tray.Options{Log: j.voice.say})
	err = beside(j.ctx, t.Run, func(ctx context.Context) error {
		return agent.Run(ctx, agent.Options{
			ProfilePath: profile,
			StateDir:    state,
			Reader:      r,
			Desktop:     t,
			Page:        pageWriter(r.Command[0], j.places()),
			Sensor:      &sensor.Sensor{},
			Say:         j.voice.say,
			Observe:     tellUnless(t.Shown, j.voice.say),
			Explain:     firstPageWriter(r.Command[0], profile, state),
		})
	})
	switch {
	case errors.Is(err, agent.ErrRunning):
		return j.tellOfFirst(state)
	case errors.Is(err, tray.ErrNotShown):
		return startAnew()
	}
	return err
}

// tellUnless says of each export how it was judged, unless the tray does. Those
// made before the start are in the journal: they could be many.
func tellUnless(shown func() bool, say func(string)) func(journal.Entry) {
	return func(e journal.Entry) {
		if !shown() && !e.CatchUp {
			say(visible(baseName(e.Path)) + ": " + judged(e)) // a line in its name would be one of ours
		}
	}
}

func judged(e journal.Entry) string {
	if e.Report == nil {
		return "could not be read: " + e.Unread
	}
	return rules.InBrief(e.Report)
}

// tellOfFirst says where the agent is that runs already, and what it shows.
func (j *job) tellOfFirst(state string) error {
	first, ok := agent.WhoRuns(state)
	if !ok {
		j.voice.say(agent.ErrRunning.Error())
		return nil
	}
	j.voice.say(fmt.Sprintf("%v\nprocess %d, since %s, with the profile %s",
		agent.ErrRunning, first.Process, first.Since.Local().Format("2 January 15:04"), first.Profile))
	if path, err := j.profilePath(); err != nil || path != first.Profile {
		j.profile = first.Profile
	} // else it needn't exist, as it needn't for the first
	p, err := j.loadProfile()
	if err != nil {
		return err
	}
	printSummary(j.voice, j.summary(p, time.Now()))
	return nil
}

// keepSmall has the garbage collected in good time: the agent needs a megabyte, and
// by itself Go lets a heap grow to four before it looks. A collection takes less
// than a millisecond.
func keepSmall() { debug.SetGCPercent(25) }

// beside runs work beside a tray, which needs the main goroutine. Either ends
// with the other: a tray that loses its session bus is on a desktop that logs
// out, and wants nothing else.
func beside(ctx context.Context, show func(context.Context) error, work func(context.Context) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var hands sync.WaitGroup
	var workErr error
	hands.Go(func() {
		defer cancel()
		workErr = work(ctx)
	})
	trayErr := show(ctx)
	cancel()
	hands.Wait()
	if errors.Is(trayErr, tray.ErrBusLost) {
		trayErr = nil
	}
	return errors.Join(workErr, trayErr)
}
