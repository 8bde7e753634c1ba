package main

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"strconv"
	"strings"
	"time"
	"unicode"

	"lampblack/agent"
	"lampblack/config/log"
	"lampblack/rules"
)

// lightCmd logs a reading of the room light.
type lightCmd struct {
	readingFlags
	Undo bool       `help:"Take back what was logged last: ${facts}."`
	Lux  []fileName `arg:"" optional:"" name:"lux" help:"The illuminance read, in lux."`
}

// Run appends the reading to the log beside the profile.
func (c lightCmd) Run(j *job) error {
	switch {
	case c.Undo && len(c.Lux) > 0:
		return bad(errors.New("--undo takes back what was logged last: it takes no number"))
	case c.Undo:
		return undo(j)
	case len(c.Lux) == 0:
		return bad(errors.New("the number of lux is missing, as in lampblack light 48"))
	}
	light, err := luxFigure.read(joined(c.Lux)) // 48 lx may be two words
	if err != nil {
		return bad(err)
	}
	if err := c.log(j, rules.Reading{At: c.At.orNow(), Light: rules.Lux(light), Source: rules.FromCommand}); err != nil {
		return err
	}
	j.voice.print(fmt.Sprintf("Logged %s lx at the %s.", longhand(light), c.Place))
	return nil
}

// undo takes back what was logged last.
func undo(j *job) error {
	path, err := j.profileToLogFor()
	if err != nil {
		return bad(err)
	}
	fact, found, err := log.TakeBackLast(agent.LogPath(path), time.Now())
	switch {
	case err != nil:
		return err
	case !found:
		return errors.New("nothing is left in the log to take back")
	}
	j.voice.print(fmt.Sprintf("Took back %s, of %s.", fact.Words(), clock(fact.Told().At)))
	return nil
}

// rounded is a figure to three digits, as far as anybody reads it.
func rounded(v float64) string {
	digits, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	if err != nil {
		return longhand(v)
	}
	return longhand(digits)
}

// clock is a moment of the local clock.
func clock(t time.Time) string { return t.Local().Format("2006-01-02 15:04") }

// readingFlags say about a reading what its figure doesn't.
type readingFlags struct {
	Place  rules.Place `help:"Where it was read: ${enum}." enum:"screen,desk,print" default:"screen"`
	Kelvin *kelvin     `help:"The colour temperature of the light, in kelvin." placeholder:"K"`
	Note   string      `help:"Whatever you want to remember." placeholder:"TEXT"`
	At     *moment     `help:"When it was read: like 2026-03-01, which is its noon, \"2026-03-01 15:00\" or yesterday; now if not given." placeholder:"TIME"`
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
	case !(r.Light >= 0 && r.Light <= rules.MostLux): // worked out of an exposure
		return bad(fmt.Errorf("%s lx %s", longhand(math.Round(float64(r.Light))), luxFigure.why))
	case strings.ContainsFunc(r.Note, unicode.IsControl):
		return bad(errors.New("--note: a note is one line of plain text"))
	}
	if err := f.past(); err != nil {
		return bad(err)
	}
	path, err := j.profileToLogFor()
	if err != nil {
		return bad(err)
	}
	return log.Append(agent.LogPath(path), &log.Reading{Reading: r})
}

// past wants the moment of the flags to be no later than now.
func (f readingFlags) past() error {
	if f.At == nil {
		return nil
	}
	return gone("--at", f.At.Time, time.Now())
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
