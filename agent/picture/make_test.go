package picture

import (
	"bytes"
	"cmp"
	"compress/zlib"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"slices"
	"testing"
)

// The makers of test files: pictures by the standard library's encoders, with
// what those leave out put in, and a small TIFF writer.

// testValue is the sample of a test picture, w x h: ramps across and down, and
// no two channels alike.
func testValue(w, h, x, y, c int) uint16 {
	switch c {
	case 0:
		return uint16(65535 * x / (w - 1))
	case 1:
		return uint16(65535 * y / (h - 1))
	default:
		return uint16(65535 * (x + y) / (w + h - 2))
	}
}

// testRGB is the test picture with 8 bits a channel.
func testRGB(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetNRGBA(x, y, color.NRGBA{
				uint8(testValue(w, h, x, y, 0) >> 8),
				uint8(testValue(w, h, x, y, 1) >> 8),
				uint8(testValue(w, h, x, y, 2) >> 8), 255,
			})
		}
	}
	return img
}

// testRGB16 is the test picture with 16 bits a channel.
func testRGB16(w, h int) *image.NRGBA64 {
	img := image.NewNRGBA64(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetNRGBA64(x, y, color.NRGBA64{
				testValue(w, h, x, y, 0), testValue(w, h, x, y, 1), testValue(w, h, x, y, 2), 65535,
			})
		}
	}
	return img
}

func testGrey(w, h int) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetGray(x, y, color.Gray{uint8(testValue(w, h, x, y, 0) >> 8)})
		}
	}
	return img
}

func flat(w, h int, c color.NRGBA) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for i := 0; i < len(img.Pix); i += 4 {
		copy(img.Pix[i:], []byte{c.R, c.G, c.B, c.A})
	}
	return img
}

// makeJPEG encodes img and puts segments (marker, body) after its first marker.
func makeJPEG(t testing.TB, img image.Image, segments ...[]byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return slices.Concat(b.Bytes()[:2], slices.Concat(segments...), b.Bytes()[2:])
}

func segment(marker byte, body string) []byte {
	b := []byte{0xff, marker, 0, 0}
	binary.BigEndian.PutUint16(b[2:], uint16(len(body)+2))
	return append(b, body...)
}

// iccSegments spreads a profile over n segments.
func iccSegments(profile []byte, n int) []byte {
	var all []byte
	for i := range n {
		part := profile[i*len(profile)/n : (i+1)*len(profile)/n]
		all = append(all, segment(markerAPP2, "ICC_PROFILE\x00"+string([]byte{byte(i + 1), byte(n)})+string(part))...)
	}
	return all
}

// makePNG encodes img and puts chunks after its header.
func makePNG(t testing.TB, img image.Image, chunks ...[]byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	const header = 8 + 25
	return slices.Concat(b.Bytes()[:header], slices.Concat(chunks...), b.Bytes()[header:])
}

func chunk(kind, body string) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(b, kind+body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

func iccChunk(profile []byte) []byte {
	return chunk("iCCP", "name\x00\x00"+string(deflated(profile)))
}

func deflated(b []byte) []byte {
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	_, _ = z.Write(b) // a bytes.Buffer takes all
	_ = z.Close()
	return packed.Bytes()
}

// sheet is a TIFF to be made, with testValue's picture in it.
type sheet struct {
	order       binary.AppendByteOrder // nil: little-endian
	w, h        int
	bits        int
	channels    int // 1 or 3
	extra       int // further samples to a pixel
	compression uint32
	predictor   bool
	inverted    bool
	rows        int // to a strip; 0: all
	tile        int // its side; 0: strips
	profile     []byte
	ppcm        uint32            // pixels a centimetre
	fields      map[uint16]uint32 // further LONGs, or instead of its own
	value       func(x, y, c int) uint16
}

// bytes writes the sheet: header, segments, directory.
func (s sheet) bytes() []byte {
	if s.order == nil {
		s.order = binary.LittleEndian
	}
	if s.value == nil {
		s.value = func(x, y, c int) uint16 { return testValue(s.w, s.h, x, y, c) }
	}
	out := []byte("II*\x00\x00\x00\x00\x00")
	if s.order == binary.AppendByteOrder(binary.BigEndian) {
		out = []byte("MM\x00*\x00\x00\x00\x00")
	}
	fields := map[uint16][]uint32{
		tagWidth: {uint32(s.w)}, tagHeight: {uint32(s.h)}, tagBitsPerSample: {uint32(s.bits)},
		tagCompression: {s.compression}, tagSamplesPerPixel: {uint32(s.channels + s.extra)},
		tagPhotometric: {map[bool]uint32{true: 0, false: 1 + uint32(s.channels)/3}[s.inverted]},
	}
	if s.predictor {
		fields[tagPredictor] = []uint32{2}
	}
	if s.extra > 0 {
		fields[tagExtraSamples] = []uint32{2}
	}
	w, h := s.w, cmp.Or(s.rows, s.h)
	offsets, counts := uint16(tagStripOffsets), uint16(tagStripByteCounts)
	if s.tile > 0 {
		w, h = s.tile, s.tile
		offsets, counts = tagTileOffsets, tagTileByteCounts
		fields[tagTileWidth], fields[tagTileHeight] = []uint32{uint32(w)}, []uint32{uint32(h)}
	} else {
		fields[tagRowsPerStrip] = []uint32{uint32(h)}
	}
	for y := 0; y < s.h; y += h {
		for x := 0; x < s.w; x += w {
			rows := h
			if s.tile == 0 {
				rows = min(h, s.h-y)
			}
			part := s.packed(x, y, w, rows)
			fields[offsets] = append(fields[offsets], uint32(len(out)))
			fields[counts] = append(fields[counts], uint32(len(part)))
			out = append(out, part...)
		}
	}
	for tag, v := range s.fields {
		fields[tag] = []uint32{v}
	}
	return s.directory(out, fields)
}

// packed is the packed rows of a strip or tile; beyond the picture it is 0.
func (s sheet) packed(x0, y0, w, h int) []byte {
	samples := s.channels + s.extra
	var raw []byte
	for y := y0; y < y0+h; y++ {
		before := make([]uint16, samples)
		for x := x0; x < x0+w; x++ {
			for c := range samples {
				v := uint16(0)
				if x < s.w && y < s.h {
					v = s.value(x, y, c)
				}
				if s.inverted {
					v = ^v
				}
				if s.bits == 8 {
					v >>= 8
				}
				stored := v
				if s.predictor {
					stored = v - before[c]
				}
				before[c] = v
				if s.bits == 8 {
					raw = append(raw, uint8(stored))
				} else {
					raw = s.order.AppendUint16(raw, stored)
				}
			}
		}
	}
	switch s.compression {
	case packLZW:
		return packedLZW(raw)
	case packBits:
		return packedBits(raw)
	case packDeflate, packDeflateOld:
		return deflated(raw)
	}
	return raw
}

// directory appends the directory and points the header at it.
func (s sheet) directory(out []byte, fields map[uint16][]uint32) []byte {
	type entry struct {
		tag, kind uint16
		n         int
		data      []byte
	}
	var entries []entry
	for tag, values := range fields {
		var data []byte
		for _, v := range values {
			data = s.order.AppendUint32(data, v)
		}
		entries = append(entries, entry{tag, typeLong, len(values), data})
	}
	if s.profile != nil {
		entries = append(entries, entry{tagICCProfile, typeUndefined, len(s.profile), s.profile})
	}
	if s.ppcm > 0 {
		data := s.order.AppendUint32(s.order.AppendUint32(nil, s.ppcm*10), 10)
		entries = append(entries,
			entry{tagXResolution, typeRational, 1, data},
			entry{tagResolutionUnit, typeLong, 1, s.order.AppendUint32(nil, 3)})
	}
	slices.SortFunc(entries, func(a, b entry) int { return int(a.tag) - int(b.tag) })
	for i, e := range entries {
		if len(e.data) > 4 {
			entries[i].data = s.order.AppendUint32(nil, uint32(len(out)))
			out = append(out, e.data...)
		}
	}
	head := s.order.AppendUint32(nil, uint32(len(out)))
	copy(out[4:], head)
	out = s.order.AppendUint16(out, uint16(len(entries)))
	for _, e := range entries {
		out = s.order.AppendUint16(s.order.AppendUint16(out, e.tag), e.kind)
		out = s.order.AppendUint32(out, uint32(e.n))
		out = append(out, e.data...)
		out = append(out, make([]byte, 4-len(e.data))...)
	}
	return s.order.AppendUint32(out, 0)
}

// packedBits packs runs of three and more.
func packedBits(raw []byte) []byte {
	var out []byte
	for len(raw) > 0 {
		n := 1
		for n < len(raw) && n < 128 && raw[n] == raw[0] {
			n++
		}
		if n >= 3 {
			out = append(out, uint8(1-n), raw[0])
		} else {
			out = append(out, uint8(n-1))
			out = append(out, raw[:n]...)
		}
		raw = raw[n:]
	}
	return append(out, 0x80) // -128, which means nothing
}

// packedLZW packs nothing: it clears the table so often that all codes are
// literals of 9 bits. Real LZW is in the files of other makers.
func packedLZW(raw []byte) []byte {
	const clear, end = 256, 257
	codes := []uint32{clear}
	for i, b := range raw {
		if i%200 == 199 {
			codes = append(codes, clear)
		}
		codes = append(codes, uint32(b))
	}
	var out []byte
	var bits, n uint32
	for _, c := range append(codes, end) {
		bits, n = bits<<9|c, n+9
		for ; n >= 8; n -= 8 {
			out = append(out, uint8(bits>>(n-8)))
		}
	}
	return append(out, uint8(bits<<(8-n)))
}
