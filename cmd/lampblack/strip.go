package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"lampblack/agent"
	"lampblack/agent/strip"
	"lampblack/cmd/lampblack/values"
	"lampblack/rules"
)

// stripCmd writes a test strip.
type stripCmd struct {
	Out    values.Location `short:"o" aliases:"output" help:"Where to write it; NAME-strip.tif in the working folder if not given." placeholder:"FILE"`
	Steps  []values.Step   `help:"The steps, in stops by which the file is raised (+) or lowered (-), like -0.5,0,0.5; if not given, seven around the predicted shift." placeholder:"STOPS"`
	Width  values.Size     `help:"The widest it may be, in cm." placeholder:"CM"`
	Height values.Size     `help:"The highest it may be, in cm." placeholder:"CM"`
	File   values.FileName `arg:"" name:"file" help:"The picture."`
}

// Run makes the strip of a picture, for the paper and the light of its folder.
func (c stripCmd) Run(j *job) error {
	p, err := j.loadProfile()
	if err != nil {
		return err
	}
	out, err := c.place(p)
	if err != nil {
		return misused(err)
	}
	options, err := c.options(j, p)
	if err != nil {
		return err
	}
	plan, err := c.write(out, options)
	if err != nil {
		return err
	}
	j.voice.print(fmt.Sprintf("%s: %s × %s cm, steps %s", visible(out), centimetres(plan.WidthCM), centimetres(plan.HeightCM), stopsText(plan.Steps)))
	for _, n := range plan.Notes {
		j.voice.print(n)
	}
	how := "Each step is the file raised (+) or lowered (-) by so many stops. " +
		"Print it like the picture, at its own size, and look at it where the picture will hang."
	if err := c.journaled(j); err != nil {
		j.voice.print(how)
		j.voice.say(err.Error())
		return nil
	}
	j.voice.print(how + " Then say which step looks right:\n  " + strip.OutcomeLine(string(c.File)))
	return nil
}

// journaled tells whether an outcome of the picture can be kept: an error says
// why not.
func (c stripCmd) journaled(j *job) error {
	state, err := j.stateDir()
	if err != nil {
		return err
	}
	e, err := latest(agent.JournalDir(state), string(c.File))
	switch {
	case errors.Is(err, errNotJournaled):
		return fmt.Errorf("%s is not in the journal, so the step that looks right can't be kept\n"+
			"export it into a watched folder while lampblack runs, and say then: %s", visible(string(c.File)), strip.OutcomeLine(string(c.File)))
	case err == nil && e.Report == nil:
		return fmt.Errorf("%s: %w, so the step that looks right can't be kept", visible(string(c.File)), agent.ErrNoPrediction)
	}
	return err
}

// place is where the strip goes. Not into a watched folder: there it would be
// taken for an export.
func (c stripCmd) place(p *rules.Profile) (string, error) {
	out := string(c.Out)
	if out == "" {
		base := filepath.Base(string(c.File))
		out = strings.TrimSuffix(base, filepath.Ext(base)) + "-strip.tif"
	}
	if ext := strings.ToLower(filepath.Ext(out)); ext != ".tif" && ext != ".tiff" {
		return "", fmt.Errorf("%s: a test strip is a TIFF: name it .tif", visible(out))
	}
	if dir := filepath.Dir(out); !isFolder(dir) {
		return "", fmt.Errorf("there is no folder %s", visible(dir))
	}
	if _, isExport := agent.OwnerOf(p.Folders, out); isExport {
		return "", fmt.Errorf("%s lies in a folder that is watched, where it would be taken for an export: name another place with --out", visible(out))
	}
	return out, nil
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

func (c stripCmd) options(j *job, p *rules.Profile) (strip.Options, error) {
	report, err := c.predict(j, p)
	if err != nil {
		return strip.Options{}, err
	}
	o := strip.Options{
		Name:  filepath.Base(string(c.File)),
		Paper: report.Paper, Viewing: report.Viewing,
		Date:    report.At,
		Steps:   strip.StepsAround(report.Whole(), report.Prediction.Viewing.Shift.Whole),
		WidthCM: float64(c.Width), HeightCM: float64(c.Height),
	}
	if c.Steps != nil {
		o.Steps = nil
		for _, s := range c.Steps {
			o.Steps = append(o.Steps, rules.Stops(s))
		}
	}
	return o, nil
}

// predict judges the picture, in a process of its own.
func (c stripCmd) predict(j *job, p *rules.Profile) (*rules.Report, error) {
	r, err := reader()
	if err != nil {
		return nil, err
	}
	file := string(c.File)
	pic, err := r.Measure(j.ctx, file)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", visible(file), err)
	}
	var now *values.Moment
	return rules.Evaluate(p, rules.Export{File: file, Folder: folderOf(p, file), Picture: pic}, now.OrNow()), nil
}

// write writes the strip.
func (c stripCmd) write(out string, o strip.Options) (strip.Plan, error) {
	plan, err := strip.Create(out, string(c.File), o)
	if errors.Is(err, fs.ErrExist) {
		return plan, misused(fmt.Errorf("%s is there already: move it away, or name another place with --out", visible(out)))
	}
	return plan, err
}

func centimetres(v float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0") }

func stopsText(steps []rules.Stops) string {
	var words []string
	for _, s := range steps {
		words = append(words, strip.StepLabel(s))
	}
	return strings.Join(words, " ")
}
