package main

import (
	"context"
	"errors"

	"lampblack/agent/rehearse"
	"lampblack/agent/tray"
)

// rehearseCmd plays the invented day.
type rehearseCmd struct{}

// Run plays it, in the tray as well where there is one.
func (rehearseCmd) Run(j *job) error {
	r, err := reader()
	if err != nil {
		return err
	}
	t := tray.New(tray.Options{Log: j.voice.say})
	return beside(j.ctx, ifTaken(t.Run, j.voice), func(ctx context.Context) error {
		return rehearse.Run(ctx, rehearse.Options{Reader: r, Desktop: t, Print: j.voice.print})
	})
}

// ifTaken shows the tray, and has the play go on without it where the taskbar
// doesn't take the icon.
func ifTaken(show func(context.Context) error, v *voice) func(context.Context) error {
	return func(ctx context.Context) error {
		err := show(ctx)
		if !errors.Is(err, tray.ErrNotShown) {
			return err
		}
		v.say(err.Error() + ": the rehearsal goes on without it")
		<-ctx.Done()
		return nil
	}
}
