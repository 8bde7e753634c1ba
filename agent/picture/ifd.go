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
	tagStripOffsets    = 273
	tagSamplesPerPixel = 277
	tagRowsPerStrip    = 278
	tagStripByteCounts = 279
	tagXResolution     = 282
	tagPlanar          = 284
	tagResolutionUnit  = 296
	tagPredictor       = 317
	tagTileWidth       = 322
	tagTileHeight      = 323
	tagTileOffsets     = 324
	tagTileByteCounts  = 325
	tagSubIFDs         = 330
	tagExtraSamples    = 338
	tagSampleFormat    = 339
	tagICCProfile      = 34675
	tagEXIF            = 34665
	tagColorSpace      = 40961
	tagDNGVersion      = 50706
)

// The field types that are read, with the bytes that one value takes.
const (
	typeByte      = 1
	typeShort     = 3
	typeLong      = 4
	typeRational  = 5
	typeUndefined = 7
)

var typeSize = map[uint16]int64{typeByte: 1, typeShort: 2, typeLong: 4, typeRational: 8, typeUndefined: 1}

// ifd is an image file directory.
type ifd struct {
	src    *source
	order  binary.ByteOrder
	fields map[uint16]field
}

// field is a directory entry whose values have not been read yet.
type field struct {
	kind  uint16
	count uint32
	value [4]byte // the values if they fit, else where they are
}

// firstIFD reads the directory that the header of a TIFF leads to.
func firstIFD(src *source) (ifd, error) {
	head, err := src.bytes(0, 8)
	if err != nil {
		return ifd{}, err
	}
	var order binary.ByteOrder = binary.LittleEndian
	if head[0] == 'M' {
		order = binary.BigEndian
	}
	at := order.Uint32(head[4:])
	if at == 0 { // the last thing that a careful writer fills in
		return ifd{}, io.ErrUnexpectedEOF
	}
	return readIFD(src, order, at)
}

func readIFD(src *source, order binary.ByteOrder, at uint32) (ifd, error) {
	d := ifd{src, order, map[uint16]field{}}
	head, err := src.bytes(int64(at), 2)
	if err != nil {
		return d, err
	}
	const entry = 12
	table, err := src.bytes(int64(at)+2, entry*int(order.Uint16(head)))
	if err != nil {
		return d, err
	}
	for ; len(table) > 0; table = table[entry:] {
		d.fields[order.Uint16(table)] = field{
			kind:  order.Uint16(table[2:]),
			count: order.Uint32(table[4:]),
			value: [4]byte(table[8:12]),
		}
	}
	return d, nil
}

// raw is the bytes of a field's values: nil when the field is missing or of an
// unknown type, an error when it has more than most values or lies outside the file.
func (d ifd) raw(tag uint16, most int) ([]byte, error) {
	f, ok := d.fields[tag]
	size := typeSize[f.kind]
	if !ok || size == 0 {
		return nil, nil
	}
	if int64(f.count) > int64(most) {
		return nil, broken("field %d of the header has %d values: export it again", tag, f.count)
	}
	n := int(size) * int(f.count)
	if n <= len(f.value) {
		return f.value[:n], nil
	}
	return d.src.bytes(int64(d.order.Uint32(f.value[:])), n)
}

// uints is a field's whole numbers, at most most of them.
func (d ifd) uints(tag uint16, most int) ([]uint32, error) {
	b, err := d.raw(tag, most)
	if err != nil || b == nil {
		return nil, err
	}
	var list []uint32
	switch d.fields[tag].kind {
	case typeByte:
		for _, v := range b {
			list = append(list, uint32(v))
		}
	case typeShort:
		for ; len(b) > 0; b = b[2:] {
			list = append(list, uint32(d.order.Uint16(b)))
		}
	case typeLong:
		for ; len(b) > 0; b = b[4:] {
			list = append(list, d.order.Uint32(b))
		}
	}
	return list, nil
}

// uint is a field's one number; missing when there is none.
func (d ifd) uint(tag uint16, missing uint32) uint32 {
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
	sub, err := readIFD(d.src, d.order, at)
	return err == nil && sub.uint(tagColorSpace, 0) == 1
}

// exif is what is wanted of a JPEG's EXIF segment.
type exif struct {
	ppi  float64
	sRGB bool
}

// readEXIF reads an EXIF segment, which is a small TIFF. A damaged one says
// nothing: the picture doesn't depend on it.
func readEXIF(b []byte) exif {
	d, err := firstIFD(&source{f: bytes.NewReader(b), size: int64(len(b))})
	if err != nil {
		return exif{ppi: math.NaN()}
	}
	return exif{ppi: d.ppi(), sRGB: d.sRGB()}
}
