package picture

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
)

// The fields of TIFF (revision 6.0), EXIF and DNG that matter here.
const (
	tagSubfileType     = 254
	tagWidth           = 256
	tagHeight          = 257
	tagBitsPerSample   = 258
	tagCompression     = 259
	tagPhotometric     = 262
	tagFillOrder       = 266
	tagStripOffsets    = 273
	tagOrientation     = 274
	tagSamplesPerPixel = 277
	tagRowsPerStrip    = 278
	tagStripByteCounts = 279
	tagXResolution     = 282
	tagPlanar          = 284
	tagResolutionUnit  = 296
	tagPredictor       = 317
	tagColorMap        = 320
	tagTileWidth       = 322
	tagTileHeight      = 323
	tagTileOffsets     = 324
	tagTileByteCounts  = 325
	tagSubIFDs         = 330
	tagInkSet          = 332
	tagExtraSamples    = 338
	tagSampleFormat    = 339
	tagICCProfile      = 34675
	tagEXIF            = 34665
	tagColorSpace      = 40961
	tagDNGVersion      = 50706
)

// The field types that are read, with the bytes that one value takes. The last
// three are BigTIFF's and those of offsets to directories.
const (
	typeByte      = 1
	typeShort     = 3
	typeLong      = 4
	typeRational  = 5
	typeUndefined = 7
	typeIFD       = 13
	typeLong8     = 16
	typeIFD8      = 18
)

var typeSize = map[uint16]int64{
	typeByte: 1, typeShort: 2, typeLong: 4, typeRational: 8, typeUndefined: 1, typeIFD: 4, typeLong8: 8, typeIFD8: 8,
}

// ifd is an image file directory.
type ifd struct {
	src    *source
	order  binary.ByteOrder
	big    bool // BigTIFF: counts and offsets of 64 bits
	fields map[uint16]field
	end    int64 // of its fields, where the offset of the next directory is
}

// field is a directory entry whose values have not been read yet.
type field struct {
	kind  uint16
	count uint64
	value []byte // the values if they fit, else where they are
}

// firstIFD reads the directory that the header of a TIFF leads to.
func firstIFD(src *source) (ifd, error) {
	head, err := src.bytes(0, 8)
	if err != nil {
		return ifd{}, err
	}
	d := ifd{src: src, order: binary.LittleEndian}
	if head[0] == 'M' {
		d.order = binary.BigEndian
	}
	at := uint64(d.order.Uint32(head[4:]))
	const bigVersion = 43
	if d.order.Uint16(head[2:]) == bigVersion {
		d.big = true
		if d.order.Uint16(head[4:]) != 8 || d.order.Uint16(head[6:]) != 0 {
			return d, broken("the header of this BigTIFF makes no sense: export it again")
		}
		if head, err = src.bytes(8, 8); err != nil {
			return d, err
		}
		at = d.order.Uint64(head)
	}
	if at == 0 { // the last thing that a careful writer fills in
		return d, io.ErrUnexpectedEOF
	}
	return d, d.read(at)
}

// mostThumbnails bounds the walk to the picture itself: directories may go in circles.
const mostThumbnails = 8

// whole is the first directory from d on that isn't a smaller copy of another
// picture: some programs put a thumbnail first. Where there is none, it is d.
func (d ifd) whole() (ifd, error) {
	const reduced = 1
	w := d
	for range mostThumbnails {
		if w.uint(tagSubfileType, 0)&reduced == 0 {
			return w, nil
		}
		at, err := w.next()
		if err != nil || at == 0 {
			return d, err
		}
		w = ifd{src: d.src, order: d.order, big: d.big}
		if err := w.read(at); err != nil {
			return d, err
		}
	}
	return d, nil
}

// next is where the directory after d is; 0: there is none.
func (d ifd) next() (uint64, error) {
	if d.big {
		b, err := d.src.bytes(d.end, 8)
		if err != nil {
			return 0, err
		}
		return d.order.Uint64(b), nil
	}
	b, err := d.src.bytes(d.end, 4)
	if err != nil {
		return 0, err
	}
	return uint64(d.order.Uint32(b)), nil
}

// read fills in the directory at an offset. Those that may follow it are not
// looked at.
func (d *ifd) read(at uint64) error {
	countSize, entry := 2, 12
	if d.big {
		countSize, entry = 8, 20
	}
	if at > uint64(d.src.size) {
		d.src.ended = true
		return io.ErrUnexpectedEOF
	}
	head, err := d.src.bytes(int64(at), countSize)
	if err != nil {
		return err
	}
	count := uint64(d.order.Uint16(head))
	if d.big {
		count = d.order.Uint64(head)
	}
	const mostFields = 1<<16 - 1
	if count > mostFields {
		return broken("the header promises %d fields: export it again", count)
	}
	table, err := d.src.bytes(int64(at)+int64(countSize), entry*int(count))
	if err != nil {
		return err
	}
	d.end = int64(at) + int64(countSize) + int64(len(table))
	d.fields = map[uint16]field{}
	for ; len(table) > 0; table = table[entry:] {
		f := field{kind: d.order.Uint16(table[2:]), count: uint64(d.order.Uint32(table[4:])), value: table[8:12]}
		if d.big {
			f.count, f.value = d.order.Uint64(table[4:]), table[12:20]
		}
		d.fields[d.order.Uint16(table)] = f
	}
	return nil
}

// raw is the bytes of a field's values: nil when the field is missing or of an
// unknown type, an error when it has more than most values or lies outside the file.
func (d ifd) raw(tag uint16, most int) ([]byte, error) {
	f, ok := d.fields[tag]
	size := typeSize[f.kind]
	if !ok || size == 0 {
		return nil, nil
	}
	if f.count > uint64(most) {
		return nil, broken("field %d of the header has %d values: export it again", tag, f.count)
	}
	n := int(size) * int(f.count)
	if n <= len(f.value) {
		return f.value[:n], nil
	}
	at := uint64(d.order.Uint32(f.value))
	if d.big {
		at = d.order.Uint64(f.value)
	}
	if at > uint64(d.src.size) {
		d.src.ended = true
		return nil, io.ErrUnexpectedEOF
	}
	return d.src.bytes(int64(at), n)
}

// uints is a field's whole numbers, at most most of them.
func (d ifd) uints(tag uint16, most int) ([]uint64, error) {
	b, err := d.raw(tag, most)
	if err != nil || b == nil {
		return nil, err
	}
	kind := d.fields[tag].kind
	size := int(typeSize[kind])
	list := make([]uint64, 0, len(b)/size)
	for ; len(b) > 0; b = b[size:] {
		switch kind {
		case typeByte:
			list = append(list, uint64(b[0]))
		case typeShort:
			list = append(list, uint64(d.order.Uint16(b)))
		case typeLong, typeIFD:
			list = append(list, uint64(d.order.Uint32(b)))
		case typeLong8, typeIFD8:
			list = append(list, d.order.Uint64(b))
		}
	}
	return list, nil
}

// uint is a field's one number; missing when there is none.
func (d ifd) uint(tag uint16, missing uint64) uint64 {
	// More than one value is read, too: some writers repeat it for each channel.
	list, err := d.uints(tag, 16)
	if err != nil || len(list) == 0 {
		return missing
	}
	return list[0]
}

// ppi is the resolution; NaN when it, or its unit, is missing.
func (d ifd) ppi() float64 {
	b, err := d.raw(tagXResolution, 1)
	if err != nil || d.fields[tagXResolution].kind != typeRational || len(b) != 8 {
		return math.NaN()
	}
	v := float64(d.order.Uint32(b)) / float64(d.order.Uint32(b[4:]))
	const inch, centimetre = 2, 3
	switch d.uint(tagResolutionUnit, inch) {
	case inch:
		return ppiOf(v, 1)
	case centimetre:
		return ppiOf(v, 2.54)
	}
	return math.NaN()
}

// sRGB tells whether the EXIF directory under d declares sRGB.
func (d ifd) sRGB() bool {
	at := d.uint(tagEXIF, 0)
	if at == 0 {
		return false
	}
	sub := ifd{src: d.src, order: d.order, big: d.big}
	return sub.read(at) == nil && sub.uint(tagColorSpace, 0) == 1
}

// exif is what is wanted of the EXIF in a file that is no TIFF.
type exif struct {
	ppi  float64
	sRGB bool
	turn Turn
}

// readEXIF reads EXIF, which is a small TIFF. A damaged one says
// nothing: the picture doesn't depend on it.
func readEXIF(b []byte) exif {
	d, err := firstIFD(&source{f: bytes.NewReader(b), size: int64(len(b))})
	if err != nil {
		return exif{ppi: math.NaN()}
	}
	return exif{ppi: d.ppi(), sRGB: d.sRGB(), turn: d.turn()}
}
