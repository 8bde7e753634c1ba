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
	"lampblack/config"
	"lampblack/rules"
)

// outcomeCmd notes how a print came out, shows what was learnt, forgets it, or takes back
// what was told last.
type outcomeCmd struct {
	Stops *values.Stops     `help:"How many stops darker (+) or lighter (-) it came out. From a test strip, the step that looked right: if that was the file raised by 0.4, the print was 0.4 darker." placeholder:"STOPS"`
	Undo  bool              `help:"Take back what was told last: an outcome, or that all were to be forgotten."`
	Reset bool              `help:"Forget all outcomes told so far; asks first, and can be taken back with --undo."`
	Yes   bool              `help:"With --reset: don't ask."`
	File  string            `arg:"" optional:"" name:"file" help:"The export that was printed; without one, what was learnt is shown."`
	How   []values.FileName `arg:"" optional:"" name:"how" help:"As judged on the screen, a bit darker, much darker, a bit lighter, much lighter or drab."`
}

// Run notes the outcome.
func (c outcomeCmd) Run(j *job) error {
	state, err := j.stateDir()
	if err != nil {
		return err
	}
	dir := agent.JournalDir(state)
	switch {
	case c.Reset && c.Undo:
		return misused(errors.New("--reset forgets and --undo takes back: say one of them"))
	case c.Yes && !c.Reset:
		return misused(errors.New("--yes goes with --reset: nothing else asks"))
	case c.Reset && c.File != "":
		return misused(errors.New("--reset forgets all outcomes: it takes no file"))
	case c.Undo && (c.File != "" || c.Stops != nil):
		return misused(errors.New("--undo takes back what was told last: it takes no file and no number"))
	case c.Reset:
		return c.reset(j, dir)
	case c.Undo:
		return c.undo(j, dir)
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
	if strings.EqualFold(how, string(rules.Flatter)) {
		how = string(rules.DrabPrint)
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
	i := slices.IndexFunc(before, func(o journal.Outcome) bool { return o.Identity() == e.Identity() })
	says := rules.OutcomeText(word, found)
	switch again := i >= 0; {
	case !found.Known() && again && before[i].Found.Known():
		return fmt.Sprintf("Noted: %s. It says nothing about lightness, so the earlier answer, %s, no longer counts.",
			says, rules.OutcomeText(before[i].Word, before[i].Found))
	case !found.Known():
		return fmt.Sprintf("Noted: %s. It says nothing about lightness, so nothing is learnt from it.", says)
	case again:
		return fmt.Sprintf("Noted: %s, in place of the earlier answer, %s.", says, rules.OutcomeText(before[i].Word, before[i].Found))
	}
	return fmt.Sprintf("Noted: %s.", says)
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

// reset forgets all outcomes, once that is agreed to.
func (c outcomeCmd) reset(j *job, dir string) error {
	before, _, err := journal.ReadOutcomes(dir)
	if err != nil {
		return err
	}
	if len(before) > 0 {
		if !c.Yes && !agreed(j, len(before)) {
			return errors.New("nothing was forgotten: only yes forgets")
		}
		if err := journal.ForgetOutcomes(dir, time.Now()); err != nil {
			return err
		}
	}
	j.voice.print(forgot(len(before)))
	return c.show(j, dir)
}

// agreed asks whether all outcomes are to be forgotten, and tells whether the answer is
// yes, in full.
func agreed(j *job, outcomes int) bool {
	j.voice.print(fmt.Sprintf("Forget %s? Predictions are uncorrected then, until new ones are told. Type yes to forget:", numbered(outcomes)))
	answer, ok := <-typedLines(j.ctx, j.stdin)
	return ok && strings.EqualFold(strings.TrimSpace(answer), "yes")
}

// undo takes back what was told last.
func (c outcomeCmd) undo(j *job, dir string) error {
	o, found, err := journal.TakeBackLastOutcome(dir, time.Now())
	switch {
	case err != nil:
		return err
	case !found:
		return errors.New("no outcome is left to take back")
	case o.Reset:
		j.voice.print(fmt.Sprintf("Took back that all was forgotten, of %s: what was told before counts again.", values.Clock(o.At)))
	default:
		j.voice.print(fmt.Sprintf("Took back that %s came out %s, of %s.", visible(filepath.Base(o.Path)), rules.OutcomeText(o.Word, o.Found), values.Clock(o.At)))
	}
	return c.show(j, dir)
}

func numbered(outcomes int) string {
	if outcomes == 1 {
		return "1 outcome"
	}
	return fmt.Sprintf("%d outcomes", outcomes)
}

func forgot(outcomes int) string {
	if outcomes == 0 {
		return "There was no outcome to forget."
	}
	return fmt.Sprintf("Forgot %s. To have them back: lampblack outcome --undo", numbered(outcomes))
}

// show prints what was learnt.
func (c outcomeCmd) show(j *job, dir string) error {
	learnt, note, err := agent.ReadLearnt(dir, j.person())
	if err != nil {
		return err
	}
	if note != "" {
		j.voice.say(note)
	}
	j.voice.print(rules.LearntText(learnt))
	return nil
}

// person is the profile that says how prints are judged. One that is broken just now is
// told elsewhere, and no reason to withhold what was learnt.
func (j *job) person() *rules.Profile {
	if path, err := j.profilePath(); err == nil {
		if p, _, _, err := agent.LoadProfile(path, ""); err == nil {
			return p
		}
	}
	return config.Default()
}
