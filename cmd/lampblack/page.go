package main

import (
	"fmt"
	"time"

	"lampblack/agent"

	"lampblack/cmd/lampblack/values"
)

// pageCmd writes the desk page and opens it.
type pageCmd struct {
	Out  values.Location `short:"o" aliases:"output" help:"Write the page to this file, and don't open it." placeholder:"FILE"`
	Open bool            `help:"With --out: open the page, too."`
}

// Run writes the page to the state directory, in place of the last one, or to
// where the user wants it.
func (c pageCmd) Run(j *job) error {
	p, err := j.loadProfile()
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
	path := string(c.Out)
	if path == "" {
		path = agent.PagePath(state)
	}
	notes, err := agent.WritePage(j.ctx, p, state, path, r, time.Now())
	j.say(notes)
	if err != nil {
		return err
	}
	j.voice.print("Wrote " + visible(path))
	if c.Out != "" && !c.Open {
		return nil
	}
	if err := agent.OpenPage(path); err != nil {
		return fmt.Errorf("the page is at %s, but it could not be opened: %w", visible(path), err)
	}
	return nil
}
