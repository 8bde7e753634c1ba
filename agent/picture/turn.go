package picture

import "image"

// Turn is what has to be done to a picture, as its rows are stored, for it to
// stand upright. The zero value is nothing.
type Turn struct {
	mirrored  bool // the first column belongs at the right
	topDown   bool // the first row belongs at the bottom
	exchanged bool // and after that, rows become columns
}

// turns are the turns that field 274 names, by its value (TIFF 6.0, section 8:
// where the stored picture's first row and first column are to be seen).
var turns = [...]Turn{
	1: {},
	2: {mirrored: true},
	3: {mirrored: true, topDown: true},
	4: {topDown: true},
	5: {exchanged: true},
	6: {topDown: true, exchanged: true},
	7: {mirrored: true, topDown: true, exchanged: true},
	8: {mirrored: true, exchanged: true},
}

// turn is what a directory says of how its picture stands. One that says nothing,
// or no sense, has an upright picture.
func (d ifd) turn() Turn {
	v := d.uint(tagOrientation, 1)
	if d.fields[tagOrientation].kind != typeShort || v >= uint64(len(turns)) {
		return Turn{}
	}
	return turns[v]
}

// Size is the size of an upright picture, or part of one, from its size as stored,
// and the other way round.
func (t Turn) Size(p image.Point) image.Point {
	if t.exchanged {
		return image.Pt(p.Y, p.X)
	}
	return p
}

// Upright turns the pixels of a picture of the given size as stored, each of them
// some samples (or bytes) that stay together. It may give back pix itself.
func Upright[T any](t Turn, pix []T, size image.Point, samples int) []T {
	if t == (Turn{}) {
		return pix
	}
	out := make([]T, len(pix))
	width := t.Size(size).X
	for i := range size.X * size.Y {
		x, y := i%size.X, i/size.X
		if t.mirrored {
			x = size.X - 1 - x
		}
		if t.topDown {
			y = size.Y - 1 - y
		}
		if t.exchanged {
			x, y = y, x
		}
		copy(out[(y*width+x)*samples:], pix[i*samples:][:samples])
	}
	return out
}
