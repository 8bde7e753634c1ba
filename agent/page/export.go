package page

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"lampblack/rules"
)

// The charts of the last export, two of which stand side by side.
const halfWidth = 560.0

// curveChart draws what the print does to the tones of the last export.
func curveChart(p Page) template.HTML {
	const height = 470.0
	x, y := straight(0, 100, 62, halfWidth-18), straight(0, 100, height-58, 18)
	d := newDrawing("curve", halfWidth, height, "The tone curve: screen as judged, print in its light",
		fmt.Sprintf("For each tone of the file, the tone on the screen that looks as it will look on the print. "+
			"Tones below L* %.0f are lost in the paper's black.", p.Tones.Lost))
	grid(d, x, y, []float64{0, 20, 40, 60, 80, 100}, []float64{0, 20, 40, 60, 80, 100}, whole)
	d.write("label middle", (x.at+x.end)/2, height-12, "tone in the file, L*")
	upright(d, 16, (y.at+y.end)/2, "looks like this L* on your screen")

	if p.Tones.Lost > 0.5 {
		d.hatch("lost", x.at, y.end, x.place(p.Tones.Lost)-x.at, y.at-y.end)
		d.line("lostedge", x.place(p.Tones.Lost), y.at, x.place(p.Tones.Lost), y.end)
		d.write("series", x.place(p.Tones.Lost)+8, y.end+16, "lost shadows: these looked")
		d.write("series", x.place(p.Tones.Lost)+8, y.end+33, "darker than this paper's black")
	}
	var print, between []point
	for _, t := range p.Tones.Points {
		print = append(print, point{x.place(t.File), y.place(t.Print)})
	}
	between = append(append(between, print...), point{x.end, y.end}, point{x.at, y.at})
	d.polygon("between", between)
	d.line("screen", x.at, y.at, x.end, y.end)
	d.polyline("print", print)
	d.write("series end", x.place(62), y.place(70), "screen as judged")
	d.write("series strong", x.place(60), y.place(printAt(p.Tones, 58)-9), "print in its light")
	return d.html()
}

// printAt is the curve's value near a tone.
func printAt(c rules.ToneCurve, l float64) float64 {
	for _, p := range c.Points {
		if p.File >= l {
			return p.Print
		}
	}
	return l
}

// grid draws the lines and numbers of a chart.
func grid(d *drawing, x, y axis, xs, ys []float64, number func(float64) string) {
	for _, v := range xs {
		d.line("grid", x.place(v), y.at, x.place(v), y.end)
		d.write("tick middle", x.place(v), y.at+18, number(v))
	}
	for _, v := range ys {
		d.line("grid", x.at, y.place(v), x.end, y.place(v))
		d.write("tick end", x.at-8, y.place(v)+4, number(v))
	}
}

// upright writes a label along a vertical axis, from below.
func upright(d *drawing, x, y float64, s string) {
	fmt.Fprintf(&d.b, `<text class="label middle" transform="translate(%s %s) rotate(-90)">%s</text>`, length(x), length(y), text(s))
}

// step is a part of a sum.
type step struct {
	Name  string
	Stops rules.Stops
}

// steps are the causes of the shift, and what earlier prints have taught, which
// add up to the shift to expect.
func steps(r *rules.Report) (parts []step, total rules.Stops) {
	t := r.Prediction.Targets
	for _, c := range r.Causes {
		if c.Stops.Known() {
			parts = append(parts, step{rules.CauseTitle(c.Name), rules.Stops(c.Stops)})
			total += rules.Stops(c.Stops)
		}
	}
	if t.Corrected != nil && t.Corrected.Whole.Known() && t.Shift.Whole.Known() {
		learnt := float64(t.Corrected.Whole - t.Shift.Whole)
		parts = append(parts, step{"learnt from prints", rules.Stops(learnt)})
		total += rules.Stops(learnt)
	}
	return parts, total
}

// causesChart draws the causes as a bar in steps: each begins where the one
// before ended, and the last bar is all of them.
func causesChart(p Page) template.HTML {
	const row, bar = 38.0, 18.0
	parts, total := steps(p.Report)
	low, high := extent(parts)
	x := straight(low, high, 168, halfWidth-64)
	height := row*float64(len(parts)+1) + 44
	d := newDrawing("causes", halfWidth, height, "What moves the print, in stops",
		"Each condition's share of the shift; the shares add up to the bar at the bottom. To the right is darker, to the left lighter.")
	bottom := row*float64(len(parts)+1) + 2
	for _, v := range ticksBetween(low, high) {
		d.line("grid", x.place(v), 0, x.place(v), bottom)
		d.write("tick middle", x.place(v), bottom+18, rules.Signed(rules.Figure(v)))
	}
	d.line("zero", x.place(0), 0, x.place(0), bottom)
	sum := 0.0
	for i, s := range parts {
		y := row*float64(i) + (row-bar)/2
		d.write("name end", x.at-16, y+bar/2+5, s.Name)
		drawStep(d, x, sum, sum+float64(s.Stops), y, bar, "cause")
		sum += float64(s.Stops)
		d.line("joint", x.place(sum), y+bar, x.place(sum), y+row+(row-bar)/2-bar/2)
	}
	y := row*float64(len(parts)) + (row-bar)/2
	d.write("name strong end", x.at-16, y+bar/2+5, "together")
	drawStep(d, x, 0, float64(total), y, bar, "total")
	d.write("label end", halfWidth, height-6, "stops: − lighter, + darker")
	return d.html()
}

// drawStep draws one part of the sum, with its number behind it.
func drawStep(d *drawing, x axis, from, to, y, height float64, class string) {
	a, b := x.place(math.Min(from, to)), x.place(math.Max(from, to))
	if to < from {
		class += " lighter"
	}
	d.rect(class, a, y, math.Max(b-a, 1), height)
	d.write("number", b+7, y+height/2+5, hundredths(to-from))
}

// inStops is the same in words, for tables.
func inStops(stops float64) string {
	switch {
	case math.Abs(stops) < 0.005:
		return "as you saw it"
	case stops > 0:
		return fmt.Sprintf("%.2f stop darker", stops)
	default:
		return fmt.Sprintf("%.2f stop lighter", -stops)
	}
}

// hundredths is a number of stops with its sign. One would not tell a person so
// many digits, but here they are to add up.
func hundredths(v float64) string {
	if math.Abs(v) < 0.005 {
		return "0"
	}
	return strings.Replace(fmt.Sprintf("%+.2f", v), "-", "−", 1)
}

// extent is the range of the sums on the way, zero included, with some room.
func extent(parts []step) (low, high float64) {
	sum := 0.0
	for _, s := range parts {
		sum += float64(s.Stops)
		low, high = math.Min(low, sum), math.Max(high, sum)
	}
	const least = 0.4
	room := math.Max(least, high-low) * 0.06
	if high-low < least {
		high = low + least
	}
	return low - room, high + room
}

// ticksBetween are round numbers of stops, four to eight of them.
func ticksBetween(low, high float64) []float64 {
	size := 0.1
	for _, s := range []float64{0.1, 0.2, 0.5, 1, 2} {
		size = s
		if (high-low)/s <= 7 {
			break
		}
	}
	var ticks []float64
	for n := math.Ceil(low / size); n*size <= high; n++ {
		ticks = append(ticks, n*size)
	}
	return ticks
}
