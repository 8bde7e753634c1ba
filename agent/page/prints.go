package page

import (
	"html/template"
	"math"
	"strconv"

	"lampblack/rules"
)

// printsChart draws how prints came out against what was predicted of them, and what
// would have been expected of each by all that was learnt. What is learnt has three
// parameters, of which a flat drawing can't show a line: a dash stands above each print's
// own prediction, with its uncertainty.
func printsChart(p Page) template.HTML {
	const height = 420.0
	most := reach(p)
	x, y := straight(-most, most, 70, halfWidth-18), straight(-most, most, height-58, 14)
	d := newDrawing("prints", halfWidth, height, "Outcomes against predictions",
		"Each mark is a print: across what was predicted of it, darker to the right; upward how it came out, darker above. The dashed line is a prediction that is right. "+
			"A short dash above or below a print is what is predicted for it from all that was learnt, with its uncertainty as a whisker. "+rules.LearntText(p.Learnt))
	ticks := ticksBetween(-most, most)
	grid(d, x, y, ticks, ticks, func(v float64) string { return strconv.FormatFloat(math.Abs(v), 'f', 1, 64) })
	d.write("label middle", (x.at+x.end)/2, height-12, "predicted, stops: lighter left, darker right")
	upright(d, 16, (y.at+y.end)/2, "came out, stops: darker above")
	d.line("screen", x.at, y.at, x.end, y.end)
	d.write("series", x.place(-0.6*most)+14, y.place(-0.6*most)+12, "as predicted")
	if p.Learnt.Prints > 0 {
		for _, o := range p.Outcomes {
			drawLearnt(d, p.Learnt, o, x, y)
		}
	}
	for _, o := range p.Outcomes {
		d.circle("export noticed", x.place(p.Learnt.Model(o)), y.place(float64(o.Found)), 5)
	}
	return d.html()
}

// reach is how far the axes go on either side, in stops: at least 1, and no further than a
// print can be meant.
func reach(p Page) float64 {
	most := 1.0
	for _, o := range p.Outcomes {
		most = math.Max(most, 1.1*math.Max(math.Abs(p.Learnt.Model(o)), math.Abs(float64(o.Found))))
	}
	return math.Min(most, rules.MostStops)
}

// drawLearnt draws what is expected of a print by what was learnt.
func drawLearnt(d *drawing, l rules.Learnt, o rules.Judged, x, y axis) {
	const half = 8
	tone, white := float64(o.Tone), float64(o.White)
	expected, doubt, at := l.Correct(tone, white), l.Uncertainty(tone, white), x.place(l.Model(o))
	d.line("whisker", at, y.place(expected-doubt), at, y.place(expected+doubt))
	d.line("dash", at-half, y.place(expected), at+half, y.place(expected))
}

// toldPrint is a print in the table beside the chart, in words.
type toldPrint struct{ Predicted, Learnt, Found string }

// toldPrints are the prints in words.
func toldPrints(p Page) []toldPrint {
	var told []toldPrint
	for _, o := range p.Outcomes {
		told = append(told, toldPrint{
			Predicted: rules.OutcomeText("", rules.Figure(p.Learnt.Model(o))),
			Learnt:    rules.OutcomeText("", rules.Figure(p.Learnt.Correct(float64(o.Tone), float64(o.White)))),
			Found:     rules.OutcomeText("", rules.Figure(o.Found)),
		})
	}
	return told
}
