package scenes

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"image"
	"io"
	"math"
)

// EncodeTIFF writes an RGB TIFF of 8 or 16 bits in strips, in either byte order,
// uncompressed or with Deflate and the horizontal predictor. An uncompressed
// file is streamed; of a compressed one the compressed strips are held.
func EncodeTIFF(w io.Writer, img image.Image, o Options) error {
	b := img.Bounds()
	return EncodeRows(w, b.Dx(), b.Dy(), o, func(y int, row []uint16) {
		for x := range b.Dx() {
			r, g, bl, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			row[3*x], row[3*x+1], row[3*x+2] = uint16(r), uint16(g), uint16(bl)
		}
	})
}

// RowSource fills row y with 16-bit R, G, B. Rows are asked for in order.
type RowSource func(y int, row []uint16)

// tiffLayout is a picture cut into strips.
type tiffLayout struct {
	width, height, depth, rows int
	order                      byteOrder
	deflate                    bool
	level                      int // of Deflate
}

type byteOrder interface {
	binary.ByteOrder
	binary.AppendByteOrder
}

// EncodeRows is [EncodeTIFF] for a picture of which the rows are made as they are
// written.
func EncodeRows(w io.Writer, width, height int, o Options, source RowSource) error {
	l, err := layOut(width, height, o)
	if err != nil {
		return err
	}
	// Only the compressed strips must be made before the directory can be written.
	var packed bytes.Buffer
	sizes := l.plainSizes()
	if l.deflate {
		if sizes, err = l.writeStrips(&packed, source); err != nil {
			return err
		}
	}
	head, err := l.head(o, sizes)
	if err != nil {
		return err
	}
	if _, err := w.Write(head); err != nil {
		return err
	}
	if l.deflate {
		_, err = packed.WriteTo(w)
	} else {
		_, err = l.writeStrips(w, source)
	}
	return err
}

func layOut(width, height int, o Options) (tiffLayout, error) {
	l := tiffLayout{width: width, height: height, rows: o.RowsPerStrip, deflate: o.Deflate,
		level: zlib.DefaultCompression, order: binary.LittleEndian}
	if o.Quick {
		l.level = zlib.BestSpeed
	}
	if err := o.check(image.Rect(0, 0, width, height)); err != nil {
		return l, err
	}
	if o.Order == binary.BigEndian {
		l.order = binary.BigEndian
	}
	if l.rows <= 0 {
		l.rows = 64
	}
	l.rows = min(l.rows, height)
	var err error
	l.depth, err = o.depth()
	return l, err
}

func (l tiffLayout) strips() int   { return (l.height + l.rows - 1) / l.rows }
func (l tiffLayout) rowBytes() int { return l.width * 3 * l.depth / 8 }

func (l tiffLayout) plainSizes() []int {
	sizes := make([]int, l.strips())
	for i := range sizes {
		sizes[i] = l.rowBytes() * min(l.rows, l.height-i*l.rows)
	}
	return sizes
}

// writeStrips writes the strips one after the other and returns their sizes.
func (l tiffLayout) writeStrips(w io.Writer, source RowSource) ([]int, error) {
	sizes := make([]int, l.strips())
	row, out := make([]uint16, 3*l.width), make([]byte, 0, l.rowBytes())
	for i := range sizes {
		count := &counter{w: w}
		var to io.WriteCloser = count
		if l.deflate {
			var err error
			if to, err = zlib.NewWriterLevel(count, l.level); err != nil {
				return nil, err
			}
		}
		for y := i * l.rows; y < min((i+1)*l.rows, l.height); y++ {
			source(y, row)
			out = l.pack(out[:0], row)
			if _, err := to.Write(out); err != nil {
				return nil, err
			}
		}
		if err := to.Close(); err != nil {
			return nil, err
		}
		sizes[i] = count.n
	}
	return sizes, nil
}

// pack appends a row in the file's depth and byte order, after the predictor.
func (l tiffLayout) pack(out []byte, row []uint16) []byte {
	if l.depth == 8 {
		for i, v := range row {
			row[i] = uint16(to8(v))
		}
	}
	if l.deflate {
		for i := len(row) - 1; i >= 3; i-- {
			row[i] -= row[i-3]
		}
	}
	for _, v := range row {
		if l.depth == 8 {
			out = append(out, byte(v))
		} else {
			out = l.order.AppendUint16(out, v)
		}
	}
	return out
}

// counter counts what passes through it.
type counter struct {
	w io.Writer
	n int
}

func (c *counter) Write(p []byte) (int, error) {
	n, err := c.w.Write(p)
	c.n += n
	return n, err
}

func (c *counter) Close() error { return nil }

// Types of a TIFF field.
const (
	tiffShort     = 3
	tiffLong      = 4
	tiffRational  = 5
	tiffUndefined = 7
)

// A field is an entry of the directory; its value is in the file's byte order.
type field struct {
	tag, kind uint16
	count     int
	value     []byte
}

// head returns the file up to its first strip: the header, the directory, the
// values too long for it. The strips follow in order.
func (l tiffLayout) head(o Options, sizes []int) ([]byte, error) {
	// The offsets of the strips depend on the length of the head, which they
	// don't change: lay it out once to learn it.
	start := len(l.directory(l.fields(o, sizes, 0)))
	end := start
	for _, n := range sizes {
		end += n
	}
	if int64(end) > math.MaxUint32 {
		return nil, errors.New("the picture is too large for a TIFF of 4 GB, make it smaller")
	}
	return l.directory(l.fields(o, sizes, start)), nil
}

// fields returns the directory's entries in rising order of tag.
func (l tiffLayout) fields(o Options, sizes []int, start int) []field {
	offsets := make([]int, len(sizes))
	for i, n := range sizes {
		offsets[i] = start
		start += n
	}
	compression, predictor := 1, 1
	if l.deflate {
		compression, predictor = 8, 2
	}
	f := []field{
		l.longs(256, l.width),
		l.longs(257, l.height),
		l.shorts(258, l.depth, l.depth, l.depth),
		l.shorts(259, compression),
		l.shorts(262, 2), // RGB
		l.longs(273, offsets...),
		l.shorts(274, 1), // first row at the top
		l.shorts(277, 3),
		l.longs(278, l.rows),
		l.longs(279, sizes...),
	}
	if o.PPI > 0 {
		f = append(f, l.rational(282, o.PPI), l.rational(283, o.PPI))
	}
	f = append(f, l.shorts(284, 1)) // channels interleaved
	if o.PPI > 0 {
		f = append(f, l.shorts(296, 2)) // resolution in inches
	}
	if l.deflate {
		f = append(f, l.shorts(317, predictor))
	}
	if o.Profile != nil {
		f = append(f, field{34675, tiffUndefined, len(o.Profile), o.Profile})
	}
	return f
}

func (l tiffLayout) shorts(tag uint16, values ...int) field {
	f := field{tag: tag, kind: tiffShort, count: len(values)}
	for _, v := range values {
		f.value = l.order.AppendUint16(f.value, uint16(v))
	}
	return f
}

func (l tiffLayout) longs(tag uint16, values ...int) field {
	f := field{tag: tag, kind: tiffLong, count: len(values)}
	for _, v := range values {
		f.value = l.order.AppendUint32(f.value, uint32(v))
	}
	return f
}

func (l tiffLayout) rational(tag uint16, v float64) field {
	const denominator = 1000
	b := l.order.AppendUint32(nil, uint32(math.Round(v*denominator)))
	return field{tag, tiffRational, 1, l.order.AppendUint32(b, denominator)}
}

// directory writes the header, then one directory, then its long values.
func (l tiffLayout) directory(fields []field) []byte {
	mark := "II"
	if l.order == byteOrder(binary.BigEndian) {
		mark = "MM"
	}
	const header = 8
	b := l.order.AppendUint16([]byte(mark), 42)
	b = l.order.AppendUint32(b, header)
	b = l.order.AppendUint16(b, uint16(len(fields)))
	base := header + 2 + 12*len(fields) + 4
	var long []byte
	for _, f := range fields {
		b = l.order.AppendUint16(b, f.tag)
		b = l.order.AppendUint16(b, f.kind)
		b = l.order.AppendUint32(b, uint32(f.count))
		if len(f.value) <= 4 {
			b = append(append(b, f.value...), make([]byte, 4-len(f.value))...)
			continue
		}
		b = l.order.AppendUint32(b, uint32(base+len(long)))
		long = append(long, f.value...)
		long = append(long, make([]byte, len(long)&1)...)
	}
	b = l.order.AppendUint32(b, 0) // no second directory
	return append(b, long...)
}
