package picture

import (
	"errors"
	"image"
	"image/jpeg"
	"io"
	"slices"
	"strings"
)

// openJPEG reads a JPEG's facts; the standard library reads its pixels. It
// decodes the whole picture at once, which is why the memory for that is asked
// for first.
func openJPEG(src *source) (container, error) {
	s, err := readSegments(src)
	if err != nil {
		return container{}, err
	}
	if err := s.gate(src.size); err != nil { // before its size is believed
		return container{}, err
	}
	if s.losesCount() {
		return container{}, unsupported("this kind of JPEG (restart markers in scans of one channel) is not read: export as a usual one")
	}
	if err := src.afford(s.memory(), "a "+s.kind()+" JPEG", s.facts, "export it as TIFF, or smaller"); err != nil {
		return container{}, err
	}
	return container{s.facts, func(t *tally) error { return decodeJPEG(src, s, t) }}, nil
}

// losesCount tells of a picture in whose scans the standard library would lose count
// of the restart markers, and call it damaged. It counts a unit of all channels
// where one block makes a unit: in scans of a single channel (T.81, A.2.2), as all
// but the first of a progressive picture are.
func (s segments) losesCount() bool {
	several := slices.ContainsFunc(s.components, func(c component) bool { return c.across*c.down > 1 })
	return s.restarts && several && s.channels > 1 && (s.progressive || s.separate)
}

func decodeJPEG(src *source, s segments, t *tally) error {
	src.ended = false
	// The decoder reads 4 KB at a time; a buffer between would blur where it stopped.
	var r io.Reader = io.NewSectionReader(src, 0, src.size)
	if s.channels == 4 {
		r = s.asCMYK(r)
	}
	img, err := jpeg.Decode(r)
	if err != nil {
		return jpegError(src, err)
	}
	switch img := img.(type) {
	case *image.YCbCr:
		if s.channels == 3 {
			return tallyYCbCr(t, img, fullRange)
		}
	case *image.CMYK:
		if s.channels == 4 {
			return tallyInks(t, img, s)
		}
	case *image.Gray:
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 1, s.channels)
	case *image.RGBA: // an Adobe marker, or the components' names, say "RGB"
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 4, s.channels)
	}
	return unsupported("this kind of JPEG is not read: export it as RGB")
}

// jpegError sorts the decoder's errors. It reports a file that ends within a
// scan as bad Huffman data, so damage at the very end counts as an early end.
func jpegError(src *source, err error) error {
	var exotic jpeg.UnsupportedError
	var damaged jpeg.FormatError
	switch {
	case errors.As(err, &exotic):
		return unsupported("this kind of JPEG (%s) is not read: export as a usual one", string(exotic))
	case errors.As(err, &damaged) && src.ended:
		return io.ErrUnexpectedEOF
	}
	return err
}

// enough pixels tell what all do. Of large pictures that come decoded at once, as
// JPEG and WebP do, an even sample is looked at, at most twice as many as this: a
// share of the picture is then known to a few hundredths of a point. A scaled
// picture would be cheaper still, but has lost its darkest pixels.
const enough = 4_000_000

// stepOf is the distance between the pixels of a row that are looked at. It is
// odd, and so shares no factor with the side of a block: all places in a block
// are looked at alike.
func stepOf(rect image.Rectangle) int { return rect.Dx()*rect.Dy()/enough | 1 }

// firstOf is the first pixel of row y that is looked at, two columns on from the
// row above: a knight's move.
func firstOf(y, step int) int { return 2 * y % step }

// tallyRows counts a picture of 8-bit samples, stride bytes to a row and
// samples to a pixel.
func tallyRows(t *tally, pix []uint8, stride int, rect image.Rectangle, samples, channels int) error {
	if channels == 3 && samples < 3 {
		return broken("the header promises colour, the picture data has none: export it again")
	}
	step := stepOf(rect)
	inHalves(t, rect.Dy(), func(t *tally, from, to int) {
		picked := make([]uint8, 0, rect.Dx()*channels)
		for y := from; y < to; y++ {
			row := pix[y*stride:][:rect.Dx()*samples]
			picked = picked[:0]
			for i := firstOf(y, step) * samples; i < len(row); i += step * samples {
				picked = append(picked, row[i:i+channels]...)
			}
			switch channels {
			case 1:
				addGrey(t, y, picked, 1)
			case 3:
				addRGB(t, y, picked, 3)
			case 4:
				addCMYK(t, y, picked, 4)
			}
		}
	})
	return nil
}

// inHalves has two goroutines count a half of the rows each.
func inHalves(t *tally, rows int, count func(t *tally, from, to int)) {
	other := t.fork()
	done := make(chan struct{})
	go func() {
		defer close(done)
		count(other, rows/2, rows)
	}()
	count(t, 0, rows/2)
	<-done
	t.join(other)
}

// tallyInks counts a picture of cyan, magenta, yellow and black. The decoder
// takes every file's samples as light, as Adobe's are, and turns them into ink.
func tallyInks(t *tally, img *image.CMYK, s segments) error {
	if s.transform == adobeYCCK {
		for y := range img.Rect.Dy() {
			inksOfRow(img.Pix[y*img.Stride:][:4*img.Rect.Dx()])
		}
	}
	if !s.adobe { // the samples were ink from the first
		for i, v := range img.Pix {
			img.Pix[i] = ^v
		}
	}
	return tallyRows(t, img.Pix, img.Stride, img.Rect, 4, 4)
}

// inksOfRow turns Y'CbCr and black, each inverted by the decoder, into inks. What
// Y'CbCr stands for is 255 less Adobe's cyan, magenta and yellow, which count
// light: that is ink.
func inksOfRow(row []uint8) {
	for px := row; len(px) >= 4; px = px[4:] {
		px[0], px[1], px[2] = fullRange.rgb(int32(^px[0]), int32(^px[1]), int32(^px[2]))
	}
}

// The colour transforms that Adobe's marker names.
const adobeYCCK = 2

// adobeUntransformed is a whole segment that says: samples of four channels as
// they are.
const adobeUntransformed = "\xff\xee\x00\x0eAdobe\x00\x64\x00\x00\x00\x00\x00"

// asCMYK makes the decoder hand out the four channels as they are stored, by
// telling it that they are not transformed: it converts Y'CbCr by rounding down,
// and refuses a file in which nobody says what they are. Our segment goes first,
// and those of the file itself, which would count after it, lose their name.
func (s segments) asCMYK(r io.Reader) io.Reader {
	const start = 2 // bytes of the file's first marker
	return io.MultiReader(io.LimitReader(r, start), strings.NewReader(adobeUntransformed), &masked{r, start, s.adobeAt})
}

// masked is a reader that overwrites some bytes with zeros.
type masked struct {
	r  io.Reader
	at int64   // of the next byte
	on []int64 // the bytes, in rising order
}

func (m *masked) Read(p []byte) (int, error) {
	n, err := m.r.Read(p)
	for _, pos := range m.on {
		if i := pos - m.at; i >= 0 && i < int64(n) {
			p[i] = 0
		}
	}
	m.at += int64(n)
	return n, err
}
