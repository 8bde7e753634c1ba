package page

import (
	"html/template"
	"math"

	"lampblack/rules"
)

// printsChart draws how prints came out against what was predicted, and the line
// learnt from them.
func printsChart(p Page) template.HTML {
	const height = 420.0
	most := 1.0
	for _, o := range p.Outcomes {
		most = math.Max(most, 1.1*math.Max(math.Abs(p.Learnt.Model(o)), math.Abs(float64(o.Found))))
	}
	most = math.Min(most, rules.MostStops)
	x, y := straight(-most, most, 70, halfWidth-18), straight(-most, most, height-58, 14)
	d := newDrawing("prints", halfWidth, height, "Outcomes against predictions",
		"Each mark is a print: across what was predicted, upward how it came out. The dashed line is a prediction that is right; "+
			"the solid one is what was learnt, with its uncertainty as a band.")
	ticks := ticksBetween(-most, most)
	grid(d, x, y, ticks, ticks, func(v float64) string { return rules.Signed(rules.Figure(v)) })
	d.write("label middle", (x.at+x.end)/2, height-12, "predicted, stops: − lighter, + darker")
	upright(d, 16, (y.at+y.end)/2, "how it came out, stops: − lighter, + darker")
	if p.Learnt.Prints > 0 {
		drawDoubt(d, p.Learnt, x, y, most)
	}
	d.line("screen", x.at, y.at, x.end, y.end)
	d.write("series", x.place(-0.6*most)+14, y.place(-0.6*most)+12, "as predicted")
	if p.Learnt.Prints > 0 {
		drawLearnt(d, p.Learnt, x, y, most)
	}
	for _, o := range p.Outcomes {
		d.circle("export noticed", x.place(p.Learnt.Model(o)), y.place(float64(o.Found)), 5)
	}
	return d.html()
}

// drawDoubt draws the band of one standard uncertainty around the learnt line.
func drawDoubt(d *drawing, l rules.Learnt, x, y axis, most float64) {
	const n = 100
	band := make([]point, 2*n+2)
	for i := range n + 1 {
		v := most * (2*float64(i)/n - 1)
		band[i] = point{x.place(v), y.place(l.Correct(v, 0) + l.Uncertainty(v, 0))}
		band[len(band)-1-i] = point{x.place(v), y.place(l.Correct(v, 0) - l.Uncertainty(v, 0))}
	}
	d.polygon("doubt", band)
}

// drawLearnt draws the learnt line as far as it is in view.
func drawLearnt(d *drawing, l rules.Learnt, x, y axis, most float64) {
	from, to := -most, most
	if l.Gain != 0 {
		a, b := (-most-l.Bias)/l.Gain, (most-l.Bias)/l.Gain
		from, to = math.Max(from, math.Min(a, b)), math.Min(to, math.Max(a, b))
	}
	d.polyline("print", []point{{x.place(from), y.place(l.Correct(from, 0))}, {x.place(to), y.place(l.Correct(to, 0))}})
	at := from + 0.3*(to-from)
	d.write("series strong end", x.place(at)-8, y.place(l.Correct(at, 0))-10, "as learnt")
}
