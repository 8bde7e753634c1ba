package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"runtime/debug"

	"lampblack/agent"
	"lampblack/config"
	"lampblack/rules"
)

// deskCmd shows the desk.
type deskCmd struct {
	At *moment `help:"Show it as of this time (RFC 3339); now if not given." placeholder:"TIME"`
}

// Run prints the same summary as the tray.
func (c deskCmd) Run(j *job) error {
	p, err := j.loadProfile()
	if err != nil {
		return bad(err)
	}
	if p.Desk != "" {
		j.voice.print(visible(p.Desk))
	}
	now := rules.Resolve(p, c.At.orNow())
	s := rules.Summarise(&now, p.Quiet, nil)
	j.voice.print(s.Headline)
	for _, line := range s.Conditions {
		j.voice.print("  " + line)
	}
	if len(p.Displays) > 1 {
		j.voice.print("Pictures for print are judged on " + visible(p.EditingDisplay().Name))
	}
	if len(p.Folders) == 0 {
		j.voice.print("No folder is watched: name one in the profile")
	}
	for _, f := range p.Folders {
		j.voice.print(fmt.Sprintf("Watched for %s: %s", f.Purpose, visible(f.Path)))
	}
	return nil
}

// lightCmd logs a reading of the room light.
type lightCmd struct {
	Lux   number      `arg:"" help:"The illuminance read, in lux."`
	Place rules.Place `help:"Where it was read: ${enum}." enum:"screen,desk,print" default:"screen"`
	At    *moment     `help:"When it was read (RFC 3339); now if not given." placeholder:"TIME"`
}

// Run appends the reading to the log beside the profile. The profile itself may
// be broken just now: that is no reason to lose a reading.
func (c lightCmd) Run(j *job) error {
	if !(c.Lux >= 0 && c.Lux <= rules.MostLux) {
		return bad(fmt.Errorf("%g lx is not a room light: a reading lies between 0 and %d lx", c.Lux, rules.MostLux))
	}
	path, err := j.profilePath()
	if err != nil {
		return bad(err)
	}
	if _, err := os.Stat(path); j.profile != "" && errors.Is(err, fs.ErrNotExist) {
		return bad(noProfile(path)) // a slip in its name would hide the reading
	}
	reading := rules.Reading{At: c.At.orNow(), Light: rules.Lux(c.Lux), Place: c.Place}
	if err := config.AppendReading(agent.LogPath(path), reading); err != nil {
		return err
	}
	j.voice.print(fmt.Sprintf("Logged %g lx at the %s.", c.Lux, c.Place))
	return nil
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
