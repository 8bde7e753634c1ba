// Package page writes the desk page ([Write]): one HTML file that shows the desk, the last
// export and what is known of the prints, for a person in a dim room.
//
// The file needs no server, no network and no script. Everything on it that comes
// from outside is text, but for the pictures of the last export, which are in it.
//
// A child process writes it (lampblack page), so that template and drawings cost the
// agent nothing but their place in the program. The drawings are SVG by hand: no
// plotting library gives the classes that turn a drawing light on paper, or titles for
// those who can't see it, and each is fifty lines. The pictures are made from the
// worker's previews ([Draw]), since no other process decodes a file, by way of 33³
// colours: a third of a second for both, off by 0.3 ΔE on average.
//
// What was judged is what the journal says: the conditions of an export come from its
// report, and only the rest from today's profile.
package page

import (
	"embed"
	"html/template"
	"io"
	"time"

	"lampblack/config/legible"
	"lampblack/rules"
)

// Days is how far back the page looks at the room light.
const Days = 30

// Page is what the page shows.
type Page struct {
	Desk        string // its name, may be empty
	At          time.Time
	Summary     rules.Summary
	Conditions  []rules.Condition
	Quiet       rules.Quiet
	ReadingLife time.Duration // how long a reading stays good

	Report *rules.Report   // on the last export that could be read; nil: there was none
	Older  string          // why the report is not on the very last export; usually empty
	Tones  rules.ToneCurve // of the report

	Pictures   *Pictures // nil: there are none, and
	NoPictures string    // the reason

	Light    []rules.Reading // at the screen, of the last days, in order of time
	Exports  []Export        // of the last days, in order of time
	Outcomes []rules.Judged
	Learnt   rules.Learnt
}

// Export is one journaled export.
type Export struct {
	At      time.Time
	Verdict rules.Verdict // Unread when it could not be read
	Notice  bool          // a notice was raised
}

//go:embed page.html page.css
var files embed.FS

// Write writes the page.
func Write(w io.Writer, p Page) error {
	// Made here, not at the start: the agent, which never writes a page, is the same
	// program.
	t := template.New("page.html").Funcs(template.FuncMap{
		"visible": legible.Line,
		"inStops": func(s rules.Stops) string { return inStops(float64(s)) },
	})
	t, err := t.ParseFS(files, "page.html")
	if err != nil {
		return err
	}
	return t.Execute(w, p.view())
}

// view is the page as the template wants it.
type view struct {
	Page
	Style  template.CSS
	Title  string
	When   string
	Wedge  template.HTML
	Scales fitted
	Light  fitted

	Parts                               map[string][]string
	Curve, Steps, Causes, Doubt, Prints template.HTML
	Words                               []rules.ConditionWords
	Sum                                 []step
	Days                                []day
	Told                                []toldPrint
	LearntText                          string
}

// fitted is a drawing that fills the page, and what stands in its place on a narrow
// screen, where its text would be too small to read. The style sheet shows one.
type fitted struct{ Wide, Narrow template.HTML }

func (p Page) view() view {
	css, _ := files.ReadFile("page.css") // embedded: it is there
	v := view{
		Page:       p,
		Style:      template.CSS(css),
		Title:      p.Desk,
		When:       p.At.Format("2 January 2006, 15:04"),
		Wedge:      wedge(p.Summary.Wedge),
		Scales:     fitted{scales(p.Conditions), narrowScales(p.Conditions)},
		Light:      fitted{lightChart(p, wideTimeline), lightChart(p, narrowTimeline)},
		Prints:     printsChart(p),
		Days:       days(p),
		Told:       toldPrints(p),
		LearntText: rules.LearntText(p.Learnt),
		Parts:      map[string][]string{},
	}
	if v.Title == "" {
		v.Title = "Your desk"
	}
	for _, c := range p.Conditions {
		v.Words = append(v.Words, rules.InWords(c))
	}
	if p.Report != nil {
		v.Curve, v.Steps, v.Causes, v.Doubt = curveChart(p), stepsChart(p), causesChart(p), doubtChart(p)
		parts, total := steps(p.Report)
		v.Sum = append(parts, step{"together", total})
		for _, part := range rules.Parts(p.Report) {
			v.Parts[part.Heading] = part.Lines
		}
	}
	return v
}
