package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"lampblack/agent"
	"lampblack/agent/journal"
	"lampblack/cmd/lampblack/values"
	"lampblack/rules"
)

// outcomeCmd notes how a print came out, shows what was learnt, or forgets it.
type outcomeCmd struct {
	Stops *values.Stops     `help:"How many stops darker (+) or lighter (-) it came out. From a test strip, the step that looked right: if that was the file raised by 0.4, the print was 0.4 darker." placeholder:"STOPS"`
	Reset bool              `help:"Forget all outcomes told so far."`
	File  string            `arg:"" optional:"" name:"file" help:"The export that was printed; without one, what was learnt is shown."`
	How   []values.FileName `arg:"" optional:"" name:"how" help:"As judged on the screen, a bit darker, much darker, a bit lighter or flatter."`
}

// Run notes the outcome.
func (c outcomeCmd) Run(j *job) error {
	state, err := j.stateDir()
	if err != nil {
		return err
	}
	dir := agent.JournalDir(state)
	switch {
	case c.Reset && c.File != "":
		return misused(errors.New("--reset forgets all outcomes: it takes no file"))
	case c.Reset:
		return c.reset(j, dir)
	case c.File == "":
		return c.show(j, dir)
	}
	word, found, err := c.told()
	if err != nil {
		return misused(err)
	}
	return c.note(j, dir, word, found)
}

// told is the outcome of the command line.
func (c outcomeCmd) told() (word rules.Outcome, found rules.Figure, err error) {
	how := values.Joined(c.How) // a bit darker may be three words
	switch {
	case (c.Stops == nil) == (how == ""):
		return "", 0, fmt.Errorf("say how it came out: %s; or how many --stops darker", outcomeNames())
	case c.Stops != nil:
		return "", rules.Figure(*c.Stops), nil
	}
	for _, o := range rules.Outcomes {
		if said := strings.ReplaceAll(how, "-", " "); strings.EqualFold(said, string(o)) || strings.EqualFold(said, o.Words()) {
			return o, o.Found(), nil
		}
	}
	return "", 0, fmt.Errorf("%q is no outcome: it is one of %s", visible(how), outcomeNames())
}

func outcomeNames() string {
	var names []string
	for _, o := range rules.Outcomes {
		names = append(names, fmt.Sprintf("%q", o.Words()))
	}
	return strings.Join(names, ", ")
}

func (c outcomeCmd) note(j *job, dir string, word rules.Outcome, found rules.Figure) error {
	e, err := latest(dir, c.File)
	if err != nil {
		return err
	}
	before, _, err := journal.ReadOutcomes(dir)
	if err != nil {
		return err
	}
	if err := agent.TellOutcome(dir, time.Now(), e, word, found); err != nil {
		return fmt.Errorf("%s: %w", visible(c.File), err)
	}
	j.voice.print(outcomeNoted(before, e, word, found))
	return c.show(j, dir)
}

// outcomeNoted says what an outcome does, given those that were told before it.
func outcomeNoted(before []journal.Outcome, e journal.Entry, word rules.Outcome, found rules.Figure) string {
	i := slices.IndexFunc(before, func(o journal.Outcome) bool {
		return o.Path == e.Path && o.Size == e.Size && o.ModTime.Equal(e.ModTime)
	})
	says := "Noted: " + rules.OutcomeText(word, found)
	switch again := i >= 0; {
	case !found.Known() && again && before[i].Found.Known():
		return fmt.Sprintf("%s. It says nothing about lightness, so the earlier answer, %s, no longer counts.",
			says, rules.OutcomeText(before[i].Word, before[i].Found))
	case !found.Known():
		return says + ". It says nothing about lightness, so nothing is learnt from it."
	case again:
		return fmt.Sprintf("%s, in place of the earlier answer, %s.", says, rules.OutcomeText(before[i].Word, before[i].Found))
	}
	return says + "."
}

// latest is the newest journal entry on a file, as it was named or by its full path.
func latest(dir, file string) (journal.Entry, error) {
	abs, err := filepath.Abs(file)
	if err != nil {
		abs = file
	}
	for _, name := range []string{abs, file} {
		if e, found, err := journal.Find(dir, name); err != nil || found {
			return e, err
		}
	}
	return journal.Entry{}, fmt.Errorf("%s %w: only exports that were watched can be learnt from", visible(file), errNotJournaled)
}

var errNotJournaled = errors.New("is not in the journal")

func (c outcomeCmd) reset(j *job, dir string) error {
	before, _, err := journal.ReadOutcomes(dir)
	if err != nil {
		return err
	}
	if err := journal.AppendOutcome(dir, journal.Outcome{At: time.Now(), Reset: true}); err != nil {
		return err
	}
	j.voice.print(forgot(len(before)))
	return c.show(j, dir)
}

func forgot(outcomes int) string {
	switch outcomes {
	case 0:
		return "There was no outcome to forget."
	case 1:
		return "Forgot 1 outcome."
	}
	return fmt.Sprintf("Forgot %d outcomes.", outcomes)
}

// show prints what was learnt.
func (c outcomeCmd) show(j *job, dir string) error {
	learnt, note, err := agent.ReadLearnt(dir)
	if err != nil {
		return err
	}
	if note != "" {
		j.voice.say(note)
	}
	j.voice.print(rules.LearntText(learnt))
	return nil
}
