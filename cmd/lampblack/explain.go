package main

import (
	"errors"
	"path/filepath"
	"slices"
	"time"

	"lampblack/agent"
	"lampblack/agent/journal"
	"lampblack/cmd/lampblack/values"
	"lampblack/rules"
)

// explainCmd judges files, or a bare list of tones.
type explainCmd struct {
	At    *values.Moment     `help:"Judge as of this time: a day, which is its noon, as in 2026-03-01 or yesterday, or \"2026-03-01 15:00\"; now if not given." placeholder:"TIME"`
	JSON  bool               `name:"json" help:"Print one JSON object a line."`
	Tones []values.RelativeY `help:"Judge these relative luminances (0 to 1, decimals with a point) instead of a file, each an equal share of the picture." placeholder:"Y"`
	Mean  *values.RelativeY  `help:"With --tones: the mean relative luminance of the whole picture; if not given, that of the tones." placeholder:"Y"`
	Files []values.FileName  `arg:"" optional:"" name:"file" help:"Pictures to judge."`
}

// Run judges each file in turn, or the tones.
func (c explainCmd) Run(j *job) error {
	switch {
	case (len(c.Files) == 0) == (len(c.Tones) == 0):
		return misused(errors.New("explain needs either files or --tones"))
	case c.Mean != nil && len(c.Tones) == 0:
		return misused(errors.New("--mean goes with --tones: a file has a mean of its own"))
	}
	p, at, err := j.profileAt(c.At)
	if err != nil {
		return err
	}
	if len(c.Tones) > 0 {
		e := rules.Export{Folder: firstPrintFolder(p), Picture: c.picture()}
		return c.show(j, rules.Evaluate(p, e, at))
	}
	return c.explainFiles(j, p, at)
}

func (c explainCmd) explainFiles(j *job, p *rules.Profile, at time.Time) error {
	r, err := reader()
	if err != nil {
		return err
	}
	var failed error
	for i, name := range c.Files {
		file := string(name)
		pic, err := r.Measure(j.ctx, file)
		switch {
		case j.ctx.Err() != nil:
			return errors.New("stopped before every file was judged")
		case err != nil:
			failed = exitError{code: unread}
			err = c.showUnread(j, file, err)
		default:
			if i > 0 && !c.JSON {
				j.voice.print("")
			}
			e := rules.Export{File: file, Folder: folderOf(p, file), Picture: pic, Before: j.before(file, at)}
			err = c.show(j, rules.Evaluate(p, e, at))
		}
		if err != nil {
			return err
		}
	}
	return failed
}

// before is what the journal knows of the export to a file's path before a time; nil when it
// knows none, or can't be read: then the file is judged as it is.
func (j *job) before(file string, at time.Time) *rules.Gist {
	state, err := j.stateDir()
	if err != nil {
		return nil
	}
	path, err := filepath.Abs(file)
	if err != nil {
		return nil
	}
	e, found, err := journal.Find(agent.JournalDir(state), path)
	if err != nil || !found || e.At.After(at) {
		return nil
	}
	return e.Gist
}

// unreadObject is a file that could not be read, for programs.
type unreadObject struct {
	File   string     `json:"file"`
	Unread string     `json:"unread"` // one sentence why
	Code   rules.Code `json:"unread_code"`
}

// showUnread says why a file could not be read, to people, and to programs in its
// place among the others.
func (c explainCmd) showUnread(j *job, file string, why error) error {
	j.voice.say(visible(file) + ": " + why.Error())
	if !c.JSON {
		return nil
	}
	return j.voice.printJSON(unreadObject{file, why.Error(), agent.UnreadCode(why)})
}

// show prints one report.
func (c explainCmd) show(j *job, r *rules.Report) error {
	if c.JSON {
		return j.voice.printJSON(r)
	}
	name := visible(r.File)
	if name == "" {
		name = "the tones given"
	}
	j.voice.print(name + ", for " + string(r.Purpose))
	for _, line := range rules.Lines(r) {
		j.voice.print("  " + line)
	}
	return nil
}

// folderOf is the watched folder that holds a file, for what its exports are meant.
func folderOf(p *rules.Profile, file string) rules.Folder {
	f, _ := agent.OwnerOf(p.Folders, file)
	return f
}

// firstPrintFolder tells for what paper and light bare tones are meant.
func firstPrintFolder(p *rules.Profile) rules.Folder {
	for _, f := range p.Folders {
		if f.Purpose == rules.ForPrint {
			return f
		}
	}
	return rules.Folder{}
}

// picture is a picture of the given tones, each an equal share of it.
func (c explainCmd) picture() rules.Picture {
	pic := rules.Picture{PPI: rules.Unknown}
	share := 1 / float64(len(c.Tones))
	for _, t := range c.Tones {
		y := float64(t)
		pic.CurveAt = append(pic.CurveAt, y)
		pic.MeanY += y * share
	}
	if c.Mean != nil {
		pic.MeanY = float64(*c.Mean)
	}
	for _, y := range slices.Sorted(slices.Values(pic.CurveAt)) {
		pic.Tones = append(pic.Tones, rules.Tone{Y: y, Share: share})
	}
	return pic
}
