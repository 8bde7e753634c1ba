package picture

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"
)

// sheet is a TIFF to be made, with testValue's picture in it.
type sheet struct {
	order       binary.AppendByteOrder // nil: little-endian
	big         bool                   // BigTIFF
	w, h        int
	bits        int // 32: floating-point
	channels    int // 1, 3 or 4
	extra       int // further samples to a pixel
	planar      bool
	compression uint32
	predictor   bool // the usual one of the depth ...
	whole       bool // ... or, with 32 bits, that of whole numbers
	inverted    bool
	rows        int         // to a strip; 0: all
	tile        int         // its side; 0: strips
	palette     [][3]uint16 // of which the first channel gives the number
	profile     []byte
	ppcm        uint32            // pixels a centimetre
	stands      exifField         // its orientation, in a little-endian file
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
	out := s.header()
	fields := s.description()
	w, h := s.w, cmp.Or(s.rows, s.h)
	offsets, counts := uint16(tagStripOffsets), uint16(tagStripByteCounts)
	if s.tile > 0 {
		w, h = s.tile, s.tile
		offsets, counts = tagTileOffsets, tagTileByteCounts
		fields[tagTileWidth], fields[tagTileHeight] = []uint32{uint32(w)}, []uint32{uint32(h)}
	} else {
		fields[tagRowsPerStrip] = []uint32{uint32(h)}
	}
	for _, channels := range s.planes() {
		for y := 0; y < s.h; y += h {
			for x := 0; x < s.w; x += w {
				rows := h
				if s.tile == 0 {
					rows = min(h, s.h-y)
				}
				part := s.packed(x, y, w, rows, channels)
				fields[offsets] = append(fields[offsets], uint32(len(out)))
				fields[counts] = append(fields[counts], uint32(len(part)))
				out = append(out, part...)
			}
		}
	}
	for tag, v := range s.fields {
		fields[tag] = []uint32{v}
	}
	return s.directory(out, fields)
}

func (s sheet) header() []byte {
	mark, version := "II", uint16(42)
	if s.order == binary.AppendByteOrder(binary.BigEndian) {
		mark = "MM"
	}
	if s.big {
		out := s.order.AppendUint16([]byte(mark), 43)
		return append(s.order.AppendUint16(out, 8), make([]byte, 10)...)
	}
	return append(s.order.AppendUint16([]byte(mark), version), make([]byte, 4)...)
}

func (s sheet) description() map[uint16][]uint32 {
	fields := map[uint16][]uint32{
		tagWidth: {uint32(s.w)}, tagHeight: {uint32(s.h)}, tagBitsPerSample: {uint32(s.bits)},
		tagCompression: {s.compression}, tagSamplesPerPixel: {uint32(s.channels + s.extra)},
		tagPhotometric: {map[int]uint32{1: 1, 3: 2, 4: 5}[s.channels]},
	}
	if s.inverted {
		fields[tagPhotometric] = []uint32{0}
	}
	if s.bits == 32 {
		fields[tagSampleFormat] = []uint32{3}
	}
	if s.predictor {
		fields[tagPredictor] = []uint32{2}
		if s.bits == 32 && !s.whole {
			fields[tagPredictor] = []uint32{3}
		}
	}
	if s.extra > 0 {
		fields[tagExtraSamples] = []uint32{2}
	}
	if s.planar {
		fields[tagPlanar] = []uint32{2}
	}
	if s.palette != nil {
		fields[tagPhotometric] = []uint32{3}
		for c := range 3 {
			for _, colour := range s.palette {
				fields[tagColorMap] = append(fields[tagColorMap], uint32(colour[c]))
			}
		}
	}
	return fields
}

// planes is the samples that go together, by plane.
func (s sheet) planes() [][]int {
	var all []int
	var each [][]int
	for c := range s.channels + s.extra {
		all = append(all, c)
		each = append(each, []int{c})
	}
	if s.planar {
		return each
	}
	return [][]int{all}
}

// packed is the packed rows of a strip or tile; beyond the picture it is 0.
func (s sheet) packed(x0, y0, w, h int, channels []int) []byte {
	var raw []byte
	for y := y0; y < y0+h; y++ {
		var row []uint32
		for x := x0; x < x0+w; x++ {
			for _, c := range channels {
				v := uint16(0)
				if x < s.w && y < s.h {
					v = s.value(x, y, c)
				}
				row = append(row, s.sample(v))
			}
		}
		raw = append(raw, s.row(row, len(channels))...)
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

// sample is a value as it is stored.
func (s sheet) sample(v uint16) uint32 {
	if s.inverted {
		v = ^v
	}
	switch s.bits {
	case 8:
		return uint32(v >> 8)
	case 32:
		return math.Float32bits(float32(v) / 65535)
	}
	return uint32(v)
}

// row is the bytes of a row, as differences if so wanted.
func (s sheet) row(samples []uint32, step int) []byte {
	if s.predictor && s.bits == 32 && !s.whole {
		return floatDifferences(samples, step)
	}
	var raw []byte
	for i, v := range samples {
		if s.predictor && i >= step {
			v -= samples[i-step]
		}
		switch s.bits {
		case 8:
			raw = append(raw, uint8(v))
		case 32:
			raw = s.order.AppendUint32(raw, v)
		default:
			raw = s.order.AppendUint16(raw, uint16(v))
		}
	}
	return raw
}

// floatDifferences sorts a row's bytes by their significance and takes the
// difference of each to that of the pixel before.
func floatDifferences(samples []uint32, step int) []byte {
	var raw []byte
	for shift := 24; shift >= 0; shift -= 8 {
		for _, v := range samples {
			raw = append(raw, uint8(v>>shift))
		}
	}
	for i := len(raw) - 1; i >= step; i-- {
		raw[i] -= raw[i-step]
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
		kind := uint16(typeLong)
		for _, v := range values {
			if s.big { // whatever could be one is one
				kind = typeLong8
				data = s.order.AppendUint64(data, uint64(v))
			} else {
				data = s.order.AppendUint32(data, v)
			}
		}
		entries = append(entries, entry{tag, kind, len(values), data})
	}
	if s.profile != nil {
		entries = append(entries, entry{tagICCProfile, typeUndefined, len(s.profile), s.profile})
	}
	if s.stands.tag != 0 {
		entries = append(entries, entry{s.stands.tag, s.stands.kind, 1, s.order.AppendUint32(nil, s.stands.values[0])})
	}
	if s.ppcm > 0 {
		data := s.order.AppendUint32(s.order.AppendUint32(nil, s.ppcm*10), 10)
		entries = append(entries,
			entry{tagXResolution, typeRational, 1, data},
			entry{tagResolutionUnit, typeLong, 1, s.order.AppendUint32(nil, 3)})
	}
	slices.SortFunc(entries, func(a, b entry) int { return int(a.tag) - int(b.tag) })
	room, at := 4, 4 // of a value; where the header points from
	number := func(b []byte, v int) []byte { return s.order.AppendUint32(b, uint32(v)) }
	if s.big {
		room, at = 8, 8
		number = func(b []byte, v int) []byte { return s.order.AppendUint64(b, uint64(v)) }
	}
	for i, e := range entries {
		if len(e.data) > room {
			entries[i].data = number(nil, len(out))
			out = append(out, e.data...)
		}
	}
	copy(out[at:], number(nil, len(out)))
	if s.big {
		out = number(out, len(entries))
	} else {
		out = s.order.AppendUint16(out, uint16(len(entries)))
	}
	for _, e := range entries {
		out = s.order.AppendUint16(s.order.AppendUint16(out, e.tag), e.kind)
		out = number(out, e.n)
		out = append(out, e.data...)
		out = append(out, make([]byte, room-len(e.data))...)
	}
	return number(out, 0)
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
