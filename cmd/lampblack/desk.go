package main

import (
	"errors"
	"fmt"
	"runtime/debug"
	"time"

	"lampblack/agent"
	"lampblack/cmd/lampblack/values"
	"lampblack/rules"
)

// deskCmd shows the desk.
type deskCmd struct {
	At   *values.Moment `help:"Show it as of this time: a day, which is its noon, as in 2026-03-01 or yesterday, or \"2026-03-01 15:00\"; now if not given." placeholder:"TIME"`
	JSON bool           `name:"json" help:"Print one JSON object."`
}

// deskObject is the desk for programs.
type deskObject struct {
	Desk       string            `json:"desk"`
	At         time.Time         `json:"at"`
	Headline   string            `json:"headline"`
	Conditions []rules.Condition `json:"conditions"`
	Last       string            `json:"last"`
}

// Run prints the same summary as the tray.
func (c deskCmd) Run(j *job) error {
	p, at, err := j.profileAt(c.At)
	if err != nil {
		return err
	}
	s := j.summary(p, at)
	if c.JSON {
		return j.voice.printJSON(deskObject{p.Desk, at, s.Headline, rules.Resolve(p, at).List, s.Last.String()})
	}
	if p.Desk != "" {
		j.voice.print(visible(p.Desk))
	}
	printSummary(j.voice, s)
	printPlaces(j.voice, p)
	return nil
}

// summary is what the tray shows. A journal that can't be read is no reason not
// to show the desk.
func (j *job) summary(p *rules.Profile, at time.Time) rules.Summary {
	state, err := j.stateDir()
	if err != nil {
		state = "" // there is no journal, then
	}
	s, err := agent.Summary(p, state, at)
	if err != nil {
		j.voice.say(err.Error())
	}
	return s
}

func printSummary(v *voice, s rules.Summary) {
	v.print(s.Headline)
	for _, line := range s.Conditions {
		v.print("  " + visible(line))
	}
	v.print(visible(s.Last.String()))
}

// printPlaces tells where pictures are judged, and where exports are awaited.
func printPlaces(v *voice, p *rules.Profile) {
	if len(p.Displays) > 1 {
		v.print(fmt.Sprintf("Pictures for print are judged on %s", visible(p.EditingDisplay().Name)))
	}
	if len(p.Folders) == 0 {
		v.print("No folder is watched: name one in the profile")
	}
	for _, f := range p.Folders {
		line := fmt.Sprintf("Watched for %s: %s", f.Purpose, visible(f.Path))
		if !isFolder(f.Path) {
			line += " (not there right now)"
		}
		v.print(line)
	}
}

// versionCmd prints the version.
type versionCmd struct{}

// Run prints what the build knows about itself.
func (versionCmd) Run(j *job) error {
	info, known := debug.ReadBuildInfo()
	if !known {
		return errors.New("this build carries no version")
	}
	j.voice.print(fmt.Sprintf("lampblack %s, %s", info.Main.Version, info.GoVersion))
	return nil
}
