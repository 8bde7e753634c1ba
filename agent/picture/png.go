package picture

import (
	"bufio"
	"errors"
	"image"
	"image/color"
	"image/png"
	"io"

	"github.com/klauspost/compress/zlib"
)

// openPNG reads a PNG's facts. Its pixels are read a row at a time, for a print
// export has a gigabyte of them; only the interlaced kind, in which no row is
// whole before the last pass, goes through the standard library.
func openPNG(src *source) (container, error) {
	f, err := readChunks(src)
	switch {
	case err != nil:
		return container{}, err
	case f.data == 0:
		return container{}, broken("the file holds no picture data: export it again")
	case f.colour == pngPalette && f.palette == nil:
		return container{}, broken("the palette is missing: export it again")
	case !f.interlaced:
		return container{f.facts, func(t *tally) error { return f.decode(src, t) }}, nil
	}
	if err := f.gate(src.size); err != nil { // before its size is believed
		return container{}, err
	}
	if err := src.afford(f.memory(), "an interlaced PNG", f.facts, "export it without interlacing"); err != nil {
		return container{}, err
	}
	return container{f.facts, func(t *tally) error { return decodeInterlaced(src, f.channels, t) }}, nil
}

// memory is what image/png takes for an interlaced picture: the whole, and its
// passes, which are as large together. Colour always has four samples there.
func (f *pngFile) memory() float64 {
	bytes := 1.0
	if f.colour != pngPalette && f.colour != pngGrey {
		bytes = 4
	}
	if f.bits == 16 {
		bytes *= 2
	}
	return 2 * bytes * float64(f.width) * float64(f.height)
}

// decode reads the rows of a picture that is not interlaced.
func (f *pngFile) decode(src *source, t *tally) error {
	data := &imageData{src: src, at: f.data}
	err := f.rows(bufio.NewReaderSize(data, 64<<10), t)
	early := errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF)
	if err != nil && !early {
		return err
	}
	if _, err := io.Copy(io.Discard, data); err != nil { // for the last checksum
		return err
	}
	if early { // the file is whole, what is packed in it is not
		return broken("the picture data ends too early: export it again")
	}
	return nil
}

// rowsAhead is how many rows are inflated before they are counted: enough to keep
// a second core busy.
const rowsAhead = 4

// rows undoes the rows' filters and counts them while the next are inflated.
func (f *pngFile) rows(r io.Reader, t *tally) error {
	length := 1 + (f.width*f.samples*int(f.bits)+7)/8 // with the filter's kind
	inflated, free := make(chan []byte, rowsAhead), make(chan []byte, rowsAhead)
	for range rowsAhead {
		free <- make([]byte, length)
	}
	failed := make(chan error, 1)
	go func() {
		defer close(inflated)
		failed <- f.inflate(r, free, inflated)
	}()
	err := f.countRows(inflated, free, make([]byte, length), t)
	if broke := <-failed; err == nil {
		err = broke
	}
	return err
}

// inflate unpacks all rows, each into a free buffer.
func (f *pngFile) inflate(r io.Reader, free <-chan []byte, inflated chan<- []byte) error {
	z, err := zlib.NewReader(r)
	if err != nil {
		return err
	}
	defer z.Close()
	for range f.height {
		row := <-free
		if _, err := io.ReadFull(z, row); err != nil {
			return err
		}
		inflated <- row
	}
	return atEnd(z)
}

// countRows counts what is inflated. The first error is the result; the rows
// after it are let go, so that nobody waits for their buffers.
func (f *pngFile) countRows(inflated <-chan []byte, free chan<- []byte, above []byte, t *tally) (err error) {
	c := pngCounter{f, t, make([]uint16, f.width*f.samples), make([]uint8, 0, 3*f.width)}
	pixelBytes := max(f.samples*int(f.bits)/8, 1) // which a filter looks back by
	y := 0
	for row := range inflated {
		if err == nil {
			err = unfilter(row[0], row[1:], above[1:], pixelBytes)
		}
		if err == nil {
			c.count(y, row[1:])
		}
		free <- above
		above = row
		y++
	}
	return err
}

// pngCounter counts rows of samples as they are stored.
type pngCounter struct {
	*pngFile
	t      *tally
	wide   []uint16 // a row of 16-bit samples
	narrow []uint8  // a row that was stored with less than 8, or as a palette's
}

func (c *pngCounter) count(y int, row []byte) {
	switch {
	case c.bits == 16:
		for i := range c.wide {
			c.wide[i] = uint16(row[2*i])<<8 | uint16(row[2*i+1])
		}
		addSamples(c.t, y, c.wide, c.samples, c.channels)
	case c.bits == 8 && c.colour != pngPalette:
		addSamples(c.t, y, row, c.samples, c.channels)
	default:
		c.narrow = c.unpack(c.narrow[:0], row)
		addSamples(c.t, y, c.narrow, c.channels, c.channels)
	}
}

// atEnd reads what must be the end of a packed stream, for its checksum.
func atEnd(z io.Reader) error {
	var more [1]byte
	switch _, err := io.ReadFull(z, more[:]); {
	case err == nil:
		return broken("there is more picture data than the header says: export it again")
	case errors.Is(err, io.EOF):
		return nil
	default:
		return err
	}
}

// addSamples counts a row of grey or RGB, samples to a pixel.
func addSamples[T uint8 | uint16](t *tally, y int, row []T, samples, channels int) {
	if channels == 1 {
		addGrey(t, y, row, samples)
	} else {
		addRGB(t, y, row, samples)
	}
}

// unpack appends a row of greys of less than 8 bits, or of a palette's colours, of
// which those that it lacks are black.
func (f *pngFile) unpack(to []uint8, row []byte) []uint8 {
	bits := int(f.bits)
	most := 1<<bits - 1
	for x := range f.width {
		at := x * bits
		v := int(row[at/8]) >> (8 - bits - at%8) & most
		switch {
		case f.colour == pngGrey:
			to = append(to, uint8(v*255/most))
		case 3*v+3 > len(f.palette):
			to = append(to, 0, 0, 0)
		default:
			to = append(to, f.palette[3*v:3*v+3]...)
		}
	}
	return to
}

// unfilter turns a row of differences into samples, in place (ISO/IEC 15948, 9).
// before is the row above, all 0 above the first; a pixel has back bytes.
func unfilter(kind byte, row, before []byte, back int) error {
	before = before[:len(row)]
	switch kind {
	case 0:
	case 1: // from the left
		for i := back; i < len(row); i++ {
			row[i] += row[i-back]
		}
	case 2: // from above
		for i, v := range before {
			row[i] += v
		}
	case 3: // from the mean of both
		for i := range min(back, len(row)) {
			row[i] += before[i] / 2
		}
		for i := back; i < len(row); i++ {
			row[i] += uint8((int(row[i-back]) + int(before[i])) / 2)
		}
	case 4: // from whichever neighbour is nearest to their plane
		for i := range min(back, len(row)) {
			row[i] += before[i]
		}
		for i := back; i < len(row); i++ {
			row[i] += paeth(int32(row[i-back]), int32(before[i]), int32(before[i-back]))
		}
	default:
		return broken("a row is packed in an unknown way (%d): export it again", kind)
	}
	return nil
}

// paeth is the one of left, up and corner that is nearest to left + up − corner.
func paeth(left, up, corner int32) uint8 {
	a, b := up-corner, left-corner // their distances from the estimate
	c := a + b
	a, b, c = abs(a), abs(b), abs(c)
	switch {
	case a <= b && a <= c:
		return uint8(left)
	case b <= c:
		return uint8(up)
	}
	return uint8(corner)
}

// abs has no branch to be guessed wrong.
func abs(v int32) int32 { return v ^ v>>31 - v>>31 }

func decodeInterlaced(src *source, channels int, t *tally) error {
	img, err := png.Decode(bufio.NewReaderSize(io.NewSectionReader(src, 0, src.size), 64<<10))
	var exotic png.UnsupportedError
	if errors.As(err, &exotic) {
		return unsupported("this kind of PNG (%s) is not read: export as a usual one", string(exotic))
	}
	if err != nil {
		return err
	}
	switch img := img.(type) {
	case *image.Gray:
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 1, channels)
	case *image.RGBA:
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 4, channels)
	case *image.NRGBA:
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 4, channels)
	case *image.Gray16:
		tallyWideRows(t, img.Pix, img.Stride, img.Rect, 1, channels)
	case *image.RGBA64:
		tallyWideRows(t, img.Pix, img.Stride, img.Rect, 4, channels)
	case *image.NRGBA64:
		tallyWideRows(t, img.Pix, img.Stride, img.Rect, 4, channels)
	case *image.Paletted:
		tallyPaletted(t, img)
	default:
		return unsupported("this kind of PNG is not read: export as a usual one")
	}
	return nil
}

// tallyWideRows counts a picture of 16-bit samples, so many to a pixel, high
// byte first.
func tallyWideRows(t *tally, pix []uint8, stride int, rect image.Rectangle, samples, channels int) {
	row := make([]uint16, rect.Dx()*samples)
	for y := range rect.Dy() {
		line := pix[y*stride:][:2*len(row)]
		for i := range row {
			row[i] = uint16(line[2*i])<<8 | uint16(line[2*i+1])
		}
		addSamples(t, y, row, samples, channels)
	}
}

func tallyPaletted(t *tally, img *image.Paletted) {
	var palette [256][3]uint8
	for i, c := range img.Palette {
		switch c := c.(type) {
		case color.RGBA:
			palette[i] = [3]uint8{c.R, c.G, c.B}
		case color.NRGBA: // with transparency, which is not multiplied in
			palette[i] = [3]uint8{c.R, c.G, c.B}
		}
	}
	w := img.Rect.Dx()
	row := make([]uint8, 0, 3*w)
	for y := range img.Rect.Dy() {
		row = row[:0]
		for _, i := range img.Pix[y*img.Stride:][:w] {
			row = append(row, palette[i][:]...)
		}
		addRGB(t, y, row, 3)
	}
}
