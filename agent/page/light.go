package page

import (
	"fmt"
	"html/template"
	"maps"
	"math"
	"slices"
	"time"

	"lampblack/rules"
)

// verdicts are the lanes of exports below the light, from top to bottom.
var verdicts = []rules.Verdict{rules.Darker, rules.Lighter, rules.Drab, rules.Unsure, rules.Holds, rules.Unread}

// timeline is how the days are laid out: where the first of them is, and after how
// many of them there is a date. The last one is at the right.
type timeline struct {
	name      string // of the drawing
	width, at float64
	dates     int
}

var (
	wideTimeline   = timeline{"light", pageWidth, 96, 5}
	narrowTimeline = timeline{"light-narrow", narrowWidth, 64, 10}
)

// lightChart draws the room light of the last days, and below it the exports of
// those days by verdict.
func lightChart(p Page, l timeline) template.HTML {
	const top, bottom, lane = 14.0, 226.0, 24.0
	lanes := lanesOf(p.Exports)
	height := bottom + 44 + lane*float64(len(lanes)) + 8
	d := newDrawing(l.name, l.width, height, fmt.Sprintf("Room light and exports of the last %d days", Days),
		"Each dash is a reading, for as long as it stays good; the band is the target. Below, the exports by verdict; a filled mark had a notice.")
	begin := p.At.AddDate(0, 0, -Days)
	x := straight(0, Days, l.at, l.width-12)
	days := func(t time.Time) float64 { return t.Sub(begin).Hours() / 24 }
	low, high := target(p.Conditions, rules.RoomLight)
	y := lightAxis(p.Light, low, high, bottom, top)

	d.rect("target", x.at, y.place(high), x.end-x.at, y.place(low)-y.place(high))
	for _, v := range lightTicks() {
		if y.holds(v) {
			d.line("grid", x.at, y.place(v), x.end, y.place(v))
			d.write("tick end", x.at-8, y.place(v)+4, plainly(v))
		}
	}
	d.write("label", 0, top+4, "lux")
	d.write("series", x.at+8, y.place(low)-8, "target "+whole(low)+"–"+whole(high)+" lx")
	drawDates(d, x, begin, l.dates, top, bottom, height-8)
	drawReadings(d, p, x, y, days)
	drawLanes(d, p, lanes, x, days, bottom+40, lane)
	if len(p.Light) == 0 {
		d.write("series middle", (x.at+x.end)/2, y.place(math.Sqrt(low*high))+5, "no reading in these days")
	}
	return d.html()
}

// lightTicks are the illuminances with a number, as on the scale of the room light.
func lightTicks() []float64 {
	if of, _ := rules.Describe(rules.RoomLight); of.Scale != nil {
		return of.Scale.Ticks
	}
	return nil
}

// target is the target of a condition.
func target(list []rules.Condition, name string) (low, high float64) {
	for _, c := range list {
		if c.Name == name {
			return float64(c.Target[0]), float64(c.Target[1])
		}
	}
	return 0, 0
}

// darkest is the light below which readings are drawn at the bottom, lx.
const darkest = 0.5

func lightAxis(readings []rules.Reading, low, high, bottom, top float64) axis {
	from, to := math.Max(darkest, math.Min(8, low/2)), math.Max(250, high*2)
	for _, r := range readings {
		from = math.Min(from, math.Max(darkest, float64(r.Light)/1.3))
		to = math.Max(to, float64(r.Light)*1.3)
	}
	return byRatio(from, to, bottom, top)
}

// drawDates writes a date every so many days, the last one today.
func drawDates(d *drawing, x axis, begin time.Time, every int, top, middle, bottom float64) {
	for day := 0; day <= Days; day += every {
		at := x.place(float64(day))
		d.line("grid", at, top, at, middle+6)
		d.line("grid", at, middle+28, at, bottom)
		name := begin.AddDate(0, 0, day).Format("2 Jan")
		if day == Days {
			name = "now"
		}
		d.write("tick "+anchor(x, at), at, middle+21, name)
	}
}

// bins are how finely what lies close together is told apart: six hours each.
const bins = 4 * Days

// drawReadings draws readings as dashes. Of those within one bin, a sensor's, it
// draws the range and the last.
func drawReadings(d *drawing, p Page, x, y axis, days func(time.Time) float64) {
	life := p.ReadingLife.Hours() / 24
	place := func(l rules.Lux) float64 { return y.place(math.Max(darkest, float64(l))) }
	for i := 0; i < len(p.Light); {
		bin := math.Floor(days(p.Light[i].At) * bins / Days)
		last, low, high := i, p.Light[i].Light, p.Light[i].Light
		for last+1 < len(p.Light) && math.Floor(days(p.Light[last+1].At)*bins/Days) == bin {
			last++
			low, high = min(low, p.Light[last].Light), max(high, p.Light[last].Light)
		}
		r := p.Light[last]
		end := days(r.At) + life
		if last+1 < len(p.Light) {
			end = math.Min(end, days(p.Light[last+1].At))
		}
		at := x.place(days(r.At))
		d.line("dash", at, place(r.Light), math.Min(x.end, math.Max(at+6, x.place(end))), place(r.Light))
		if high > low {
			d.line("range", at, place(low), at, place(high))
		}
		i = last + 1
	}
}

// lanesOf are the verdicts that occur, in the order of verdicts.
func lanesOf(exports []Export) []int {
	var lanes []int
	for i, v := range verdicts {
		if slices.ContainsFunc(exports, func(e Export) bool { return e.Verdict == v }) {
			lanes = append(lanes, i)
		}
	}
	return lanes
}

// drawLanes draws the exports. Marks of one verdict that would lie upon each
// other are one, larger.
func drawLanes(d *drawing, p Page, lanes []int, x axis, days func(time.Time) float64, top, lane float64) {
	for i, n := range lanes {
		y := top + lane*(float64(i)+0.5)
		d.write("tick end", x.at-8, y+4, verdicts[n].Words())
		d.line("lane", x.at, y, x.end, y)
		heaps := heapsOf(p.Exports, verdicts[n], days)
		for _, bin := range slices.Sorted(maps.Keys(heaps)) {
			h := heaps[bin]
			class := "export"
			if h.noticed {
				class += " noticed"
			}
			d.circle(class, x.place((float64(bin)+0.5)*Days/bins), y, math.Min(9, 3+1.2*math.Sqrt(float64(h.exports))))
		}
	}
}

// heap is the exports that share a mark.
type heap struct {
	exports int
	noticed bool // one of them had a notice
}

// heapsOf are the exports of a verdict, by bin.
func heapsOf(exports []Export, v rules.Verdict, days func(time.Time) float64) map[int]heap {
	heaps := map[int]heap{}
	for _, e := range exports {
		if e.Verdict != v {
			continue
		}
		bin := int(math.Floor(days(e.At) * bins / Days))
		h := heaps[bin]
		heaps[bin] = heap{h.exports + 1, h.noticed || e.Notice}
	}
	return heaps
}

// day is what happened on one day, for the table.
type day struct {
	Date     string
	Readings int
	Light    string // lowest and highest
	Exports  int
	Verdicts string
}

// days are the days on which there was a reading or an export, the latest first.
func days(p Page) []day {
	var list []day
	for back := range Days + 1 {
		date := p.At.AddDate(0, 0, -back)
		on := func(t time.Time) bool {
			t = t.In(p.At.Location())
			return t.YearDay() == date.YearDay() && t.Year() == date.Year()
		}
		if d := dayOf(p, on); d.Readings > 0 || d.Exports > 0 {
			d.Date = date.Format("2 January")
			list = append(list, d)
		}
	}
	return list
}

func dayOf(p Page, on func(time.Time) bool) (d day) {
	low, high := math.Inf(1), 0.0
	for _, r := range p.Light {
		if on(r.At) {
			d.Readings++
			low, high = math.Min(low, float64(r.Light)), math.Max(high, float64(r.Light))
		}
	}
	counts := map[rules.Verdict]int{}
	for _, e := range p.Exports {
		if on(e.At) {
			d.Exports++
			counts[e.Verdict]++
		}
	}
	switch {
	case d.Readings == 1 || low == high:
		d.Light = whole(high) + " lx"
	case d.Readings > 1:
		d.Light = whole(low) + "–" + whole(high) + " lx"
	}
	for _, v := range verdicts {
		if n := counts[v]; n > 0 {
			if d.Verdicts != "" {
				d.Verdicts += ", "
			}
			d.Verdicts += fmt.Sprintf("%s %d", v.Words(), n)
		}
	}
	return d
}
