package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"lampblack/agent"
	"lampblack/agent/firstpage"
	"lampblack/config"
)

// writePage writes the page that asks the four questions where nobody sees a
// terminal. The agent starts this as a process of its own (see itself.go).
func (c beginCmd) writePage(j *job, profile string) error {
	if c.White != nil || c.Measured != nil || c.Held != nil || c.Room != nil || c.Exports != nil || c.Judged != nil {
		return misused(errors.New("--page asks nothing, so it takes no answers"))
	}
	state, err := j.stateDir()
	if err != nil {
		return err
	}
	if err := config.WriteStarter(profile, config.Answers{}); err != nil && !errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("the profile was not written: %w", err)
	}
	text, err := os.ReadFile(profile)
	if err != nil {
		return fmt.Errorf("the profile can't be read: %w", err)
	}
	page := agent.FirstPage(state)
	if err := firstpage.Write(page, firstpage.Page{Profile: profile, Text: string(text), Lines: config.StarterLines(string(text))}); err != nil {
		return fmt.Errorf("the page was not written: %w", err)
	}
	j.voice.print("Wrote " + visible(page))
	return nil
}
