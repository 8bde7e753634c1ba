package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"
	"strings"
	"time"
	"unicode"

	"lampblack/agent"
	"lampblack/cmd/lampblack/values"
	"lampblack/config/log"
	"lampblack/rules"
)

// lightCmd logs a reading of the room light.
type lightCmd struct {
	readingFlags
	Undo bool              `help:"Take back what was logged last: ${facts}."`
	Lux  []values.FileName `arg:"" optional:"" name:"lux" help:"The illuminance read, in lux."`
}

// Run appends the reading to the log beside the profile.
func (c lightCmd) Run(j *job) error {
	switch {
	case c.Undo && len(c.Lux) > 0:
		return misused(errors.New("--undo takes back what was logged last: it takes no number"))
	case c.Undo:
		return undo(j)
	case len(c.Lux) == 0:
		return misused(errors.New("the number of lux is missing, as in lampblack light 48"))
	}
	light, err := values.Lux(values.Joined(c.Lux)) // 48 lx may be two words
	if err != nil {
		return misused(err)
	}
	if err := c.log(j, rules.Reading{At: c.At.OrNow(), Light: light, Source: rules.FromCommand}); err != nil {
		return err
	}
	j.voice.print(fmt.Sprintf("Logged %s lx at the %s.", values.Longhand(float64(light)), c.Place))
	return nil
}

// undo takes back what was logged last.
func undo(j *job) error {
	path, err := j.profileToLogFor()
	if err != nil {
		return err
	}
	fact, found, err := log.TakeBackLast(agent.LogPath(path), time.Now())
	switch {
	case err != nil:
		return err
	case !found:
		return errors.New("nothing is left in the log to take back")
	}
	j.voice.print(fmt.Sprintf("Took back %s, of %s.", fact.Words(), values.Clock(fact.Told().At)))
	return nil
}

// rounded is a figure to three digits, as far as anybody reads it.
func rounded(v float64) string {
	digits, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	if err != nil {
		return values.Longhand(v)
	}
	return values.Longhand(digits)
}

// readingFlags say about a reading what its figure doesn't.
type readingFlags struct {
	Place  rules.Place    `help:"Where it was read: at the screen, on the desk or at the print." enum:"screen,desk,print" default:"screen"`
	Kelvin *values.Kelvin `help:"The colour temperature of the light, in kelvin." placeholder:"K"`
	Note   string         `help:"Whatever you want to remember." placeholder:"TEXT"`
	At     *values.Moment `help:"When it was read: a day, which is its noon, as in 2026-03-01 or yesterday, or \"2026-03-01 15:00\"; now if not given." placeholder:"TIME"`
}

// log appends a reading, with what the flags say of it, to the log beside the
// profile. The profile itself may be broken just now: that is no reason to lose
// a reading.
func (f readingFlags) log(j *job, r rules.Reading) error {
	r.Place, r.Note = f.Place, strings.TrimSpace(f.Note)
	if f.Kelvin != nil {
		r.Kelvin = rules.Kelvin(*f.Kelvin)
	}
	if err := values.CheckLux(r.Light); err != nil { // worked out of an exposure
		return misused(err)
	}
	if strings.ContainsFunc(r.Note, unicode.IsControl) {
		return misused(errors.New("--note: a note is one line of plain text"))
	}
	if err := f.past(); err != nil {
		return misused(err)
	}
	path, err := j.profileToLogFor()
	if err != nil {
		return err
	}
	return log.Append(agent.LogPath(path), &log.Reading{Reading: r})
}

// past wants the moment of the flags to be no later than now.
func (f readingFlags) past() error {
	if f.At == nil {
		return nil
	}
	return values.Gone("--at", f.At.Time, time.Now())
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
