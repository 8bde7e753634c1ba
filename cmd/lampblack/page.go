package main

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"time"

	"lampblack/agent"

	"lampblack/cmd/lampblack/values"
)

// pageCmd writes the desk page and opens it.
type pageCmd struct {
	Out  values.Location `short:"o" aliases:"output" help:"Write the page to this file, and leave it to you to open it." placeholder:"FILE"`
	Open bool            `help:"Open the page, also with --out."`
}

// Run writes the page to the state directory, in place of the last one, or to
// where the user wants it.
func (c pageCmd) Run(j *job) error {
	p, err := j.loadProfile()
	if err != nil {
		return bad(err)
	}
	state, err := j.stateDir()
	if err != nil {
		return bad(err)
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

// pageWriter has another process of this program write and open the desk page:
// what that takes of memory is given back with it. places are the flags that lead
// it to the agent's own profile and journal.
func pageWriter(program string, places []string) func(context.Context) error {
	return func(ctx context.Context) error {
		said := &tail{most: 4 << 10}
		cmd := exec.CommandContext(ctx, program, append(slices.Clip(places), "page")...)
		cmd.Stderr = said
		err := cmd.Run()
		if text := lastSentence(string(said.end)); err != nil && text != "" {
			return errors.New(text)
		}
		return err
	}
}

// tail keeps the end of what is written to it.
type tail struct {
	end  []byte
	most int
}

func (t *tail) Write(p []byte) (int, error) {
	t.end = append(t.end, p...)
	t.end = t.end[max(0, len(t.end)-t.most):]
	return len(p), nil
}

// lastSentence is the last that a voice said, without the hints below it.
func lastSentence(said string) string {
	i := strings.LastIndex("\n"+said, "\n"+prefix)
	if i < 0 {
		return ""
	}
	sentence, _, _ := strings.Cut(said[i+len(prefix):], "\n")
	return sentence
}
