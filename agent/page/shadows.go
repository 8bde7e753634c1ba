package page

import (
	"html/template"
	"math"

	"lampblack/rules"
)

// stepsChart draws how many shadow steps of the last export can be told apart.
func stepsChart(p Page) template.HTML {
	const row, bar = 34.0, 18.0
	s := p.Report.Prediction.Steps
	rows := []struct {
		name, class string
		steps       rules.Figure
	}{
		{"on the screen", "cause", s.Screen},
		{"on it at your targets", "cause", s.AtTargets},
		{"on the print", "total", s.Print},
	}
	d := newDrawing("steps", halfWidth, row*float64(len(rows)), "Fine detail in the shadows",
		"How many steps of shadow can be told apart in this picture: on the screen as it was, at its targets, and on the print.")
	most := 1.0
	for _, r := range rows {
		if r.steps.Known() {
			most = math.Max(most, float64(r.steps))
		}
	}
	x := straight(0, most, 190, halfWidth-64)
	for i, r := range rows {
		y := row*float64(i) + (row-bar)/2
		d.write("name end", x.at-16, y+bar/2+5, r.name)
		if !r.steps.Known() {
			d.write("note", x.at, y+bar/2+5, "it has no shadows")
			continue
		}
		n := math.Max(0, float64(r.steps))
		d.rect(r.class, x.at, y, math.Max(1, x.place(n)-x.at), bar)
		d.write("number", x.place(n)+7, y+bar/2+5, whole(n))
	}
	return d.html()
}
