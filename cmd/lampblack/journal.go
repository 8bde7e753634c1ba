package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"lampblack/agent"
	"lampblack/agent/journal"
	"lampblack/cmd/lampblack/values"
	"lampblack/rules"
)

// journalCmd finds exports in the journal and shows them.
type journalCmd struct {
	Since   *values.Stretch   `help:"Only exports judged since then: a day, a month, a year, a time, or like \"3 weeks ago\"." placeholder:"WHEN"`
	Until   *values.Stretch   `help:"Only exports judged up to the end of that day, month or year." placeholder:"WHEN"`
	Verdict []rules.Verdict   `help:"Only exports with this verdict: holds, darker, lighter, drab, unsure (it says: can't tell) or unread; any of several." enum:"holds,darker,lighter,drab,unsure,unread" placeholder:"WORD"`
	Where   []demand          `help:"Only exports made when a condition was so, as in 'room > 100', 'screen <= 120 cd/m²', 'calibration = out'; each of several." sep:"none" placeholder:"CONDITION"`
	Last    values.Count      `help:"Only the latest N of those found." placeholder:"N"`
	Desk    bool              `help:"Show what the desk was, and the whole verdict." xor:"as"`
	JSON    bool              `name:"json" help:"Print one JSON object a line." xor:"as"`
	CSV     bool              `name:"csv" help:"Print a table for a spreadsheet." xor:"as"`
	Names   []values.FileName `arg:"" optional:"" name:"name" help:"Parts of names or paths, or patterns like *.tif, in any case; any of several."`
}

// demand is one on a condition, its number typed like all others here.
type demand struct{ journal.Where }

// UnmarshalText reads the demand.
func (d *demand) UnmarshalText(text []byte) (err error) {
	d.Where, err = journal.ParseWhere(string(text), values.Number)
	return err
}

// errStopped ends a search when the program is told to end.
var errStopped = errors.New("stopped before the whole journal was read")

// Run shows the entries that are found, the newest last.
func (c journalCmd) Run(j *job) error {
	if c.Since != nil && c.Until != nil && !c.Since.Since().Before(c.Until.Until()) {
		return misused(errors.New("--since is after --until, so that no time is between them"))
	}
	state, err := j.stateDir()
	if err != nil {
		return err
	}
	told, untold := outcomesTold(agent.JournalDir(state)) // the exports can be shown all the same
	show, end := c.shower(j, told)
	found, skipped, err := c.search(j, agent.JournalDir(state), show)
	if skipped > 0 {
		j.voice.say(damagedLines(skipped))
	}
	if err := errors.Join(err, end(), untold); err != nil {
		return err
	}
	if found == 0 {
		return sayNothingFound(j, agent.JournalDir(state))
	}
	return nil
}

// sayNothingFound says that nothing was found, or that there is nothing to find.
func sayNothingFound(j *job, dir string) error {
	some := errors.New("there is an entry")
	_, err := journal.Search(j.ctx, dir, journal.Filter{}, func(journal.Entry) error { return some })
	switch {
	case err == nil:
		j.voice.say("the journal is empty: nothing was exported into a watched folder while lampblack ran")
	case errors.Is(err, some):
		j.voice.say("no export in the journal is like that")
	default:
		return err
	}
	return nil
}

func damagedLines(n int) string {
	if n == 1 {
		return "1 line of the journal is damaged and left out"
	}
	return fmt.Sprintf("%d lines of the journal are damaged and left out", n)
}

// outcomesTold are the words for how the prints of exports came out.
func outcomesTold(dir string) (map[journal.Identity]string, error) {
	outcomes, _, err := journal.ReadOutcomes(dir)
	told := map[journal.Identity]string{}
	for _, o := range outcomes {
		told[o.Identity()] = "came out " + rules.OutcomeText(o.Word, o.Found)
	}
	return told, err
}

// shower is what shows an entry, with how its print came out where that was told,
// and what must be called after the last.
func (c journalCmd) shower(j *job, told map[journal.Identity]string) (show func(journal.Entry) error, end func() error) {
	nothing := func() error { return nil }
	outcome := func(e journal.Entry) string { return told[e.Identity()] }
	switch {
	case c.CSV:
		t := newTable(j.voice)
		return t.add, t.end
	case c.JSON:
		return func(e journal.Entry) error { return j.voice.printJSON(e) }, nothing
	case c.Desk:
		return func(e journal.Entry) error {
			j.voice.print(strings.Join(wholeEntry(e, outcome(e)), "\n"))
			return nil
		}, nothing
	}
	return func(e journal.Entry) error {
		j.voice.print(entryLine(e, outcome(e)))
		return nil
	}, nothing
}

// search hands the entries that are found to show.
func (c journalCmd) search(j *job, dir string, show func(journal.Entry) error) (found, skipped int, err error) {
	var latest []journal.Entry // when only so many are wanted
	skipped, err = journal.Search(j.ctx, dir, c.filter(), func(e journal.Entry) error {
		found++
		switch {
		case c.Last == 0:
			return show(e)
		case len(latest) == int(c.Last):
			latest = latest[1:]
		}
		latest = append(latest, e)
		return nil
	})
	if j.ctx.Err() != nil {
		return found, skipped, errStopped
	}
	for _, e := range latest {
		err = errors.Join(err, show(e))
	}
	return found, skipped, err
}

func (c journalCmd) filter() journal.Filter {
	f := journal.Filter{From: c.Since.Since(), To: c.Until.Until(), Verdicts: c.Verdict}
	for _, d := range c.Where {
		f.Where = append(f.Where, d.Where)
	}
	for _, n := range c.Names {
		f.Names = append(f.Names, string(n))
		if abs, err := filepath.Abs(string(n)); err == nil && strings.ContainsAny(string(n), `/\`) {
			f.Names = append(f.Names, abs) // ../to-print/fog.tif is in the journal by its whole path
		}
	}
	return f
}

// readable tells whether there are words for an entry: what was edited by hand,
// or written by somebody else, may lack anything.
func readable(e journal.Entry) bool {
	if e.Report == nil || e.Report.Prediction.Targets.Spread == nil {
		return false
	}
	for _, c := range e.Report.Conditions {
		if c.Name == "" {
			return false
		}
	}
	return true
}

// entryLine is an entry in one line; outcome is how its print came out, if known.
func entryLine(e journal.Entry, outcome string) string {
	text := inShort(e)
	if outcome != "" {
		text += "; " + outcome
	}
	return fmt.Sprintf("%s  %-10s  %s  %s", localTime(e), visible(e.Verdict().Words()), padded(visible(baseName(e.Path)), 28), visible(text))
}

func localTime(e journal.Entry) string { return e.At.Local().Format("2006-01-02 15:04") }

// baseName is the last part of a path, which may be of another system.
func baseName(path string) string { return path[strings.LastIndexAny(path, `/\`)+1:] }

// inShort is what the verdict word doesn't say.
func inShort(e journal.Entry) string {
	switch {
	case e.Report == nil:
		return e.Unread
	case !readable(e):
		return ""
	}
	return rules.Detail(e.Report)
}

// wholeEntry is all that the journal knows of an export; outcome is how its print
// came out, if known.
func wholeEntry(e journal.Entry, outcome string) []string {
	head := fmt.Sprintf("%s, %s", baseName(e.Path), localTime(e))
	lines := []string{"In " + e.Path[:len(e.Path)-len(baseName(e.Path))]}
	switch {
	case e.Report == nil:
		lines = append(lines, "Could not be read: "+e.Unread)
	case !readable(e):
		lines = append(lines, "Verdict: "+e.Report.Verdict.Words())
	default:
		lines = append([]string{purposeOf(e.Report)}, append(lines, rules.Lines(e.Report)...)...)
	}
	if e.CatchUp {
		lines = append(lines, "Found afterwards: the desk is taken as it was when the file was made, as far as that is known")
	}
	lines = append(lines, noticeOf(e))
	if outcome != "" {
		lines = append(lines, "Its print "+outcome)
	}
	for i, l := range lines {
		lines[i] = "  " + visible(l)
	}
	return append([]string{visible(head)}, lines...)
}

func purposeOf(r *rules.Report) string {
	if r.Purpose != rules.ForPrint {
		return "For " + string(r.Purpose)
	}
	return fmt.Sprintf("For %s on %s, to be seen at %s", r.Purpose, r.Paper, r.Viewing)
}

func noticeOf(e journal.Entry) string {
	if e.Silence != "" {
		return "No notice: " + e.Silence
	}
	return "A notice was given"
}
