package main

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"slices"
	"strings"
)

// This program in other processes: work whose memory is to be given back when it is
// done, and a fresh start.

// pageWriter has another process write and open the desk page. places are the flags
// that lead it to the agent's own profile and journal.
func pageWriter(program string, places []string) func(context.Context) error {
	return func(ctx context.Context) error {
		return runItself(ctx, program, append(slices.Clip(places), "page")...)
	}
}

// firstPageWriter has another process write the page of the first run.
func firstPageWriter(program, profile, state string) func(context.Context) error {
	return func(ctx context.Context) error {
		return runItself(ctx, program, "begin", "--page", "--profile="+profile, "--state="+state)
	}
}

// runItself runs one command line of this program. Its error is what the command
// said last.
func runItself(ctx context.Context, program string, args ...string) error {
	said := &tail{most: 4 << 10}
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Stderr = said
	err := cmd.Run()
	if text := lastSentence(string(said.end)); err != nil && text != "" {
		return errors.New(text)
	}
	return err
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

// lastSentence is the last that a voice said, without the hints below it: what ended a
// process of this program. It is found by the name that a voice puts before a sentence,
// since a process has nothing but its words and its code to tell by; what it says is
// passed on, and decides nothing.
func lastSentence(said string) string {
	i := strings.LastIndex("\n"+said, "\n"+prefix)
	if i < 0 {
		return ""
	}
	sentence, _, _ := strings.Cut(said[i+len(prefix):], "\n")
	return sentence
}

// startAnew starts the same command line again in a process of its own: one
// process can ask the taskbar for an icon only once. The tray has taken its
// time before it gave up, so this can't run hot.
func startAnew() error {
	exe, err := os.Executable()
	if err != nil {
		return err
	}
	again := exec.Command(exe, os.Args[1:]...)
	again.Stdout, again.Stderr = os.Stdout, os.Stderr
	return again.Start()
}
