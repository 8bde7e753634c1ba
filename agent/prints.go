package agent

import (
	"fmt"
	"path/filepath"
	"slices"

	"lampblack/agent/journal"
	"lampblack/agent/tray"
	"lampblack/rules"
)

// printsKept is how many of the last prints the menu can be told of.
const printsKept = 5

// addPrint makes an entry one of the prints that can be told of, if it is one,
// and the one that is chosen.
func (v *voice) addPrint(e journal.Entry) {
	if e.Report == nil || e.Report.Purpose != rules.ForPrint || e.Report.Prediction.Targets.Spread == nil {
		return
	}
	v.prints = append([]journal.Entry{e}, v.prints...)
	v.prints = v.prints[:min(len(v.prints), printsKept)]
	v.chosen = printID(e)
}

// tellable are the prints as the tray shows them, with what was told of them.
func (v *voice) tellable(told map[journal.Identity]journal.Outcome) []tray.Print {
	var ps []tray.Print
	for _, e := range v.prints {
		o, known := told[e.Identity()]
		ps = append(ps, tray.Print{ID: printID(e), Text: printText(e, o, known), Chosen: printID(e) == v.chosen})
	}
	return ps
}

// printText is a print in the menu: how it came out, where that is known, else what was
// predicted of it.
func printText(e journal.Entry, o journal.Outcome, known bool) string {
	name, verdict := filepath.Base(e.Path), e.Report.Verdict.Words()
	switch raised := rules.RaisedBy(e.Report); {
	case known:
		return fmt.Sprintf("%s (came out %s)", name, rules.OutcomeText(o.Word, o.Found))
	case raised != "":
		return fmt.Sprintf("%s (%s, verdict: %s)", name, raised, verdict)
	default:
		return fmt.Sprintf("%s (verdict: %s)", name, verdict)
	}
}

// print is the entry of a print that the menu offers.
func (v *voice) print(id string) (e journal.Entry, offered bool) {
	i := slices.IndexFunc(v.prints, func(e journal.Entry) bool { return printID(e) == id })
	if i < 0 {
		return e, false
	}
	return v.prints[i], true
}

func printID(e journal.Entry) string { return e.Identity().String() }
