package main

import (
	"fmt"
	"os"

	"lampblack/agent/autostart"
)

// autostartCmd has the desktop start the agent at login, or not.
type autostartCmd struct {
	Switch string `arg:"" optional:"" enum:"on,off,show" default:"show" help:"on, off, or show, which tells how it is now."`
}

// Run switches it, and tells how it is then.
func (c autostartCmd) Run(j *job) error {
	switch c.Switch {
	case "on":
		exe, err := os.Executable()
		if err != nil {
			return fmt.Errorf("can't find this program's own file: %w", err)
		}
		if err := autostart.On(exe, j.places()...); err != nil {
			return err
		}
	case "off":
		if err := autostart.Off(); err != nil {
			return err
		}
	}
	s, err := autostart.Read()
	if err != nil {
		return err
	}
	if s.On {
		j.voice.print("Starts when you log in: " + s.Runs + "\n  by " + s.Where)
	} else {
		j.voice.print("Does not start by itself; lampblack autostart on changes that")
	}
	return nil
}

// places are the flags that lead to the same profile and journal as now.
func (j *job) places() (flags []string) {
	if j.profile != "" {
		flags = append(flags, "--profile="+j.profile)
	}
	if j.state != "" {
		flags = append(flags, "--state="+j.state)
	}
	return flags
}
