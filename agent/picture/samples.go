package picture

import (
	"bufio"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
)

// Samples is a picture whose samples themselves are wanted, to make another
// file of them. A TIFF is read a row at a time, as often as it is asked for; a
// JPEG or PNG is held in memory.
type Samples struct {
	Width, Height int  // as stored
	Turn          Turn // what the rows need, to stand upright
	Channels      int  // 1: grey, 3: RGB

	Encoding string // the profile's own description, or "sRGB"
	Assumed  bool   // the file says nothing, and is taken as sRGB
	Profile  []byte // the embedded colour profile; nil when there is none

	// Curves lead from a code value to linear light, both 0..1; a grey picture
	// has the first alone. R = G = B is neutral, its Y being the linear value.
	Curves []func(float64) float64
	// Weights are the linear channels' parts of Y, which add up to 1.
	Weights []float64

	rows rows
}

// rows reads a range of a picture's rows, see Samples.Rows.
type rows func(from, to int, visit func(y int, row []uint16)) error

// ReadSamples reads the picture in f, which is size bytes long, behind the same
// gates as Measure and with the same errors. Pictures in CMYK, and those whose
// profile is broken or maps by tables, are ErrUnsupported: their samples can't
// be brought to light and back.
func ReadSamples(f io.ReaderAt, size int64) (*Samples, error) {
	src := &source{f: f, size: size}
	s, err := readSamples(src)
	if err != nil {
		return nil, src.explain(err)
	}
	return s, nil
}

func readSamples(src *source) (*Samples, error) {
	c, err := open(src)
	if err != nil {
		return nil, err
	}
	if err := c.gate(src.size); err != nil {
		return nil, err
	}
	s, err := c.samples()
	if err != nil {
		return nil, err
	}
	return s, s.openRows(src, c.facts)
}

// openRows finds the way to read the picture's rows.
func (s *Samples) openRows(src *source, f facts) error {
	head, err := src.bytes(0, int(min(src.size, sniffLength)))
	if err != nil {
		return err
	}
	switch sniff(head) {
	case "TIFF", "BigTIFF":
		s.rows, err = tiffRows(src, f)
	case "JPEG":
		s.rows, err = s.wholeRows(decodeWholeJPEG(src))
	case "PNG":
		s.rows, err = s.wholeRows(decodeWholePNG(src))
	default:
		err = unsupported("only TIFF, JPEG and PNG files are taken apart: export as one of them")
	}
	return err
}

// samples is what the facts say of the samples.
func (f facts) samples() (*Samples, error) {
	const advice = "export it as RGB or grey, with a working space's colour profile"
	if f.channels != 1 && f.channels != 3 {
		return nil, unsupported("a picture of %d inks can't be made lighter and darker: %s", f.channels, advice)
	}
	s := &Samples{Width: f.width, Height: f.height, Turn: f.turn, Channels: f.channels, Profile: f.profile}
	enc, err := f.tagged()
	if err != nil && f.profile == nil && f.profileTrash == "" {
		enc, err = encoding{Profile: sRGB}, nil
		s.Assumed = true
	}
	if err != nil {
		return nil, unsupported("the file's colour profile can't be used (%v): %s", err, advice)
	}
	s.Encoding = enc.Name
	s.Weights = []float64{1}
	if f.channels == 3 {
		s.Weights = enc.ToXYZ[1][:]
	}
	for c := range f.channels {
		if enc.Curves[c] == nil {
			return nil, unsupported("the file has a colour profile, %q, that works by tables: %s", enc.Name, advice)
		}
		s.Curves = append(s.Curves, enc.Curves[c])
	}
	return s, nil
}

// Rows calls visit with the rows y = from to to−1, each Width pixels of Channels
// samples. Those of 8 bits are widened, 255 to 65535. A row is good until visit
// returns. The errors are those of ReadSamples.
func (s *Samples) Rows(from, to int, visit func(y int, row []uint16)) error {
	return s.rows(from, to, visit)
}

// tiffRows reads a TIFF, whose facts have passed the gates, by its segments.
func tiffRows(src *source, f facts) (rows, error) {
	dir, err := pictureIFD(src)
	if err != nil {
		return nil, err
	}
	l, err := dir.layout(&f)
	if err != nil {
		return nil, err
	}
	if err := dir.segments(&l, f); err != nil {
		return nil, err
	}
	return func(from, to int, visit func(int, []uint16)) error {
		// The decoder counts what it reads, too; here nobody asks for that.
		enc, _ := f.encoding()
		d := newDecoder(l, src, f, newTally(enc, f))
		read := d.stripRows
		if l.across(f) > 1 {
			read = d.tileRows
		}
		for top := from / l.height * l.height; top < to; top += l.height {
			if err := read(top, from, to, visit); err != nil {
				src.adopt(d.src)
				return src.explain(err)
			}
		}
		return nil
	}, nil
}

// stripRows visits the wanted rows of the strip that begins at top.
func (d *decoder) stripRows(top, from, to int, visit func(int, []uint16)) error {
	if err := d.open(top/d.height, 0); err != nil {
		return err
	}
	row := make([]uint16, d.picture.width*d.picture.channels)
	for y := top; y < min(top+d.height, to); y++ {
		if err := d.row(y, d.picture.width); err != nil {
			return err
		}
		if y >= from {
			d.copyTo(row)
			visit(y, row)
		}
	}
	return nil
}

// tileRows visits the wanted rows of the tiles beside each other that begin at
// top. It holds all of these.
func (d *decoder) tileRows(top, from, to int, visit func(int, []uint16)) error {
	bottom := min(top+d.height, to)
	stride := d.picture.width * d.picture.channels
	band := make([]uint16, (bottom-top)*stride)
	across := d.across(d.picture)
	for i := range across {
		if err := d.open(top/d.height*across+i, 0); err != nil {
			return err
		}
		x := i * d.width
		n := min(d.width, d.picture.width-x)
		for y := top; y < bottom; y++ {
			if err := d.row(y, n); err != nil {
				return err
			}
			d.copyTo(band[(y-top)*stride+x*d.picture.channels:][:n*d.picture.channels])
		}
	}
	for y := max(top, from); y < bottom; y++ {
		visit(y, band[(y-top)*stride:][:stride])
	}
	return nil
}

// copyTo fills row from the row that was decoded last.
func (d *decoder) copyTo(row []uint16) {
	channels := d.picture.channels
	for i := range row {
		at := i/channels*d.step + i%channels
		if d.bytes == 1 {
			row[i] = widen8(d.narrow[at])
		} else {
			row[i] = d.wide[at]
		}
	}
}

func decodeWholeJPEG(src *source) (image.Image, error) {
	src.ended = false
	img, err := jpeg.Decode(io.NewSectionReader(src, 0, src.size))
	if err != nil {
		return nil, jpegError(src, err)
	}
	return img, nil
}

func decodeWholePNG(src *source) (image.Image, error) {
	img, err := png.Decode(bufio.NewReaderSize(io.NewSectionReader(src, 0, src.size), 64<<10))
	var exotic png.UnsupportedError
	if errors.As(err, &exotic) {
		return nil, unsupported("this kind of PNG (%s) is not read: export as a usual one", string(exotic))
	}
	return img, err
}

// wholeRows hands out the rows of a decoded picture.
func (s *Samples) wholeRows(img image.Image, err error) (rows, error) {
	if err != nil {
		return nil, err
	}
	if _, inks := img.(*image.CMYK); inks {
		return nil, unsupported("JPEG files in CMYK are not taken apart: export as TIFF")
	}
	read := s.rowReader(img)
	if b := img.Bounds(); read == nil || b.Dx() != s.Width || b.Dy() != s.Height {
		return nil, broken("the header and the picture data contradict each other: export it again")
	}
	return func(from, to int, visit func(int, []uint16)) error {
		row := make([]uint16, s.Width*s.Channels)
		for y := from; y < to; y++ {
			read(y, row)
			visit(y, row)
		}
		return nil
	}, nil
}

// rowReader is the way to fill a row from the kind of image that was decoded;
// nil when that is none for this many channels.
func (s *Samples) rowReader(img image.Image) func(y int, row []uint16) {
	switch img := img.(type) {
	case *image.RGBA:
		return s.from8(img.Pix, img.Stride, 4)
	case *image.NRGBA: // in grey, too, when it has transparency
		return s.from8(img.Pix, img.Stride, 4)
	case *image.RGBA64:
		return s.from16(img.Pix, img.Stride, 4)
	case *image.NRGBA64:
		return s.from16(img.Pix, img.Stride, 4)
	case *image.Gray:
		if s.Channels == 1 {
			return s.from8(img.Pix, img.Stride, 1)
		}
	case *image.Gray16:
		if s.Channels == 1 {
			return s.from16(img.Pix, img.Stride, 1)
		}
	case *image.YCbCr:
		if s.Channels == 3 {
			return fromYCbCr(img)
		}
	case *image.Paletted:
		if s.Channels == 3 {
			return fromPalette(img)
		}
	}
	return nil
}

// from8 reads samples of 8 bits, step to a pixel of which the first are wanted.
func (s *Samples) from8(pix []uint8, stride, step int) func(int, []uint16) {
	return func(y int, row []uint16) {
		for i := range row {
			row[i] = widen8(pix[y*stride+i/s.Channels*step+i%s.Channels])
		}
	}
}

// from16 does the same for 16 bits, the high byte first.
func (s *Samples) from16(pix []uint8, stride, step int) func(int, []uint16) {
	return func(y int, row []uint16) {
		for i := range row {
			at := y*stride + 2*(i/s.Channels*step+i%s.Channels)
			row[i] = uint16(pix[at])<<8 | uint16(pix[at+1])
		}
	}
}

func fromYCbCr(img *image.YCbCr) func(int, []uint16) {
	across := 1 // columns that share a chroma sample
	for img.COffset(across, 0) == img.COffset(0, 0) {
		across++
	}
	return func(y int, row []uint16) {
		luma, chroma := img.Y[y*img.YStride:][:img.Rect.Dx()], img.COffset(0, y)
		for x, v := range luma {
			c := chroma + x/across
			r, g, b := fullRange.rgb(int32(v), int32(img.Cb[c]), int32(img.Cr[c]))
			row[3*x], row[3*x+1], row[3*x+2] = widen8(r), widen8(g), widen8(b)
		}
	}
}

func fromPalette(img *image.Paletted) func(int, []uint16) {
	var palette [256][3]uint16
	for i, c := range img.Palette {
		opaque := color.NRGBAModel.Convert(c).(color.NRGBA)
		palette[i] = [3]uint16{widen8(opaque.R), widen8(opaque.G), widen8(opaque.B)}
	}
	return func(y int, row []uint16) {
		for x, i := range img.Pix[y*img.Stride:][:img.Rect.Dx()] {
			copy(row[3*x:], palette[i][:])
		}
	}
}

// codeMax is the largest code of a sample of 16 bits.
const codeMax = 65535

// widen8 is an 8-bit sample as one of 16 bits: 255 becomes 65535.
func widen8(v uint8) uint16 { return uint16(v) * 257 }
