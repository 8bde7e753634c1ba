package tray

import (
	"bytes"
	"image"
	"image/color"
	"image/png"

	"lampblack/rules"
)

// The icon's greys. The edge has a luminance of 0.195, near the geometric mean
// of those of the panels it may lie on, so that it stands out alike on white,
// light, dark and black ones. Tones alone can't tell a filled dark patch from a
// hollow one on a dark panel: hollow patches therefore are lower as well. Only on
// a panel of the edge's own grey do hollow patches vanish, which still tells.
var (
	edge  = color.NRGBA{0x7a, 0x7a, 0x7a, 0xff}
	tones = [5]color.NRGBA{
		{0x08, 0x08, 0x08, 0xff},
		{0x40, 0x40, 0x40, 0xff},
		{0x90, 0x90, 0x90, 0xff},
		{0xc8, 0xc8, 0xc8, 0xff},
		{0xfa, 0xfa, 0xfa, 0xff},
	}
)

// drawIcon draws the step wedge into a square of size pixels, 16 or more. A patch
// that holds stands tall and is filled with its tone; a patch that is predicted
// to be lost is a low, empty outline. A resting wedge is a low strip over a line.
func drawIcon(w rules.Wedge, size int) *image.NRGBA {
	m := image.NewNRGBA(image.Rect(0, 0, size, size))
	line := max(1, size/16)    // width of the edges
	pitch := (size - line) / 5 // from edge to edge: neighbours share one
	left := (size - 5*pitch - line) / 2
	for _, filled := range []bool{false, true} { // tall edges lie over low ones
		for i, hollow := range w.Hollow {
			if hollow == filled {
				continue
			}
			x := left + i*pitch
			top, bottom := span(size, hollow, w.Rest)
			r := image.Rect(x, top, x+pitch+line, bottom)
			fill(m, r, edge)
			inside := color.NRGBA{}
			if filled {
				inside = tones[i]
			}
			fill(m, r.Inset(line), inside)
		}
	}
	if w.Rest {
		bottom := size * 7 / 8
		fill(m, image.Rect(left, bottom-line, left+5*pitch+line, bottom), edge)
	}
	return m
}

// span gives the rows of pixels that a patch covers.
func span(size int, hollow, rest bool) (top, bottom int) {
	eighths := func(n int) int { return size * n / 8 }
	switch {
	case rest && hollow:
		return eighths(3), eighths(5)
	case rest:
		return eighths(2), eighths(5)
	case hollow:
		return eighths(4), eighths(7)
	default:
		return eighths(1), eighths(7)
	}
}

func fill(m *image.NRGBA, r image.Rectangle, c color.NRGBA) {
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			m.SetNRGBA(x, y, c)
		}
	}
}

// iconPNG is the icon as a PNG file.
func iconPNG(w rules.Wedge, size int) []byte {
	var b bytes.Buffer
	// Encoding an NRGBA image into memory has no way to fail.
	_ = png.Encode(&b, drawIcon(w, size))
	return b.Bytes()
}
