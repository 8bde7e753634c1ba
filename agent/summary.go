package agent

import (
	"path/filepath"
	"time"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// Summary is the desk and the last export in words, as the tray shows them, for
// who has no tray. When the journal in the state directory can't be read, or no
// directory is named, the desk is told all the same.
func Summary(p *rules.Profile, stateDir string, now time.Time) (rules.Summary, error) {
	c := rules.Resolve(p, now)
	if stateDir == "" {
		return summarise(&c, p.Quiet, nil, rules.LastExport{}), nil
	}
	latest, err := journal.ReadLast(JournalDir(stateDir), 1)
	if len(latest) == 0 || !ours(latest[0]) {
		return summarise(&c, p.Quiet, nil, rules.LastExport{}), err
	}
	report, line := tellOf(latest[0])
	return summarise(&c, p.Quiet, report, line), err
}

// summarise is the desk in words. The line stands for an export that could not
// be read.
func summarise(c *rules.Conditions, q rules.Quiet, last *rules.Report, line rules.LastExport) rules.Summary {
	s := rules.Summarise(c, q, last)
	if line != (rules.LastExport{}) {
		s.Last = line
	}
	return s
}

// ours tells whether an entry of the journal is one that we have written: there
// are words for those only.
func ours(e journal.Entry) bool {
	return e.Report == nil || e.Report.Prediction.Targets.Spread != nil
}

// tellOf is what there is to tell of an export: its report, or a line when it
// could not be read.
func tellOf(e journal.Entry) (report *rules.Report, line rules.LastExport) {
	if e.Report == nil {
		return nil, rules.LastExport{File: filepath.Base(e.Path), Text: "could not be read: " + e.Unread}
	}
	return e.Report, line
}
