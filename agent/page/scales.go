package page

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"lampblack/rules"
)

// pageWidth is how wide a drawing is that fills the page; narrowWidth one that
// stands in its place where the screen, or the window, is that of a telephone.
const (
	pageWidth   = 1160.0
	narrowWidth = 400.0
)

// The scales: each condition against its target.
const (
	scaleAt    = 196.0
	scaleEnd   = 780.0
	scaleRow   = 62.0
	narrowRow  = 103.0 // without its note
	barHeight  = 12.0
	scaleWords = 826.0
)

func whole(v float64) string   { return strconv.FormatFloat(v, 'f', 0, 64) }
func plainly(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
func percent(v float64) string { return whole(100*v) + " %" }

// numberIn is a number below a scale of that unit.
func numberIn(u rules.Unit) func(float64) string {
	if u.Whole != "" {
		return percent
	}
	return plainly
}

// scales draws one scale a condition, below each other, with the name before it
// and the words behind it.
func scales(list []rules.Condition) template.HTML {
	d := newScales("scales", pageWidth, scaleRow*float64(len(list))+4)
	for i, c := range list {
		words, y := rules.InWords(c), scaleRow*float64(i)+24
		d.write("name", 0, y+barHeight/2+5, words.Name)
		drawScale(d, c, scaleAt, scaleEnd, y)
		d.write(valueClass(c), scaleWords, y+2, words.Value)
		writeNote(d, words, scaleWords, y+20, noteLength)
	}
	return d.html()
}

// narrowScales draws the same with name and words above each scale.
func narrowScales(list []rules.Condition) template.HTML {
	height := 0.0
	for _, c := range list {
		height += narrowRow + noteLine*float64(len(noteOf(rules.InWords(c), narrowNoteLength)))
	}
	d, top := newScales("scales-narrow", narrowWidth, height), 0.0
	for _, c := range list {
		words := rules.InWords(c)
		d.write("name", 0, top+16, words.Name)
		d.write(valueClass(c)+" end", narrowWidth, top+16, words.Value)
		bottom := writeNote(d, words, 0, top+33, narrowNoteLength)
		drawScale(d, c, 0, narrowWidth, bottom+14)
		top = bottom + narrowRow - 33
	}
	return d.html()
}

func newScales(name string, width, height float64) *drawing {
	return newDrawing(name, width, height, "The conditions at the desk",
		"Each condition on a scale, with the band of its target and a mark for its value: "+
			"a disc where it is in target, a diamond where it is not, hollow where it is assumed.")
}

func valueClass(c rules.Condition) string {
	if c.InTarget {
		return "value"
	}
	return "value out"
}

// How many characters of a note have room beside a scale, and above one.
const (
	noteLength       = 44
	narrowNoteLength = 58
	noteLine         = 15.0
)

// noteOf is how a condition stands, and where it is known from, in lines; none where
// there is nothing to say of that.
func noteOf(words rules.ConditionWords, most int) []string {
	note := words.Word
	if note != "" && words.Origin != "" {
		note += " · "
	}
	if note += words.Origin; note == "" {
		return nil
	}
	return wrapped(note, most)
}

// writeNote writes the note from y on and tells where the next line would be.
func writeNote(d *drawing, words rules.ConditionWords, x, y float64, most int) float64 {
	for _, line := range noteOf(words, most) {
		d.write("note", x, y, line)
		y += noteLine
	}
	return y
}

// drawScale draws the scale of a condition, if it is of a kind that has one: its
// bar from at to end with the upper edge at y, the target above it, numbers below.
func drawScale(d *drawing, c rules.Condition, at, end, y float64) {
	of, _ := rules.Describe(c.Name)
	if of.Scale == nil {
		return
	}
	v, low, high := float64(c.Value), float64(c.Target[0]), float64(c.Target[1])
	from, to := inView(of.Scale, v, low, high)
	a := axis{from, to, at, end, of.Scale.Spacing.Place}
	d.rect("bar", at, y, end-at, barHeight)
	if c.HasTarget() {
		d.rect("target", a.place(low), y, a.place(high)-a.place(low), barHeight)
		d.write("note middle", (a.place(low)+a.place(high))/2, y-7, "target "+rules.InWords(c).Target)
	}
	drawTicks(d, a, of.Scale.Ticks, numberIn(of.Unit), y+barHeight)
	if c.Value.Known() {
		drawValue(d, c, a, y+barHeight/2)
	}
}

// wrapped breaks a text between words into lines of at most so many characters,
// but for words that are longer by themselves.
func wrapped(text string, most int) (lines []string) {
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > most {
			lines = append(lines, line)
			line = ""
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	return append(lines, line)
}

// inView is the range of a scale that holds its value and target with some room.
func inView(s *rules.Scale, values ...float64) (from, to float64) {
	from, to = s.From, s.To
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
			continue
		}
		if v > 0 && v < from {
			from = v / 1.5
		}
		if v > to {
			to = v * 1.25
		}
	}
	return from, to
}

// drawTicks writes the numbers below a scale, as many as there is room for.
func drawTicks(d *drawing, a axis, ticks []float64, number func(float64) string, y float64) {
	const room = 46
	last := math.Inf(-1)
	for _, tick := range ticks {
		x := a.place(tick)
		if !a.holds(tick) || x-last < room {
			continue
		}
		last = x
		d.line("tick", x, y, x, y+4)
		d.write("tick "+anchor(a, x), x, y+16, number(tick))
	}
}

// anchor keeps the text at the ends of an axis from standing out.
func anchor(a axis, x float64) string {
	const near = 6
	switch {
	case x < a.at+near:
		return "start"
	case x > a.end-near:
		return "end"
	}
	return "middle"
}

// drawValue draws the mark, with a whisker for its standard uncertainty.
func drawValue(d *drawing, c rules.Condition, a axis, y float64) {
	v := float64(c.Value)
	if s := float64(c.Sigma); s > 0 {
		low, high := a.place(v*math.Exp(-s)), a.place(v*math.Exp(s))
		d.line("whisker", low, y, high, y)
		d.line("whisker", low, y-5, low, y+5)
		d.line("whisker", high, y-5, high, y+5)
	}
	d.mark(a.place(v), y, c.InTarget, c.Assumed)
}

// wedge draws the icon: five patches, dark to light; those that the conditions
// predict to be lost are hollow.
func wedge(w rules.Wedge) template.HTML {
	const size, gap = 26.0, 4.0
	hollow := 0
	for _, h := range w.Hollow {
		if h {
			hollow++
		}
	}
	description := "No patch is hollow: no tone would print clearly too dark."
	if hollow > 0 {
		description = fmt.Sprintf("%d of 5 patches hollow: those tones would print clearly too dark.", hollow)
	}
	d := newDrawing("wedge", 5*size+4*gap, size, "Step wedge", description)
	for i, h := range w.Hollow {
		class := fmt.Sprintf("patch patch%d", i)
		if h {
			class = "patch lost"
		}
		d.rect(class, float64(i)*(size+gap)+1, 1, size-2, size-2)
	}
	return d.html()
}
