package main

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"time"

	"lampblack/agent/journal"
	"lampblack/rules"
)

// table prints entries as comma-separated values (RFC 4180), for a spreadsheet:
// one header with units, one record an entry, figures in full precision, and no
// figure where there is none.
type table struct {
	w       *csv.Writer
	headed  bool
	columns []column
}

// column is one column of the table. Of an entry without a report only those are
// filled that do without.
type column struct {
	head string
	cell func(journal.Entry) string
}

func newTable(v *voice) *table {
	t := &table{w: csv.NewWriter(lossTeller{v}), columns: columns()}
	t.w.UseCRLF = true
	return t
}

// lossTeller writes a result, and has the voice remember what is lost.
type lossTeller struct{ v *voice }

func (l lossTeller) Write(p []byte) (int, error) {
	l.v.mu.Lock()
	defer l.v.mu.Unlock()
	n, err := l.v.out.Write(p)
	if err != nil && l.v.lost == nil {
		l.v.lost = fmt.Errorf("the result could not be written: %w", err)
	}
	return n, err
}

func (t *table) add(e journal.Entry) error {
	t.head()
	cells := make([]string, len(t.columns))
	for i, c := range t.columns {
		cells[i] = c.cell(e)
	}
	return t.w.Write(cells)
}

// head writes the header, once.
func (t *table) head() {
	if t.headed {
		return
	}
	t.headed = true
	var heads []string
	for _, c := range t.columns {
		heads = append(heads, c.head)
	}
	_ = t.w.Write(heads) // the error stays, and is met again
}

// end writes what is left; a table of nothing has its header.
func (t *table) end() error {
	t.head()
	t.w.Flush()
	return nil // what was lost, the voice knows
}

func columns() []column {
	all := []column{
		{"judged at", func(e journal.Entry) string { return e.At.Format(time.RFC3339) }},
		wordColumn("file", func(e journal.Entry) string { return baseName(e.Path) }),
		wordColumn("path", func(e journal.Entry) string { return e.Path }),
		{"size (bytes)", func(e journal.Entry) string { return strconv.FormatInt(e.Size, 10) }},
		{"file written at", func(e journal.Entry) string { return e.ModTime.Format(time.RFC3339) }},
		wordColumn("verdict", func(e journal.Entry) string { return string(e.Verdict()) }),
		reportColumn("purpose", func(r *rules.Report) string { return string(r.Purpose) }),
		reportColumn("paper", func(r *rules.Report) string { return r.Paper }),
		reportColumn("viewing", func(r *rules.Report) string { return r.Viewing }),
	}
	all = append(all, predictionColumns()...)
	conditions := rules.Catalogue()
	for _, c := range conditions {
		all = append(all, conditionColumns(c)...)
	}
	for _, c := range conditions {
		for _, name := range c.Causes {
			all = append(all, figureColumn("due to "+name+" (stops)", func(r *rules.Report) rules.Figure { return r.Cause(name) }))
		}
	}
	return append(all,
		reportColumn("remedy", func(r *rules.Report) string {
			if r.Remedy == nil {
				return ""
			}
			return r.Remedy.Text
		}),
		wordColumn("could not be read", func(e journal.Entry) string { return e.Unread }),
		wordColumn("no notice because", func(e journal.Entry) string { return e.Silence }),
		column{"found afterwards", func(e journal.Entry) string { return yesNo(e.CatchUp) }},
	)
}

func predictionColumns() []column {
	targets := func(of func(a rules.Against) rules.Figure) func(*rules.Report) rules.Figure {
		return func(r *rules.Report) rules.Figure { return of(r.Prediction.Targets) }
	}
	spread := func(of func(s *rules.Spread) rules.Figure) func(*rules.Report) rules.Figure {
		return func(r *rules.Report) rules.Figure {
			if s := r.Prediction.Targets.Spread; s != nil {
				return of(s)
			}
			return rules.Unknown
		}
	}
	return []column{
		figureColumn("shift of the whole (stops)", targets(func(a rules.Against) rules.Figure { return a.Shift.Whole })),
		figureColumn("shift of shadows (stops)", targets(func(a rules.Against) rules.Figure { return a.Shift.Shadows })),
		figureColumn("shift of midtones (stops)", targets(func(a rules.Against) rules.Figure { return a.Shift.Midtones })),
		figureColumn("shift of highlights (stops)", targets(func(a rules.Against) rules.Figure { return a.Shift.Highlights })),
		figureColumn("corrected shift of the whole (stops)", targets(func(a rules.Against) rules.Figure { return a.Expected().Whole })),
		figureColumn("16th percentile of the whole (stops)", spread(func(s *rules.Spread) rules.Figure { return s.Whole.Low })),
		figureColumn("84th percentile of the whole (stops)", spread(func(s *rules.Spread) rules.Figure { return s.Whole.High })),
		figureColumn("probability of darker", spread(func(s *rules.Spread) rules.Figure { return rules.Figure(s.Darker) })),
		figureColumn("probability of lighter", spread(func(s *rules.Spread) rules.Figure { return rules.Figure(s.Lighter) })),
		figureColumn("probability of drab", spread(func(s *rules.Spread) rules.Figure { return rules.Figure(s.Drab) })),
		figureColumn("colourfulness ratio", targets(func(a rules.Against) rules.Figure { return a.Colourfulness })),
		figureColumn("share lost in black", targets(func(a rules.Against) rules.Figure { return a.LostShare })),
		figureColumn("shift of the whole against the print in its light (stops)", func(r *rules.Report) rules.Figure { return r.Prediction.Viewing.Shift.Whole }),
		figureColumn("shadow steps on the screen", func(r *rules.Report) rules.Figure { return r.Prediction.Steps.Screen }),
		figureColumn("shadow steps on the screen at its targets", func(r *rules.Report) rules.Figure { return r.Prediction.Steps.AtTargets }),
		figureColumn("shadow steps on the print", func(r *rules.Report) rules.Figure { return r.Prediction.Steps.Print }),
	}
}

// conditionColumns are the columns of one condition. Their heads are in ASCII: a
// spreadsheet may not know that the table is UTF-8.
func conditionColumns(d rules.Description) []column {
	flag := func(head string, of func(rules.Condition) bool) column {
		return column{d.Name + " " + head, func(e journal.Entry) string {
			if c := e.Report.Condition(d.Name); c.Name != "" {
				return yesNo(of(c))
			}
			return ""
		}}
	}
	number := func(head string, of func(rules.Condition) rules.Figure) column {
		return figureColumn(d.Name+head, func(r *rules.Report) rules.Figure {
			if c := r.Condition(d.Name); c.Name != "" {
				return of(c)
			}
			return rules.Unknown
		})
	}
	unit := ""
	if d.Unit.ASCII != "" {
		unit = " (" + d.Unit.ASCII + ")"
	}
	all := []column{
		number(unit, func(c rules.Condition) rules.Figure { return c.Value }),
		flag("in target", func(c rules.Condition) bool { return c.InTarget }),
		flag("assumed", func(c rules.Condition) bool { return c.Assumed }),
	}
	if d.IsAge {
		return all
	}
	return append(all,
		number(" uncertainty (relative)", func(c rules.Condition) rules.Figure { return c.Sigma }),
		number(" age (hours)", func(c rules.Condition) rules.Figure { return c.AgeHours }))
}
