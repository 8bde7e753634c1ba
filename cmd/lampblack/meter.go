package main

import (
	"errors"
	"fmt"
	"os"
	"time"

	"lampblack/agent"
	"lampblack/agent/picture"
	"lampblack/cmd/lampblack/values"
	"lampblack/config/log"
	"lampblack/rules"
	"lampblack/rules/light"
)

// meterCmd reads the light from an exposure.
type meterCmd struct {
	Of          values.Subject `help:"What fills the frame: paper (plain and white), grey card or screen (its white); or what a hand-held meter looks at the light with: flat receptor or dome." default:"paper" placeholder:"WHAT"`
	Aperture    values.FNumber `help:"The aperture that the meter found right, as in 4 or f/4." placeholder:"N"`
	Time        values.Seconds `help:"The exposure time, as in 1/30 or 0.5." placeholder:"TIME"`
	ISO         values.ISO     `name:"iso" help:"The sensitivity, as in 400." placeholder:"S"`
	Reflectance values.Share   `help:"How much of the light the sheet reflects, like 0.9 or 90%; if not given, what such sheets usually do." placeholder:"R"`
	Log         bool           `help:"Log it: light as a reading, a screen's white as what the editing display is set to."`
	JSON        bool           `name:"json" help:"Print one JSON object."`
	readingFlags
	Photo values.FileName `arg:"" optional:"" name:"photo" help:"The photograph, as the camera wrote it."`
}

// Help is shown by meter --help.
func (meterCmd) Help() string {
	return "Let a sheet of plain white paper, a grey card or the screen's white fill the frame, in automatic, without flash, " +
		"out of focus if you like. Hold a sheet where the light is wanted: at the screen's face, looking out.\n\n" +
		"Don't look into a bright lamp or the sun through the finder, and don't photograph them: the sheet is enough."
}

// metered is the result for programs.
type metered struct {
	File string    `json:"file"` // empty: no photograph
	At   time.Time `json:"at"`
	rules.Metered
	Explanation []string `json:"explanation"`
	Logged      string   `json:"logged"` // reading, white or empty
}

// Run prints what the exposure says, and logs it if asked to.
func (c meterCmd) Run(j *job) error {
	shot, at, err := c.shot(j)
	if err != nil {
		return err
	}
	m, err := rules.Meter(shot, rules.Subject(c.Of), float64(c.Reflectance))
	switch {
	case err != nil && c.Photo != "":
		return fmt.Errorf("%s: %w", visible(string(c.Photo)), err)
	case err != nil:
		return misused(err)
	}
	var logged noted
	if c.Log {
		if logged, err = c.note(j, m, at); err != nil {
			return err
		}
	}
	if c.JSON {
		return j.voice.printJSON(metered{string(c.Photo), at, m, m.Explanation(), logged.as})
	}
	j.voice.print(m.Headline())
	for _, line := range m.Explanation() {
		j.voice.print("  " + line)
	}
	c.sayLogged(j, at, logged)
	return nil
}

// noted is what was logged of a result.
type noted struct {
	as     string          // reading or white; empty: nothing
	again  bool            // nothing, since it is in the log already
	before rules.Luminance // with a white: what the white was known as; 0: as nothing
}

// shot is the exposure, typed or photographed, and when it was made.
func (c meterCmd) shot(j *job) (rules.Shot, time.Time, error) {
	typed := light.Exposure{Aperture: float64(c.Aperture), Seconds: float64(c.Time), ISO: float64(c.ISO)}
	switch {
	case c.Photo != "" && typed != light.Exposure{}:
		return rules.Shot{}, time.Time{}, misused(errors.New("the photograph says its exposure itself: give either it or --aperture, --time and --iso"))
	case c.Photo != "":
		return c.photographed(j)
	case typed.Aperture == 0 || typed.Seconds == 0 || typed.ISO == 0:
		return rules.Shot{}, time.Time{}, misused(errors.New("name a photograph, or give --aperture, --time and --iso, all three"))
	}
	return rules.Shot{Exposure: typed}, c.At.OrNow(), nil
}

func (c meterCmd) photographed(j *job) (rules.Shot, time.Time, error) {
	name := string(c.Photo)
	of := rules.Subject(c.Of)
	if of == rules.OfReceptor || of == rules.OfDome {
		return rules.Shot{}, time.Time{}, misused(fmt.Errorf("a photograph shows paper, a grey card or a screen, not a %s", of))
	}
	r, err := reader()
	if err != nil {
		return rules.Shot{}, time.Time{}, err
	}
	p, err := r.Photograph(j.ctx, name)
	if err != nil {
		return rules.Shot{}, time.Time{}, fmt.Errorf("%s: %w", visible(name), err)
	}
	if c.At != nil {
		return p.Shot, c.At.Time, nil
	}
	return p.Shot, photographTime(p, name), nil
}

// photographTime is when a photograph was taken.
func photographTime(p picture.Photograph, path string) time.Time {
	now := time.Now()
	info, err := os.Stat(path)
	if err != nil {
		return agent.Taken(p, now, now)
	}
	return agent.Taken(p, info.ModTime(), now)
}

// note logs the result, but for a photograph that is logged already.
func (c meterCmd) note(j *job, m rules.Metered, at time.Time) (noted, error) {
	if m.Of != rules.OfScreen {
		return c.noteLight(j, m, at)
	}
	if c.Kelvin != nil || c.Note != "" {
		return noted{}, misused(errors.New("--kelvin and --note belong to a reading of the light, not to a screen's white"))
	}
	if err := c.past(); err != nil {
		return noted{}, misused(err)
	}
	path, err := j.profileToLogFor()
	if err != nil {
		return noted{}, err
	}
	p, err := j.loadProfile()
	if err != nil {
		return noted{}, err
	}
	d := p.EditingDisplay()
	white := &log.White{
		About: log.About{At: at, Display: d.Name, Source: rules.FromCamera, Sigma: float64(m.Sigma)},
		White: rules.Luminance(m.Value),
	}
	known, _, err := log.Read(agent.LogPath(path))
	if err != nil {
		return noted{}, err
	}
	if known.Has(white) {
		return noted{again: true}, nil
	}
	n := noted{as: "white"}
	if !d.White.Assumed {
		n.before = d.White.Value
	}
	return n, log.Append(agent.LogPath(path), white)
}

// noteLight logs the result as a reading.
func (c meterCmd) noteLight(j *job, m rules.Metered, at time.Time) (noted, error) {
	r := m.Reading()
	r.At, r.Place, r.Source = at, c.Place, rules.FromCamera
	path, err := j.profileToLogFor()
	if err != nil {
		return noted{}, err
	}
	known, _, err := log.Read(agent.LogPath(path))
	if err != nil {
		return noted{}, err
	}
	if known.Has(&log.Reading{Reading: r}) {
		return noted{again: true}, nil
	}
	return noted{as: "reading"}, c.log(j, r)
}

// sayLogged says what was logged.
func (c meterCmd) sayLogged(j *job, at time.Time, n noted) {
	switch {
	case n.again:
		j.voice.print("Not logged again: this is in the log already.")
	case n.as == "reading":
		j.voice.print(fmt.Sprintf("Logged as the light at the %s, %s.", c.Place, at.Local().Format(time.DateTime)))
	case n.as == "white":
		j.voice.print(fmt.Sprintf("Logged as the white that the editing display is set to, %s.", at.Local().Format(time.DateTime)))
		if n.before != 0 {
			j.voice.print(fmt.Sprintf("Before: %s cd/m². If it is not so, lampblack light --undo takes it back.", rounded(float64(n.before))))
		}
		if path, err := j.profilePath(); err == nil && writtenAfter(path, at) {
			j.voice.print("The profile was written after that, so what it says of the white still counts.")
		}
	default:
		j.voice.print("Not logged: --log does that.")
	}
}
