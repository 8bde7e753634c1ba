package page

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strconv"
	"strings"

	"lampblack/config/legible"
)

// drawing is a picture in SVG while it is drawn. Lengths are in CSS pixels, from
// the upper left. How a class looks is the style sheet's business; that is what
// turns the page light on paper.
type drawing struct {
	b strings.Builder
}

// newDrawing begins a drawing. Its name is unique on the page; title and
// description are for those who don't see it.
func newDrawing(name string, width, height float64, title, description string) *drawing {
	d := &drawing{}
	fmt.Fprintf(&d.b, `<svg id="%[1]s" viewBox="0 0 %[2]s %[3]s" role="img" aria-labelledby="%[1]s-title %[1]s-desc">`,
		name, length(width), length(height))
	fmt.Fprintf(&d.b, `<title id="%[1]s-title">%[2]s</title><desc id="%[1]s-desc">%[3]s</desc>`,
		name, text(title), text(description))
	return d
}

// html ends the drawing.
func (d *drawing) html() template.HTML {
	d.b.WriteString("</svg>")
	return template.HTML(d.b.String())
}

// text is text from anywhere as SVG and HTML take it.
func text(s string) string { return html.EscapeString(legible.Line(s)) }

// length is a number of pixels to a hundredth, which is more than anyone sees.
// A length that is none is a fault of ours, but no reason for a broken page.
func length(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	return strconv.FormatFloat(math.Round(v*100)/100+0, 'f', -1, 64)
}

func (d *drawing) rect(class string, x, y, width, height float64) {
	fmt.Fprintf(&d.b, `<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`,
		class, length(x), length(y), length(math.Max(0, width)), length(math.Max(0, height)))
}

func (d *drawing) line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(&d.b, `<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s"/>`,
		class, length(x1), length(y1), length(x2), length(y2))
}

func (d *drawing) circle(class string, x, y, r float64) {
	fmt.Fprintf(&d.b, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`, class, length(x), length(y), length(r))
}

// point is a place in a drawing.
type point struct{ x, y float64 }

// polyline joins points by straight lines; polygon closes them.
func (d *drawing) polyline(class string, points []point) { d.points("polyline", class, points) }
func (d *drawing) polygon(class string, points []point)  { d.points("polygon", class, points) }

func (d *drawing) points(element, class string, points []point) {
	fmt.Fprintf(&d.b, `<%s class="%s" points="`, element, class)
	for i, p := range points {
		if i > 0 {
			d.b.WriteByte(' ')
		}
		d.b.WriteString(length(p.x) + "," + length(p.y))
	}
	d.b.WriteString(`"/>`)
}

// write puts text at a place; the class tells which end of it is there.
func (d *drawing) write(class string, x, y float64, s string) {
	fmt.Fprintf(&d.b, `<text class="%s" x="%s" y="%s">%s</text>`, class, length(x), length(y), text(s))
}

// hatch draws a rectangle with strokes across it: what is gone, told without colour.
func (d *drawing) hatch(class string, x, y, width, height float64) {
	d.rect(class, x, y, width, height)
	const apart = 7
	for from := apart - height; from < width; from += apart {
		a, b := math.Max(from, 0), math.Min(from+height, width)
		d.line("hatch", x+a, y+height-(a-from), x+b, y+height-(b-from))
	}
}

// mark draws a value: a disc for what is as it should be, a diamond for what is
// not, hollow for what nobody has measured.
func (d *drawing) mark(x, y float64, good, assumed bool) {
	class := "mark"
	if assumed {
		class += " hollow"
	}
	const r = 7
	if good {
		d.circle(class+" good", x, y, r)
		return
	}
	const s = 9
	d.polygon(class+" off", []point{{x, y - s}, {x + s, y}, {x, y + s}, {x - s, y}})
}

// axis leads from values to places in a drawing.
type axis struct {
	from, to float64 // values at its ends
	at, end  float64 // their places
	bend     func(float64) float64
}

// straight is an axis on which equal differences are equally long.
func straight(from, to, at, end float64) axis {
	return axis{from, to, at, end, func(v float64) float64 { return v }}
}

// byRatio is an axis on which equal ratios are equally long. Values above 0.
func byRatio(from, to, at, end float64) axis { return axis{from, to, at, end, math.Log} }

// place is where a value is; what lies beyond an end is put there.
func (a axis) place(v float64) float64 {
	low, high := a.bend(a.from), a.bend(a.to)
	t := (a.bend(v) - low) / (high - low)
	if !(t > 0) { // or NaN, as the logarithm of less than nothing
		t = 0
	}
	return a.at + math.Min(t, 1)*(a.end-a.at)
}

func (a axis) holds(v float64) bool { return a.from <= v && v <= a.to }
