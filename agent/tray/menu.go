package tray

import (
	"fmt"
	"strconv"
	"unicode/utf8"

	"lampblack/config/legible"
	"lampblack/rules"
)

// row is one row of the menu as plain values. The menu's shape is fixed for
// the life of the process; only text, hidden and checked change, because hosts
// cope with changed rows far better than with rows that come and go.
type row struct {
	text      string
	hidden    bool
	separator bool
	radio     bool // one of its siblings is checked
	checked   bool
	command   Command // sent on a click; the zero Command: a line to read
	rows      []row   // its submenu
}

// The sizes of the pools of rows for lines that come and go.
const (
	troubleRows = 4
	printRows   = 5
)

// conditionRows is a row for each condition.
var conditionRows = len(rules.Catalogue())

// face is everything the tray shows of a state.
type face struct {
	tooltip string
	icon    rules.Wedge
	rows    []row
	prints  []Print // behind the rows of printsRow
}

// portray turns a state into what the tray shows.
func portray(s State, o Options) face {
	headline := cut(legible.Plain(s.Summary.Headline), maxLine)
	if headline == "" {
		headline = "Lampblack is looking at the desk"
	}
	wedge := s.Summary.Wedge
	wedge.Rest = wedge.Rest || s.Resting
	return face{tooltip: headline, icon: wedge, rows: menuRows(s, headline, o), prints: s.Prints}
}

func menuRows(s State, headline string, o Options) []row {
	rows := lines([]string{headline}, 1)
	rows = append(rows, lines(s.Summary.Conditions, conditionRows)...)
	rows = append(rows, lines([]string{lastLine(s.Summary.Last)}, 1)...)
	rows = append(rows, lines(s.Troubles, troubleRows)...)
	rest := "Rest for an hour"
	if s.Resting {
		rest = "Wake up now"
	}
	return append(rows,
		row{separator: true},
		lightRow(s, o),
		surroundRow(s, o),
		whiteRow(s, o),
		printsRow(s),
		row{text: "Mark calibrated today", command: Command{Kind: MarkCalibrated}},
		takeBackRow(s),
		row{text: "Open the desk page", command: Command{Kind: OpenPage}},
		row{text: "Open profile", command: Command{Kind: OpenProfile}},
		row{text: rest, command: Command{Kind: Rest}},
		row{text: "Quit", command: Command{Kind: Quit}},
	)
}

// lastLine is the last export in a line. Its verdict matters more than the middle of a long
// name.
func lastLine(l rules.LastExport) string {
	name, text := legible.Plain(l.File), legible.Plain(l.Text)
	if name == "" {
		return text
	}
	text = ": " + text
	if room := maxLine - utf8.RuneCountInString(text); room >= leastName {
		name = cut(name, room)
	}
	return name + text
}

// lines puts texts into a pool of n rows. Rows without text are hidden; when
// there are too many texts the last row tells how many are missing.
func lines(texts []string, n int) []row {
	rows := make([]row, n)
	i := 0
	for at, text := range texts {
		text = cut(legible.Plain(text), maxLine)
		if text == "" {
			continue
		}
		if left := len(texts) - at; i == n-1 && left > 1 {
			text = fmt.Sprintf("and %d more", left)
		} else if i == n {
			break
		}
		rows[i].text = text
		i++
	}
	for ; i < n; i++ {
		rows[i].hidden = true
	}
	return rows
}

// choices is a submenu with one row for each value.
func choices[T any](title string, values []T, rowOf func(T) row) row {
	r := row{text: title}
	for _, v := range values {
		r.rows = append(r.rows, rowOf(v))
	}
	return r
}

func lightRow(s State, o Options) row {
	title := "Log room light"
	if s.Lux > 0 {
		title = fmt.Sprintf("Log room light (last: %s)", lux(s.Lux))
	}
	return choices(title, o.LuxChoices, func(v float64) row {
		return row{text: lux(v) + ": " + rules.RoomWords(rules.Lux(v)), command: Command{Kind: LogLight, Lux: v}}
	})
}

func surroundRow(s State, o Options) row {
	return choices("Surround now", o.SurroundChoices, func(name string) row {
		set := Command{Kind: SetSurround, Surround: name}
		return row{text: legible.Plain(name), radio: true, checked: name == s.Surround, command: set}
	})
}

func whiteRow(s State, o Options) row {
	title := "Screen's white now"
	if s.White > 0 {
		title = fmt.Sprintf("Screen's white now (%s)", white(s.White))
	}
	return choices(title, o.WhiteChoices, func(v float64) row {
		return row{text: white(v), radio: true, checked: v == s.White, command: Command{Kind: SetWhite, White: v}}
	})
}

// takeBackRow takes back what was just logged by a slip of the hand.
func takeBackRow(s State) row {
	return row{text: fmt.Sprintf("Take back: %s", cut(legible.Plain(s.Logged), maxLine)), hidden: s.Logged == "", command: Command{Kind: TakeBack}}
}

func white(v float64) string { return strconv.FormatFloat(v, 'f', 0, 64) + " cd/m²" }

// printsRow offers the last prints to choose from, and how the chosen one can
// have come out. It has no submenus of its own: panels cope badly with those.
func printsRow(s State) row {
	r := row{text: "How did it print?"}
	for i := range printRows {
		p := row{radio: true, hidden: i >= len(s.Prints), command: Command{Kind: ChoosePrint, place: i}}
		if !p.hidden {
			p.text, p.checked = cut(legible.Plain(s.Prints[i].Text), maxLine), s.Prints[i].Chosen
		}
		r.rows = append(r.rows, p)
	}
	if len(s.Prints) == 0 {
		r.rows[0].text, r.rows[0].hidden = "No export for print yet", false
	}
	for _, o := range rules.Outcomes {
		r.rows = append(r.rows, row{
			text:    fmt.Sprintf("It came out %s", o.Words()),
			hidden:  len(s.Prints) == 0,
			command: Command{Kind: TellOutcome, Outcome: o},
		})
	}
	return r
}

// named puts the print that a click is about into its command: that of the menu
// as it was clicked, whatever has come since. ok is false when there is none.
func (f *face) named(c Command) (named Command, ok bool) {
	if c.Kind != ChoosePrint && c.Kind != TellOutcome {
		return c, true
	}
	if f == nil {
		return c, false
	}
	for i, p := range f.prints {
		if c.Kind == ChoosePrint && i == c.place || c.Kind == TellOutcome && p.Chosen {
			c.Print, c.place = p.ID, 0
			return c, true
		}
	}
	return c, false
}

// lux writes an illuminance to three figures: nobody reads a room closer.
func lux(v float64) string {
	if v >= 100 {
		return strconv.FormatFloat(v, 'f', 0, 64) + " lx"
	}
	return strconv.FormatFloat(v, 'g', 3, 64) + " lx"
}
