package strip

import (
	"image"
	"strings"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"lampblack/config/legible"
)

// The sizes of text, in points: what is smaller than 8 can't be read on matt paper.
const (
	titleSize = 12
	stepSize  = 11
	plainSize = 8.5
)

// texts is the typeface in a size.
type texts struct {
	font.Face
	all *sfnt.Font
}

// newTexts opens the typeface, which is compiled in, so that an error would be
// a fault of ours.
func newTexts(points float64) texts {
	all, err := opentype.Parse(goregular.TTF)
	if err != nil {
		panic("strip: the typeface: " + err.Error())
	}
	face, err := opentype.NewFace(all, &opentype.FaceOptions{Size: points, DPI: ppi})
	if err != nil {
		panic("strip: the typeface: " + err.Error())
	}
	return texts{face, all}
}

// has tells whether the typeface can show r.
func (t texts) has(r rune) bool {
	i, err := t.all.GlyphIndex(nil, r)
	return err == nil && i != 0
}

func (t texts) width(s string) int { return font.MeasureString(t, s).Ceil() }

func (t texts) lineHeight() int { return t.Metrics().Height.Ceil() }

// draw puts a line of text onto the page, its upper left corner at (left, top).
func (t texts) draw(p *page, left, top int, s string, ink []uint16) {
	dot := fixed.P(left, top+t.Metrics().Ascent.Ceil())
	bounds, _ := font.BoundString(t, s)
	bounds = bounds.Add(dot)
	mask := image.NewAlpha(image.Rect(bounds.Min.X.Floor(), bounds.Min.Y.Floor(), bounds.Max.X.Ceil(), bounds.Max.Y.Ceil()))
	d := font.Drawer{Dst: mask, Src: image.Opaque, Face: t, Dot: dot}
	d.DrawString(s)
	p.blend(mask, ink)
}

// wrap breaks s into lines no wider than width, at spaces. A longer word is cut.
func (t texts) wrap(s string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		word = t.cut(word, width)
		if joined := line + " " + word; line != "" && t.width(joined) <= width {
			line = joined
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = word
	}
	return append(lines, line)
}

// cut takes out the middle of s until it is no wider than width: a file's name
// tells by its beginning and its end.
func (t texts) cut(s string, width int) string {
	r := []rune(s)
	for kept := len(r) - 1; t.width(s) > width && kept > 0; kept-- {
		s = string(r[:kept-kept/2]) + "…" + string(r[len(r)-kept/2:])
	}
	return s
}

// mostRunes is as much of a name as is looked at.
const mostRunes = 300

// clean is s as it can be drawn, on one line: what the typeface lacks becomes a
// question mark.
func (t texts) clean(s string) string {
	var b strings.Builder
	for i, r := range []rune(legible.Plain(s)) {
		switch {
		case i == mostRunes:
			return b.String()
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		case !t.has(r) || r == unicode.ReplacementChar:
			b.WriteByte('?')
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
