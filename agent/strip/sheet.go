package strip

import (
	"fmt"
	"image"
	"math"
	"strconv"
	"strings"

	"lampblack/agent/picture"
	"lampblack/rules"
)

// What is on the sheet, from top to bottom: the title and what the strip is for;
// the patches with their steps; the shadow wedge with its L*; what to do.

// wedge is the L* of the shadow wedge's patches.
var wedge = []float64{0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20}

// The tones of the sheet, L*: a surround that is neither light nor dark, so that
// it doesn't pull at the patches, and quiet text on it.
const (
	surroundL = 50
	inkL      = 0
)

// Distances, millimetres.
const (
	marginMM      = 4.0
	gapMM         = 2.0 // between patches
	paragraphMM   = 3.0 // between the parts
	labelMM       = 0.7 // between a patch and its label
	bandMM        = 13.0
	insetMM       = 2.0 // of the wedge's patches in their black band
	smallestPatch = 8.0
)

// sheet is the layout. Lengths in pixels.
type sheet struct {
	width              int // of the whole
	title, step, plain texts
	head               string
	about, caption, to []string // lines in the plain size
	steps              []rules.Stops
	box                image.Point // the most that a patch can have

	patch image.Point // what each has
	scale int         // pixels of a patch to one of the picture
}

// layOut makes the texts and finds the room that they leave for the patches.
func layOut(o Options, steps []rules.Stops, pic *picture.Samples) (*sheet, error) {
	s := &sheet{
		width: mm(10 * o.WidthCM),
		title: newTexts(titleSize), step: newTexts(stepSize), plain: newTexts(plainSize),
		steps: steps,
	}
	s.write(o, pic)
	s.box = image.Pt(
		(s.inner()-(len(steps)-1)*mm(gapMM))/len(steps),
		mm(10*o.HeightCM)-height(s.parts(nil, nil)), // no patches yet
	)
	if least := mm(smallestPatch); s.box.X < least || s.box.Y < least {
		return nil, fmt.Errorf("%d steps and their labels don't fit on %g × %g cm: make it larger, or give fewer steps",
			len(steps), o.WidthCM, o.HeightCM)
	}
	return s, nil
}

// inner is the width between the margins.
func (s *sheet) inner() int { return s.width - 2*mm(marginMM) }

// write makes the texts.
func (s *sheet) write(o Options, pic *picture.Samples) {
	name := s.title.clean(o.Name)
	s.head = "Test strip"
	if name != "" {
		s.head = s.title.cut("Test strip: "+name, s.inner())
	}
	s.about = s.lines(strings.Join(s.facts(o, pic), "  ·  "))
	s.caption = s.lines("Steps of shadow on black, by L*. The first one that you can see is the deepest tone that this paper keeps.")
	s.to = append(
		s.lines("Print it like the picture: same paper, same settings, at its own size. Let it dry."),
		s.lines(pickText(o.Name, name))...)
}

// facts is what the strip was made for and from.
func (s *sheet) facts(o Options, pic *picture.Samples) []string {
	var list []string
	if paper := s.plain.clean(o.Paper); paper != "" {
		list = append(list, "on "+paper)
	}
	if viewing := s.plain.clean(o.Viewing); viewing != "" {
		list = append(list, "for "+viewing)
	}
	if !o.Date.IsZero() {
		list = append(list, o.Date.Format("2 January 2006"))
	}
	if pic.Assumed {
		return append(list, "no colour profile: taken as sRGB")
	}
	return append(list, "colour profile: "+s.plain.clean(pic.Encoding))
}

// lines is a text in the plain size, broken into lines that fit.
func (s *sheet) lines(text string) []string { return s.plain.wrap(text, s.inner()) }

// unnamed stands in the command for a name that isn't typed there.
const unnamed = "FILE"

// pickText says what the steps are and how to keep the one that is picked. A step of +x
// is the file raised by x: where that one looks right, the file by itself prints x darker.
func pickText(name, shown string) string {
	if typed, whole := typedName(name, shown); !whole && name != "" {
		return fmt.Sprintf("+ is the file raised, - lowered, in stops. Pick the step that looks right in its light, "+
			"then type its number as STEP, and the export's name as %s: %s", typed, command(typed))
	}
	return fmt.Sprintf("+ is the file raised, - lowered, in stops. Pick the step that looks right in its light, "+
		"then type its number as STEP: %s", outcomeLine(name, shown))
}

// typedName is a name as it stands in a command. One that isn't shown as it is, or that
// shells read in ways of their own, is left for the person to type; then whole is false.
func typedName(name, shown string) (typed string, whole bool) {
	const longest = 80 // bytes; shorter ones are sure to be shown whole
	switch {
	case name == "", name != shown, len(name) > longest, name[0] == '-',
		strings.Contains(name, "  "), strings.ContainsAny(name, "\"'`$\\!%^*?[]{}<>|&;()~#"):
		return unnamed, false
	case strings.Contains(name, " "):
		return `"` + name + `"`, true
	}
	return name, true
}

// outcomeLine is what to type to keep the pick of the picture named.
func outcomeLine(name, shown string) string {
	typed, _ := typedName(name, shown)
	return command(typed)
}

// command is what to type to keep a pick.
func command(typed string) string { return "lampblack outcome " + typed + " --stops=STEP" }

// StepLabel is a step as it is typed.
func StepLabel(s rules.Stops) string {
	text := strconv.FormatFloat(math.Round(float64(s)*100)/100+0, 'f', -1, 64) // no −0
	if s > 0 {
		return "+" + text
	}
	return text
}

// fit makes the patches as large as a crop of the given size allows: a small
// one is enlarged by a whole number, so that its samples stay themselves.
func (s *sheet) fit(crop image.Point) {
	s.scale = max(min(s.box.X/crop.X, s.box.Y/crop.Y), 1)
	s.patch = crop.Mul(s.scale)
}
