package picture

import (
	"encoding/binary"
	"io"
)

// The compressions of TIFF that are read.
const (
	packNone       = 1
	packLZW        = 5
	packDeflate    = 8
	packDeflateOld = 32946
	packBits       = 32773
)

// packRatio is the most that each compression can pack, which also says that it
// is read. LZW: 12 bits for its longest string, 3837 bytes.
var packRatio = map[uint32]float64{
	packNone: 1, packLZW: 2558, packDeflate: deflateRatio, packDeflateOld: deflateRatio, packBits: 64,
}

// layout is how a TIFF's pixels are stored: in segments, which are either strips
// (as wide as the picture) or tiles (cut off at its right and lower edge).
type layout struct {
	order       binary.ByteOrder
	compression uint32
	samples     int  // to a pixel, extra ones included
	bytes       int  // to a sample, 1 or 2
	difference  bool // each sample is stored as its difference from the one before
	inverted    bool // 0 is white

	width, height       int // of a segment
	offsets, byteCounts []uint32
}

// openTIFF reads the first picture of a TIFF. It is read a row at a time, for
// the usual export is a gigabyte that needn't be in memory.
func openTIFF(src *source) (container, error) {
	d, err := firstIFD(src)
	if err != nil {
		return container{}, err
	}
	if err := d.refuseRaw(); err != nil {
		return container{}, err
	}
	f := facts{
		width:  int(d.uint(tagWidth, 0)),
		height: int(d.uint(tagHeight, 0)),
		ppi:    d.ppi(),
		sRGB:   d.sRGB(),
	}
	l, err := d.layout(&f)
	if err != nil {
		return container{}, err
	}
	pixelBytes := float64(l.samples * l.bytes)
	f.least = float64(f.width) * float64(f.height) * pixelBytes / packRatio[l.compression]
	if err := f.gate(src.size); err != nil { // before the segments are believed
		return container{}, err
	}
	if err := d.segments(&l, f); err != nil {
		return container{}, err
	}
	if f.profile, err = d.raw(tagICCProfile, maxProfile); err != nil {
		f.profileTrash = "it lies outside the file"
	}
	return container{f, func(t *tally) error { return l.decode(src, f, t) }}, nil
}

// refuseRaw recognises the cameras' raw files that look like TIFF.
func (d ifd) refuseRaw() error {
	if _, dng := d.fields[tagDNGVersion]; dng {
		return unsupported("camera raw (DNG) files are not read: export as TIFF, JPEG or PNG")
	}
	const reduced = 1
	if _, more := d.fields[tagSubIFDs]; more && d.uint(tagSubfileType, 0)&reduced != 0 {
		return unsupported("camera raw files are not read: export as TIFF, JPEG or PNG")
	}
	return nil
}

// layout reads how the pixels are stored, and adds depth and channels to the facts.
func (d ifd) layout(f *facts) (layout, error) {
	const mostSamples = 16
	l := layout{
		order:       d.order,
		compression: d.uint(tagCompression, packNone),
		samples:     int(d.uint(tagSamplesPerPixel, 1)),
		difference:  d.uint(tagPredictor, 1) == 2,
	}
	switch d.uint(tagPhotometric, absent) {
	case 0:
		f.channels, l.inverted = 1, true
	case 1:
		f.channels = 1
	case 2:
		f.channels = 3
	case 3:
		return l, unsupported("TIFF with a palette is not read: export as RGB")
	case 5:
		return l, unsupported("CMYK pictures are not read yet: export as RGB")
	case 6:
		return l, unsupported("TIFF in Y'CbCr is not read: export as RGB")
	case 8, 9, 10:
		return l, unsupported("TIFF in L*a*b* is not read: export as RGB")
	default:
		return l, unsupported("this kind of TIFF is not read: export as RGB")
	}
	if l.samples < f.channels || l.samples > mostSamples {
		return l, broken("a picture with %d channels makes no sense: export it again", l.samples)
	}
	depth, err := d.commonDepth()
	if err != nil {
		return l, err
	}
	f.depth, l.bytes = depth, depth/8
	f.alpha = l.samples > f.channels && d.uint(tagExtraSamples, 0) != 0
	return l, d.refuseExotic(l)
}

// absent stands for a missing field: no kind of picture has this number.
const absent = 1<<32 - 1

// commonDepth is the bits of every channel: 8 or 16.
func (d ifd) commonDepth() (int, error) {
	depths, err := d.uints(tagBitsPerSample, 16)
	if err != nil {
		return 0, err
	}
	if len(depths) == 0 {
		depths = []uint32{1}
	}
	for _, v := range depths {
		if v != depths[0] {
			return 0, unsupported("TIFF with channels of different depths is not read: export with 8 or 16 bits")
		}
	}
	if v := depths[0]; v != 8 && v != 16 {
		return 0, unsupported("TIFF with %d bits a channel is not read: export with 8 or 16", v)
	}
	return int(depths[0]), nil
}

func (d ifd) refuseExotic(l layout) error {
	switch {
	case packRatio[l.compression] == 0:
		return unsupported("TIFF packed with method %d is not read: export with LZW, ZIP or no compression", l.compression)
	case d.uint(tagSampleFormat, 1) != 1:
		return unsupported("TIFF with floating-point or signed values is not read yet: export with 16 bits")
	case d.uint(tagPredictor, 1) > 2:
		return unsupported("TIFF with floating-point differences is not read yet: export with 16 bits")
	case d.uint(tagPlanar, 1) != 1 && l.samples > 1:
		return unsupported("TIFF with a plane for each channel is not read yet: export with the channels interleaved")
	}
	return nil
}

// segments reads where the strips or tiles are, and sees that all are in the file.
func (d ifd) segments(l *layout, f facts) error {
	offsets, counts := uint16(tagStripOffsets), uint16(tagStripByteCounts)
	l.width = f.width
	l.height = min(int(d.uint(tagRowsPerStrip, absent)), f.height)
	if _, tiled := d.fields[tagTileWidth]; tiled {
		const smallest = 16
		offsets, counts = tagTileOffsets, tagTileByteCounts
		l.width, l.height = int(d.uint(tagTileWidth, 0)), int(d.uint(tagTileHeight, 0))
		if l.width < smallest || l.height < smallest || l.width > maxSide || l.height > maxSide {
			return broken("tiles of %d x %d pixels make no sense: export it again", l.width, l.height)
		}
	}
	if l.height < 1 {
		return broken("strips without rows make no sense: export it again")
	}
	want := ((f.width + l.width - 1) / l.width) * ((f.height + l.height - 1) / l.height)
	var err error
	// A few writers list one segment too many.
	if l.offsets, err = d.uints(offsets, want+1); err != nil {
		return err
	}
	if l.byteCounts, err = d.uints(counts, want+1); err != nil {
		return err
	}
	if len(l.offsets) < want || len(l.byteCounts) < want {
		return broken("parts of the picture are missing from the header's list: export it again")
	}
	l.offsets, l.byteCounts = l.offsets[:want], l.byteCounts[:want]
	for i, at := range l.offsets {
		if int64(at)+int64(l.byteCounts[i]) > d.src.size {
			return io.ErrUnexpectedEOF
		}
	}
	return nil
}
