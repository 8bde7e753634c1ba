package picture

import (
	"encoding/binary"
	"io"
	"math"
	"sync"
	"sync/atomic"
)

// decoders is how many goroutines decode one TIFF, each with a row, a codec's
// window and a tally of its own: two, whatever the machine has, for the editor
// needs the others.
const decoders = 2

// bandRows is how many rows of an unpacked strip one goroutine takes at a time:
// some writers make a single strip of all the picture.
const bandRows = 64

// Of a large packed picture in many thin strips, as some programs write it, one
// strip in sparseStrips is read. Thicker strips, or fewer, would be an uneven
// sample: what is next to each other is alike.
const (
	sparseStrips = 4
	thinStrip    = 4          // rows
	manyStrips   = 1000       // that the sample is taken from
	largePixels  = 20_000_000 // of smaller pictures all strips are read
)

// thin tells whether a picture is read by a sample of its strips.
func (l layout) thin(f facts) bool {
	return l.compression != packNone && l.width == f.width && l.height <= thinStrip &&
		f.height >= manyStrips*l.height && f.width*f.height >= largePixels
}

// inSample tells whether a strip is the one of its group that is read. Which one
// changes without a pattern, lest it meet a pattern in the picture.
func inSample(strip int) bool {
	group := uint32(strip / sparseStrips)
	return uint32(strip%sparseStrips) == group*2654435761>>16%sparseStrips // Knuth's multiplicative hash
}

// decode sends the pixels to the tally, a row of a segment at a time: all of them,
// or in large pictures of thin strips a sample.
func (l layout) decode(src *source, f facts, t *tally) error {
	crew := []*decoder{newDecoder(l, src, f, t)}
	for len(crew) < decoders && f.width*f.height >= smallPixels {
		crew = append(crew, newDecoder(l, src, f, t.fork()))
	}
	var queue pieces
	var wait sync.WaitGroup
	for _, d := range crew {
		wait.Go(func() { d.work(&queue) })
	}
	wait.Wait()
	first := crew[0]
	for _, d := range crew[1:] {
		src.adopt(d.src)
		t.join(d.tally)
		if d.err != nil && (first.err == nil || d.piece < first.piece) {
			first = d
		}
	}
	src.adopt(crew[0].src)
	return first.err
}

// pieces hands out the pieces of a picture by number, until one has failed.
type pieces struct {
	next   atomic.Int64
	failed atomic.Bool
}

// decoder is one of the goroutines that decode a picture.
type decoder struct {
	layout
	picture facts

	src   *source // of its own: a source is not for sharing
	tally *tally

	unpack   []unpacker // one for each plane
	together int        // samples of a pixel in a plane
	raw      []byte     // a row of a plane as it is stored
	plane    []uint16   // the same as numbers, where it is one of several

	narrow []uint8  // a row of 8-bit samples,
	wide   []uint16 // or of 16-bit ones, of which
	step   int      // belong to a pixel

	piece int // the number of the last piece, and what was wrong with it
	err   error
}

func newDecoder(l layout, src *source, f facts, t *tally) *decoder {
	d := &decoder{
		layout: l, picture: f, src: &source{f: src.f, size: src.size}, tally: t,
		unpack: make([]unpacker, 1), together: l.samples, step: l.samples,
	}
	if l.planar {
		d.together = 1
		d.unpack = make([]unpacker, l.stored(f))
		d.plane = make([]uint16, l.width)
	}
	if l.planar || l.palette != nil {
		d.step = f.channels
	}
	d.raw = make([]byte, l.width*d.together*l.bytes)
	switch {
	case l.bytes > 1:
		d.wide = make([]uint16, l.width*d.step)
	case l.planar || l.palette != nil:
		d.narrow = make([]uint8, l.width*d.step)
	default:
		d.narrow = d.raw
	}
	return d
}

// work decodes pieces until there are no more.
func (d *decoder) work(queue *pieces) {
	for !queue.failed.Load() {
		d.piece = int(queue.next.Add(1) - 1)
		more, err := d.decodePiece(d.piece)
		if err != nil {
			d.err = err
			queue.failed.Store(true)
		}
		if !more {
			return
		}
	}
}

// decodePiece decodes the piece of a number: a segment, or of an unpacked strip
// a band. It tells whether there can be more.
func (d *decoder) decodePiece(number int) (more bool, err error) {
	bands, rows := 1, d.height
	if d.compression == packNone {
		rows = min(rows, bandRows)
		bands = (d.height + rows - 1) / rows
	}
	segment, above := number/bands, number%bands*rows
	across := d.across(d.picture)
	x, y := segment%across*d.width, segment/across*d.height
	if y >= d.picture.height {
		return false, nil
	}
	if d.thin(d.picture) && !inSample(segment) {
		return true, nil
	}
	end := min(y+d.height, y+above+rows, d.picture.height)
	if err := d.open(segment, above); err != nil {
		return false, err
	}
	valid := min(d.width, d.picture.width-x)
	for y += above; y < end; y++ {
		if err := d.row(y, valid); err != nil {
			return false, err
		}
	}
	return true, nil
}

// open prepares for reading a segment, from a row on that is not its first only
// where nothing is packed.
func (d *decoder) open(segment, above int) error {
	ofPlane := len(d.offsets) / d.samples // segments, if planar
	for p := range d.unpack {
		i := segment + p*ofPlane
		at, size := d.offsets[i], d.byteCounts[i]
		skip := min(uint64(above*len(d.raw)), size)
		packed := io.NewSectionReader(d.src, int64(at+skip), int64(size-skip))
		if err := d.unpack[p].open(d.compression, packed); err != nil {
			return err
		}
	}
	return nil
}

// row sends the next row of a segment to the tally: y in the picture, of which
// so many pixels are in it.
func (d *decoder) row(y, pixels int) error {
	if err := d.next(); err != nil {
		return err
	}
	if d.bytes == 1 {
		tallySamples(d.tally, y, d.narrow[:pixels*d.step], d.step, d.picture.channels)
	} else {
		tallySamples(d.tally, y, d.wide[:pixels*d.step], d.step, d.picture.channels)
	}
	return nil
}

// next reads the next row of a segment, into narrow or wide.
func (d *decoder) next() error {
	for p := range d.unpack {
		if _, err := io.ReadFull(d.unpack[p].r, d.raw); err != nil {
			return err
		}
		if d.bytes == 1 {
			d.arrange8(p)
		} else {
			d.arrange16(p)
		}
	}
	return nil
}

// arrange8 makes 8-bit samples of a row of plane p.
func (d *decoder) arrange8(p int) {
	undo(d.layout, d.raw, d.together)
	switch {
	case d.palette != nil:
		for i := range d.width {
			copy(d.narrow[3*i:], d.palette[d.raw[i*d.together]][:])
		}
	case d.planar:
		spread(d.narrow[p:], d.raw, d.step)
	}
}

// arrange16 makes 16-bit samples of a row of plane p.
func (d *decoder) arrange16(p int) {
	if d.planar {
		d.widen(d.plane, d.raw, 1)
		spread(d.wide[p:], d.plane, d.step)
	} else {
		d.widen(d.wide, d.raw, d.samples)
	}
}

// spread puts the samples of one channel between those of the others.
func spread[T uint8 | uint16](row, plane []T, step int) {
	for i, v := range plane {
		row[i*step] = v
	}
}

// widen makes 16-bit samples of a row as it is stored.
func (l layout) widen(wide []uint16, raw []byte, samples int) {
	if l.bytes == 4 {
		l.round(wide, raw, samples)
		return
	}
	wide = wide[:len(raw)/2]
	if l.order == binary.ByteOrder(binary.BigEndian) {
		for i := range wide {
			wide[i] = binary.BigEndian.Uint16(raw[2*i:])
		}
	} else {
		for i := range wide {
			wide[i] = binary.LittleEndian.Uint16(raw[2*i:])
		}
	}
	undo(l, wide, samples)
}

// undo takes back what the layout did to a row of whole numbers.
func undo[T uint8 | uint16](l layout, row []T, samples int) {
	if l.predictor == predictHorizontal {
		addUp(row, samples)
	}
	if l.inverted {
		for i := range row {
			row[i] = ^row[i]
		}
	}
}

// addUp makes values of differences.
func addUp[T uint8 | uint16](row []T, samples int) {
	if samples == 3 { // the usual case, worth keeping in registers
		var r, g, b T
		for ; len(row) >= 3; row = row[3:] {
			r, g, b = r+row[0], g+row[1], b+row[2]
			row[0], row[1], row[2] = r, g, b
		}
		return
	}
	before := row
	for i := samples; i < len(row); i++ {
		row[i] += before[i-samples]
	}
}

// round makes 16-bit samples of floating-point ones, for which 1 is full and
// anything else is cut off: a print has nothing brighter than white.
func (l layout) round(wide []uint16, raw []byte, samples int) {
	n := len(raw) / 4
	if l.predictor == predictFloat {
		addUp(raw, samples)
	}
	var before [mostSamples]uint32
	for i := range wide[:n] {
		var word uint32
		if l.predictor == predictFloat {
			word = uint32(raw[i])<<24 | uint32(raw[n+i])<<16 | uint32(raw[2*n+i])<<8 | uint32(raw[3*n+i])
		} else {
			word = l.order.Uint32(raw[4*i:])
		}
		if l.predictor == predictHorizontal {
			word += before[i%samples]
			before[i%samples] = word
		}
		wide[i] = codeOf(math.Float32frombits(word))
		if l.inverted {
			wide[i] = ^wide[i]
		}
	}
}

// codeOf is the 16-bit code of a floating-point sample; 0 for NaN, too.
func codeOf(v float32) uint16 {
	if v > 0 {
		return uint16(min(float64(v), 1)*codeMax + 0.5)
	}
	return 0
}

func tallySamples[T uint8 | uint16](t *tally, y int, row []T, step, channels int) {
	switch channels {
	case 1:
		addGrey(t, y, row, step)
	case 3:
		addRGB(t, y, row, step)
	case 4:
		addCMYK(t, y, row, step)
	}
}
