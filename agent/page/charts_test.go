package page

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
)

// desks are some to draw.
func desks(t *testing.T) map[string]*rules.Profile {
	return map[string]*rules.Profile{
		"as it should be":        tidemark(t),
		"bright":                 tidemark(t, white(180)),
		"bright, black surround": tidemark(t, white(180), around(0.003)),
		"dim, white surround":    tidemark(t, white(60), around(0.95)),
		"bright room, and learnt": tidemark(t, lux(300), func(p *rules.Profile) {
			p.Learnt = rules.Learn([]rules.Judged{{Tone: 0.2, Found: 0.6}}, rules.JudgedUnsaid)
		}),
		"dark room and glare":       tidemark(t, lux(1)),
		"everything out of measure": tidemark(t, white(9000), lux(150_000), around(0)),
	}
}

// TestCausesAddUp: each bar begins where the one before it ended, and the last is
// as long as all of them together.
func TestCausesAddUp(t *testing.T) {
	for name, p := range desks(t) {
		shown := pageOf(p, "quay.tif")
		doc, _ := parsed(t, shown)
		zero := doc.in("causes", "zero")[0].number(t, "x1")
		at := zero
		for _, e := range doc.in("causes", "cause") {
			from, to := e.number(t, "x"), e.number(t, "x")+e.number(t, "width")
			if strings.Contains(e.class, "lighter") {
				from, to = to, from
			}
			if e.number(t, "width") == 1 { // less than can be drawn
				to = from
			}
			near(t, name+": the beginning of a bar", from, at, 1.1)
			at = to
		}
		total := doc.in("causes", "total")[0]
		length := total.number(t, "width")
		if strings.Contains(total.class, "lighter") {
			length = -length
		}
		near(t, name+": the sum", at-zero, length, 1.5)

		_, sum := steps(shown.Report)
		near(t, name+": the shift to expect", float64(sum), float64(shown.Report.Prediction.Targets.Expected().Whole), 1e-9)
	}
}

// TestBandHoldsItsMiddle, and everything is within the drawing.
func TestBandHoldsItsMiddle(t *testing.T) {
	for name, p := range desks(t) {
		doc, _ := parsed(t, pageOf(p, "quay.tif"))
		bands, middles := doc.in("doubt", "doubt"), doc.in("doubt", "median")
		if len(bands) != 2 || len(middles) != 2 {
			t.Fatalf("%s: %d bands, %d middles", name, len(bands), len(middles))
		}
		for i, b := range bands {
			from, middle := b.number(t, "x"), middles[i].number(t, "x1")
			to := from + b.number(t, "width")
			if !(from <= middle+0.01 && middle <= to+0.01) {
				t.Errorf("%s: the band from %.1f to %.1f doesn't hold %.1f", name, from, to, middle)
			}
			if from < 168 || to > halfWidth-64 {
				t.Errorf("%s: the band from %.1f to %.1f is not in the drawing", name, from, to)
			}
		}
	}
}

// TestMarkAndTargetAgree: a disc lies on the band of the target, a diamond beside it,
// on the scales of a wide and of a narrow screen.
func TestMarkAndTargetAgree(t *testing.T) {
	for name, p := range desks(t) {
		shown := pageOf(p, "quay.tif")
		doc, _ := parsed(t, shown)
		for drawing, scale := range map[string][2]float64{"scales": {scaleAt, scaleEnd}, "scales-narrow": {0, narrowWidth}} {
			bands, marks := doc.in(drawing, "target"), doc.in(drawing, "mark")
			aims := 0
			for _, c := range shown.Conditions {
				if c.HasTarget() {
					aims++
				}
			}
			if len(bands) != aims || aims < 5 || len(marks) != len(shown.Conditions) {
				t.Fatalf("%s, %s: %d bands and %d marks of %d conditions, %d with a target", name, drawing, len(bands), len(marks), len(shown.Conditions), aims)
			}
			for i, c := range shown.Conditions {
				x := markAt(t, marks[i])
				if x < scale[0] || x > scale[1] {
					t.Errorf("%s, %s: the mark of %s is beside its scale", name, drawing, c.Name)
				}
				if !c.HasTarget() {
					continue
				}
				from := bands[0].number(t, "x")
				to := from + bands[0].number(t, "width")
				bands = bands[1:]
				if on := from-0.5 <= x && x <= to+0.5; on != c.InTarget {
					t.Errorf("%s, %s: the mark of %s is at %.1f, its target %.1f to %.1f, in target: %v", name, drawing, c.Name, x, from, to, c.InTarget)
				}
				if (marks[i].name == "circle") != c.InTarget {
					t.Errorf("%s, %s: %s has a %s", name, drawing, c.Name, marks[i].name)
				}
			}
		}
	}
}

// TestNarrowScalesLieApart: however many lines the words above a scale take, they
// are written into nothing, and the last scale is within the drawing.
func TestNarrowScalesLieApart(t *testing.T) {
	doc, _ := parsed(t, pageOf(tidemark(t, lux(180), notHeld), "quay.tif"))
	bars, names := doc.in("scales-narrow", "bar"), doc.in("scales-narrow", "name")
	targets := doc.in("scales-narrow", "target")
	if notes := doc.in("scales-narrow", "note"); len(notes) <= 2*len(targets) {
		t.Fatalf("%d notes and targets of %d targets: no note has two lines", len(notes), len(targets))
	}
	numbersEnd := func(i int) float64 { return bars[i].number(t, "y") + barHeight + 16 }
	for i := range len(bars) - 1 {
		if begins := names[i+1].number(t, "y") - 14; begins < numbersEnd(i) {
			t.Errorf("the name after scale %d begins at %.0f, the numbers end at %.0f", i, begins, numbersEnd(i))
		}
	}
	drawing := doc.in("scales-narrow", "")[0]
	var width, height float64
	if _, err := fmt.Sscanf(drawing.attributes["viewBox"], "0 0 %g %g", &width, &height); err != nil || width != narrowWidth || height < numbersEnd(len(bars)-1) {
		t.Errorf("the drawing is %g × %g (%v), its last numbers end at %.0f", width, height, err, numbersEnd(len(bars)-1))
	}
}

func notHeld(p *rules.Profile) { p.Displays[0].Held = rules.Stated(false) }

func markAt(t *testing.T, e *element) float64 {
	if e.name == "circle" {
		return e.number(t, "cx")
	}
	x, _, _ := strings.Cut(e.attributes["points"], ",") // the diamond's tip
	tip := element{attributes: map[string]string{"x": x}}
	return tip.number(t, "x")
}

// TestAssumedIsHollow: what nobody has measured doesn't look measured.
func TestAssumedIsHollow(t *testing.T) {
	doc, _ := parsed(t, pageOf(tidemark(t, func(p *rules.Profile) { p.Readings = nil }), "quay.tif"))
	if n := len(doc.in("scales", "hollow")); n != 1 {
		t.Errorf("%d marks are hollow, want that of the room light", n)
	}
}

// TestCurve: the hatched part ends where tones stop being lost, and the curve is
// the report's.
func TestCurve(t *testing.T) {
	shown := pageOf(tidemark(t, white(180)), "quay.tif")
	doc, _ := parsed(t, shown)
	lost := doc.in("curve", "lost")[0]
	diagonal := doc.in("curve", "screen")[0]
	from, to := diagonal.number(t, "x1"), diagonal.number(t, "x2")
	near(t, "the end of the lost shadows", (lost.number(t, "x")+lost.number(t, "width")-from)/(to-from)*100, shown.Tones.Lost, 0.1)
	if n := len(strings.Fields(doc.in("curve", "print")[0].attributes["points"])); n != len(shown.Tones.Points) {
		t.Errorf("the curve has %d points of %d", n, len(shown.Tones.Points))
	}
	for _, h := range doc.in("curve", "hatch") {
		for _, end := range []string{"1", "2"} {
			x, y := h.number(t, "x"+end), h.number(t, "y"+end)
			if x < from-0.01 || x > lost.number(t, "x")+lost.number(t, "width")+0.01 || y < diagonal.number(t, "y2")-0.01 || y > diagonal.number(t, "y1")+0.01 {
				t.Errorf("a stroke ends at %.1f, %.1f, outside of what is lost", x, y)
			}
		}
	}
}

// TestLight: a reading stands at its time and its light, for as long as it is
// good; exports stand in their verdict's lane.
func TestLight(t *testing.T) {
	p := tidemark(t)
	shown := pageOf(p, "quay.tif")
	at := func(days float64) time.Time { return now.Add(-time.Duration(days * 24 * float64(time.Hour))) }
	shown.Light = []rules.Reading{{At: at(20), Light: 16}, {At: at(10), Light: 64}, {At: at(0.01), Light: 0}}
	shown.Exports = []Export{{At: at(20), Verdict: rules.Darker, Notice: true}, {At: at(19.99), Verdict: rules.Darker}, {At: at(1), Verdict: rules.Unread}}
	doc, _ := parsed(t, shown)
	dashes, band := doc.in("light", "dash"), doc.in("light", "target")[0]
	if len(dashes) != 3 {
		t.Fatalf("%d dashes", len(dashes))
	}
	near(t, "16 lx", dashes[0].number(t, "y1"), band.number(t, "y")+band.number(t, "height"), 0.5)
	near(t, "64 lx", dashes[1].number(t, "y1"), band.number(t, "y"), 0.5)
	near(t, "day 20", dashes[0].number(t, "x1"), band.number(t, "x")+band.number(t, "width")/3, 0.5)
	marks := doc.in("light", "export")
	if len(marks) != 2 || !strings.Contains(marks[0].class, "noticed") || strings.Contains(marks[1].class, "noticed") {
		t.Errorf("the exports are %d marks", len(marks))
	}
	if !(marks[0].number(t, "r") > marks[1].number(t, "r") && marks[0].number(t, "cy") < marks[1].number(t, "cy")) {
		t.Error("two exports are no larger than one, or not in a lane above")
	}
	words := doc.words()
	for _, want := range []string{"darker", "unread", "16 lx", "darker 2", "10 February"} {
		if !strings.Contains(words, want) {
			t.Errorf("nothing says %q", want)
		}
	}
	if strings.Contains(words, "can't tell") {
		t.Error("there is a lane without exports")
	}
}

// TestPrints: a print stands where its prediction and its outcome are, whether its tones
// or the white made the prediction, with what was learnt above its own prediction; all of
// it is told in words, too.
func TestPrints(t *testing.T) {
	shown := pageOf(tidemark(t), "quay.tif")
	shown.Outcomes = []rules.Judged{{Found: 0.5}, {Tone: 0.5, Found: 1}, {Tone: -0.5, Found: 0}, {White: 1, Found: -0.3}}
	shown.Learnt = rules.Learn(shown.Outcomes, rules.JudgedUnsaid)
	doc, _ := parsed(t, shown)
	marks, dashes, whiskers := doc.in("prints", "export"), doc.in("prints", "dash"), doc.in("prints", "whisker")
	if len(marks) != 4 || len(dashes) != 4 || len(whiskers) != 4 {
		t.Fatalf("%d prints, %d dashes, %d whiskers", len(marks), len(dashes), len(whiskers))
	}
	diagonal := doc.in("prints", "screen")[0]
	middle, half := (diagonal.number(t, "x1")+diagonal.number(t, "x2"))/2, (diagonal.number(t, "x2")-diagonal.number(t, "x1"))/2
	centre, up := (diagonal.number(t, "y1")+diagonal.number(t, "y2"))/2, (diagonal.number(t, "y1")-diagonal.number(t, "y2"))/2
	const reach = 1.1
	for i, o := range shown.Outcomes {
		at := middle + half*shown.Learnt.Model(o)/reach
		near(t, "predicted", marks[i].number(t, "cx"), at, 0.1)
		near(t, "came out", marks[i].number(t, "cy"), centre-up*float64(o.Found)/reach, 0.1)
		near(t, "as learnt, across", (dashes[i].number(t, "x1")+dashes[i].number(t, "x2"))/2, at, 0.1)
		tone, white := float64(o.Tone), float64(o.White)
		near(t, "as learnt", dashes[i].number(t, "y1"), centre-up*shown.Learnt.Correct(tone, white)/reach, 0.1)
		near(t, "its doubt", whiskers[i].number(t, "y1")-whiskers[i].number(t, "y2"), 2*up*shown.Learnt.Uncertainty(tone, white)/reach, 0.1)
	}
	words := doc.words()
	for _, want := range []string{rules.LearntText(shown.Learnt), "0.22 stop darker", "0.3 stop lighter", "as judged on the screen"} {
		if !strings.Contains(words, want) {
			t.Errorf("nothing says %q", want)
		}
	}
	shown.Outcomes, shown.Learnt = nil, rules.Learnt{}
	if doc, _ := parsed(t, shown); len(doc.in("prints", "dash"))+len(doc.in("prints", "whisker"))+len(doc.in("prints", "export")) > 0 {
		t.Error("something is drawn that nobody has learnt")
	}
}

// TestAxis: no value is drawn outside, and larger values never before smaller.
func TestAxis(t *testing.T) {
	for _, a := range []axis{straight(-1, 2, 100, 0), byRatio(1, 1000, 10, 90), {0, 1, 5, 6, math.Cbrt}} {
		before := a.at
		for _, v := range []float64{math.Inf(-1), -5, 0, 1e-9, 0.5, 1, 30, 1e9, math.Inf(1)} {
			x := a.place(v)
			if x < min(a.at, a.end) || x > max(a.at, a.end) || (x-before)*(a.end-a.at) < 0 {
				t.Errorf("%g is at %g on %+v", v, x, a)
			}
			before = x
		}
		if x := a.place(math.NaN()); x != a.at {
			t.Errorf("no number is at %g", x)
		}
	}
}

func TestWrapped(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"", []string{""}},
		{"short", []string{"short"}},
		{"too bright · expected: 150 cd/m² measured", []string{"too bright ·", "expected: 150 cd/m²", "measured"}},
		{"averyveryverylongwordindeed and on", []string{"averyveryverylongwordindeed", "and on"}},
	} {
		if got := wrapped(c.text, 20); !slices.Equal(got, c.want) {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}

// TestStrangeConditions: an export of a later version has a condition that this one
// doesn't know. It is in the page's words and without a scale, and so is one that has
// no target; neither breaks a drawing.
func TestStrangeConditions(t *testing.T) {
	none := [2]rules.Figure{rules.Unknown, rules.Unknown}
	shown := pageOf(tidemark(t), "quay.tif")
	shown.Conditions = append(shown.Conditions,
		rules.Condition{Name: "hum", Value: 50, Unit: "Hz", Target: [2]rules.Figure{0, 40}, Sigma: 0.1},
		rules.Condition{Name: "wind", Value: 3, Unit: "m/s", Target: none, InTarget: true, Sigma: rules.Unknown},
	)
	doc, _ := parsed(t, shown)
	bars, names := doc.in("scales", "bar"), doc.in("scales", "name")
	if len(names) != len(shown.Conditions) || len(bars) != len(names)-2 {
		t.Errorf("%d names and %d scales of %d conditions", len(names), len(bars), len(shown.Conditions))
	}
	words := doc.words()
	for _, want := range []string{"Hum", "50 ±5 Hz", "up to 40", "too high", "Wind", "3 m/s"} {
		if !strings.Contains(words, want) {
			t.Errorf("nothing says %q", want)
		}
	}
	if strings.Contains(words, "NaN") {
		t.Error("something is NaN")
	}
}
