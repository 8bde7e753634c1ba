package page

import (
	"fmt"
	"html/template"
	"math"

	"lampblack/rules"
)

// doubtChart draws how sure the prediction is: where the shift lies two times in
// three, and how likely each verdict is.
func doubtChart(p Page) template.HTML {
	const height = 300.0
	d := newDrawing("doubt", halfWidth, height, "How sure that is",
		"Blocks in which the shift lies two times in three, with a stroke at the middle, and the chance of each verdict.")
	s := p.Report.Prediction.Targets.Spread
	if s == nil {
		return d.html()
	}
	bands := []band{
		{"whole picture", s.Whole, float64(p.Quiet.Noticeable)},
		{"shadows", s.Shadows, float64(p.Quiet.Clear)},
	}
	low, high := bandExtent(bands)
	x := straight(low, high, 168, halfWidth-64)
	const row = 52.0
	for _, v := range ticksBetween(low, high) {
		d.line("grid", x.place(v), 4, x.place(v), 2*row+4)
		d.write("tick middle", x.place(v), 2*row+22, rules.Signed(rules.Figure(v)))
	}
	d.line("zero", x.place(0), 4, x.place(0), 2*row+4)
	for i, b := range bands {
		b.draw(d, x, 4+row*float64(i), row)
	}
	d.write("label end", halfWidth, 2*row+42, "stops: − lighter, + darker")
	drawChances(d, p, *s, 2*row+72)
	return d.html()
}

// band is one interval with the step that matters for it.
type band struct {
	name     string
	interval rules.Interval
	matters  float64
}

func bandExtent(bands []band) (low, high float64) {
	for _, b := range bands {
		low = math.Min(low, -b.matters)
		high = math.Max(high, b.matters)
		if b.interval.Median.Known() {
			low = math.Min(low, float64(b.interval.Low))
			high = math.Max(high, float64(b.interval.High))
		}
	}
	room := 0.08 * (high - low)
	return low - room, high + room
}

func (b band) draw(d *drawing, x axis, top, row float64) {
	const height = 20.0
	y := top + (row-height)/2
	d.write("name end", x.at-16, y+height/2+5, b.name)
	for _, sign := range []float64{-1, 1} {
		d.line("matters", x.place(sign*b.matters), top+6, x.place(sign*b.matters), top+row-6)
	}
	if !b.interval.Median.Known() {
		d.write("note", x.place(0)+8, y+height/2+5, "it has none")
		return
	}
	low, middle, high := x.place(float64(b.interval.Low)), x.place(float64(b.interval.Median)), x.place(float64(b.interval.High))
	d.rect("doubt", low, y, math.Max(2, high-low), height)
	d.line("median", middle, y-4, middle, y+height+4)
	d.write("number", math.Max(high, x.place(b.matters))+7, y+height/2+5, rules.Signed(b.interval.Median))
}

// drawChances draws the probability of each verdict against the one from which
// the program speaks.
func drawChances(d *drawing, p Page, s rules.Spread, top float64) {
	const row, height = 34.0, 14.0
	x := straight(0, 1, 168, halfWidth-120) // "more than 99 %" stands behind
	chances := []struct {
		name string
		p    float64
	}{{"darker", s.Darker}, {"lighter", s.Lighter}, {"drab", s.Drab}}
	for i, c := range chances {
		y := top + row*float64(i)
		d.write("name end", x.at-16, y+height/2+5, c.name)
		d.rect("bar", x.at, y, x.end-x.at, height)
		d.rect("chance", x.at, y, x.place(c.p)-x.at, height)
		d.write("number", x.end+7, y+height/2+5, rules.Chance(c.p))
	}
	speaks := x.place(p.Quiet.Probability)
	d.line("matters", speaks, top-8, speaks, top+2*row+height+4)
	d.write("note middle", speaks, top+2*row+height+18, fmt.Sprintf("a notice is given from %s", percent(p.Quiet.Probability)))
}
