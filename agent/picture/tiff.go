package picture

import (
	"encoding/binary"
	"fmt"
	"io"
)

// The compressions of TIFF.
const (
	packNone       = 1
	packLZW        = 5
	packJPEGOld    = 6 // not read
	packJPEG       = 7 // not read
	packDeflate    = 8
	packDeflateOld = 32946
	packBits       = 32773
)

// packRatio is the most that each compression can pack, which also says that it
// is read. LZW: 12 bits for its longest string, 3837 bytes.
var packRatio = map[uint64]float64{
	packNone: 1, packLZW: 2558, packDeflate: deflateRatio, packDeflateOld: deflateRatio, packBits: 64,
}

// packNames are the compressions that are not read and have a name: those of TIFF
// 6.0 and its supplements, and the numbers that libraries have agreed on since.
var packNames = map[uint64]string{
	2: "CCITT fax coding", 3: "CCITT fax coding", 4: "CCITT fax coding", 32771: "CCITT fax coding",
	packJPEGOld: "JPEG", packJPEG: "JPEG", 34892: "JPEG",
	9: "JBIG", 10: "JBIG", 34661: "JBIG", 34715: "JBIG2",
	33003: "JPEG 2000", 33004: "JPEG 2000", 33005: "JPEG 2000", 34712: "JPEG 2000",
	22610: "JPEG XR", 34934: "JPEG XR", 50002: "JPEG XL", 52546: "JPEG XL",
	34676: "LogLuv", 34677: "LogLuv",
	34887: "LERC", 34925: "LZMA", 34926: "ZSTD", 50000: "ZSTD", 34927: "WebP", 50001: "WebP",
}

// The ways in which a sample is stored as its difference from the one before
// (TIFF 6.0, section 14; Adobe's technical note 3).
const (
	predictNothing    = 1
	predictHorizontal = 2 // as a whole number
	predictFloat      = 3 // byte by byte, the most significant bytes of a row first
)

// layout is how a TIFF's pixels are stored: in segments, which are either strips
// (as wide as the picture) or tiles (cut off at its right and lower edge).
type layout struct {
	order       binary.ByteOrder
	compression uint64
	samples     int // to a pixel, extra ones included
	bytes       int // to a sample: 1, 2, or 4, which is a floating-point number
	predictor   uint64
	planar      bool       // each sample of a pixel is in a segment of its own
	inverted    bool       // 0 is white
	palette     [][3]uint8 // what the one sample stands for, or nil

	width, height       int // of a segment
	offsets, byteCounts []uint64
}

// openTIFF reads the first picture of a TIFF or BigTIFF, past thumbnails. It is read a row at a
// time, for the usual export is a gigabyte that needn't be in memory.
func openTIFF(src *source) (container, error) {
	d, err := pictureIFD(src)
	if err != nil {
		return container{}, err
	}
	f := facts{
		width:  int(d.uint(tagWidth, 0)),
		height: int(d.uint(tagHeight, 0)),
		ppi:    d.ppi(),
		sRGB:   d.sRGB(),
		turn:   d.turn(),
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

// pictureIFD reads the directory of the picture itself.
func pictureIFD(src *source) (ifd, error) {
	d, err := firstIFD(src)
	if err != nil {
		return d, err
	}
	if err := d.refuseRaw(); err != nil {
		return d, err
	}
	return d.whole()
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

// mostSamples is how many samples a pixel may have, extra ones included.
const mostSamples = 16

// layout reads how the pixels are stored, and adds depth and channels to the facts.
func (d ifd) layout(f *facts) (layout, error) {
	l := layout{
		order:       d.order,
		compression: d.uint(tagCompression, packNone),
		samples:     int(d.uint(tagSamplesPerPixel, 1)),
		predictor:   d.uint(tagPredictor, predictNothing),
	}
	// First, for it is what decides on much of the rest: JPEG on Y'CbCr, fax coding on a
	// depth of one bit.
	if err := l.refusePacking(); err != nil {
		return l, err
	}
	if l.samples < 1 || l.samples > mostSamples {
		return l, broken("a picture with %d channels makes no sense: export it again", l.samples)
	}
	var err error
	if f.depth, err = d.commonDepth(); err != nil {
		return l, err
	}
	l.bytes = f.depth / 8
	l.planar = d.uint(tagPlanar, 1) == 2 && l.samples > 1
	if err := d.interpretation(&l, f); err != nil {
		return l, err
	}
	stored := l.stored(*f)
	if l.samples < stored {
		return l, broken("a picture with %d channels makes no sense: export it again", l.samples)
	}
	f.alpha = l.samples > stored && d.uint(tagExtraSamples, 0) != 0
	return l, d.refuseExotic(l)
}

// interpretation reads what the samples mean.
func (d ifd) interpretation(l *layout, f *facts) error {
	const inksCMYK = 1
	switch d.uint(tagPhotometric, absent) {
	case 0:
		f.channels, l.inverted = 1, true
	case 1:
		f.channels = 1
	case 2:
		f.channels = 3
	case 3:
		f.channels = 3
		return d.palette(l)
	case 5:
		f.channels = 4
		if set := d.uint(tagInkSet, inksCMYK); set != inksCMYK {
			return unsupported("TIFF with inks other than CMYK is not read: export as RGB")
		}
	case 6:
		return unsupported("TIFF in Y'CbCr is not read: export as RGB")
	case 8, 9, 10:
		return unsupported("TIFF in L*a*b* is not read: export as RGB")
	default:
		return unsupported("this kind of TIFF is not read: export as RGB")
	}
	return nil
}

// palette reads the colours of a picture with a palette: all reds, all greens,
// all blues, 16 bits each, of which the upper 8 are as many as there are colours.
func (d ifd) palette(l *layout) error {
	const colours = 256
	if l.bytes != 1 {
		return unsupported("TIFF with a palette of more than %d colours is not read: export as RGB", colours)
	}
	table, err := d.uints(tagColorMap, 3*colours)
	if err != nil {
		return err
	}
	if len(table) != 3*colours {
		return broken("the picture's palette is damaged: export it again")
	}
	l.palette = make([][3]uint8, colours)
	for i := range l.palette {
		for c := range 3 {
			l.palette[i][c] = uint8(table[c*colours+i] >> 8)
		}
	}
	return nil
}

// stored is the number of samples that the colour of a pixel is made of.
func (l layout) stored(f facts) int {
	if l.palette != nil {
		return 1
	}
	return f.channels
}

// absent stands for a missing field: no kind of picture has this number.
const absent = 1<<64 - 1

// commonDepth is the bits of every channel: 8, 16, or 32 of a floating-point number.
func (d ifd) commonDepth() (int, error) {
	depths, err := d.uints(tagBitsPerSample, 16)
	if err != nil {
		return 0, err
	}
	if len(depths) == 0 {
		depths = []uint64{1}
	}
	for _, v := range depths {
		if v != depths[0] {
			return 0, unsupported("TIFF with channels of different depths is not read: export with 8 or 16 bits")
		}
	}
	const whole, floating = 1, 3
	switch format, bits := d.uint(tagSampleFormat, whole), depths[0]; {
	case format == whole && (bits == 8 || bits == 16), format == floating && bits == 32:
		return int(bits), nil
	case format == floating:
		return 0, unsupported("TIFF with floating-point values of %d bits is not read: export with 16 bits", bits)
	case format != whole:
		return 0, unsupported("TIFF with signed or complex values is not read: export with 16 bits")
	default:
		return 0, unsupported("TIFF with %d bits a channel is not read: export with 8 or 16", bits)
	}
}

// refusePacking names the compression that isn't read, and what to export instead.
func (l layout) refusePacking() error {
	if packRatio[l.compression] != 0 {
		return nil
	}
	name := packNames[l.compression]
	if name == "" {
		name = fmt.Sprintf("method %d", l.compression)
	}
	sentence := "TIFF packed with %s is not read: export with LZW, ZIP or no compression"
	switch name {
	case "JPEG":
		sentence = "TIFF packed with %s is not read: export with LZW, ZIP or no compression, or as a JPEG file"
	case "CCITT fax coding", "JBIG", "JBIG2": // they pack one bit a pixel
		sentence = "TIFF packed with %s is not read: export with 8 or 16 bits a channel and LZW, ZIP or no compression"
	}
	return unsupported(sentence, name)
}

func (d ifd) refuseExotic(l layout) error {
	const lsbFirst = 2
	switch {
	case l.predictor < predictNothing || l.predictor > predictFloat || l.predictor == predictFloat && l.bytes != 4:
		return unsupported("TIFF with differences of kind %d is not read: export without a predictor", l.predictor)
	case d.uint(tagFillOrder, 1) == lsbFirst && l.compression != packNone:
		return unsupported("TIFF with its bits in reverse order is not read: export it anew")
	}
	return nil
}

// segments reads where the strips or tiles are, and sees that all are in the file.
func (d ifd) segments(l *layout, f facts) error {
	offsets, counts := uint16(tagStripOffsets), uint16(tagStripByteCounts)
	l.width = f.width
	l.height = int(min(d.uint(tagRowsPerStrip, absent), uint64(f.height)))
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
	want := l.across(f) * ((f.height + l.height - 1) / l.height)
	if l.planar {
		want *= l.samples
	}
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
	size := uint64(d.src.size)
	for i, at := range l.offsets {
		if at > size || l.byteCounts[i] > size-at {
			return io.ErrUnexpectedEOF
		}
	}
	return nil
}

// across is the number of segments from left to right.
func (l layout) across(f facts) int { return (f.width + l.width - 1) / l.width }
