package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"time"
	"unicode"

	"lampblack/agent"
	"lampblack/config"
	"lampblack/rules"
)

// lightCmd logs a reading of the room light.
type lightCmd struct {
	readingFlags
	Lux number `arg:"" help:"The illuminance read, in lux."`
}

// Run appends the reading to the log beside the profile.
func (c lightCmd) Run(j *job) error {
	if err := c.log(j, rules.Reading{At: c.At.orNow(), Light: rules.Lux(c.Lux)}); err != nil {
		return err
	}
	j.voice.print(fmt.Sprintf("Logged %g lx at the %s.", c.Lux, c.Place))
	return nil
}

// readingFlags say about a reading what its figure doesn't.
type readingFlags struct {
	Place  rules.Place `help:"Where it was read: ${enum}." enum:"screen,desk,print" default:"screen"`
	Kelvin *number     `help:"The colour temperature of the light, in kelvin." placeholder:"K"`
	Note   string      `help:"Whatever you want to remember." placeholder:"TEXT"`
	At     *moment     `help:"When it was read (RFC 3339); now if not given." placeholder:"TIME"`
}

// log appends a reading, with what the flags say of it, to the log beside the
// profile. The profile itself may be broken just now: that is no reason to lose
// a reading.
func (f readingFlags) log(j *job, r rules.Reading) error {
	r.Place, r.Note = f.Place, strings.TrimSpace(f.Note)
	if f.Kelvin != nil {
		r.Kelvin = rules.Kelvin(*f.Kelvin)
	}
	switch {
	case !(r.Light >= 0 && r.Light <= rules.MostLux):
		return bad(fmt.Errorf("%g lx is not a room light: a reading lies between 0 and %d lx", r.Light, rules.MostLux))
	case f.Kelvin != nil && !(r.Kelvin >= rules.CoolestLamp && r.Kelvin <= rules.BluestSky):
		return bad(fmt.Errorf("--kelvin: %g K is not the colour of a room's light: it lies between %d and %d K", r.Kelvin, rules.CoolestLamp, rules.BluestSky))
	case strings.ContainsFunc(r.Note, unicode.IsControl):
		return bad(errors.New("--note: a note is one line of plain text"))
	}
	path, err := j.profileToLogFor()
	if err != nil {
		return bad(err)
	}
	return config.AppendReading(agent.LogPath(path), r)
}

// profileToLogFor is the profile beside which something is to be logged.
func (j *job) profileToLogFor() (string, error) {
	path, err := j.profilePath()
	if err != nil {
		return "", err
	}
	if _, err := os.Stat(path); j.profile != "" && errors.Is(err, fs.ErrNotExist) {
		return "", noProfile(path) // a slip in its name would hide what is logged
	}
	return path, nil
}

// writtenAfter tells whether the profile was written after t.
func writtenAfter(path string, t time.Time) bool {
	info, err := os.Stat(path)
	return err == nil && info.ModTime().After(t)
}
