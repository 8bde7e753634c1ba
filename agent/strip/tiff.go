package strip

import (
	"encoding/binary"
	"io"
)

// writeTIFF writes the page as a baseline TIFF (revision 6.0): little-endian,
// uncompressed, in strips, which every print program reads. A nil profile
// leaves it untagged.
func writeTIFF(w io.Writer, p *page, profile []byte) error {
	if _, err := w.Write(header(p, profile)); err != nil {
		return err
	}
	var bytes []byte
	for y := 0; y < p.h; y += rowsPerStrip {
		bytes = bytes[:0]
		for _, v := range p.row(0, y, p.w*min(rowsPerStrip, p.h-y)) {
			bytes = binary.LittleEndian.AppendUint16(bytes, v)
		}
		if _, err := w.Write(bytes); err != nil {
			return err
		}
	}
	return nil
}

// rowsPerStrip keeps strips near 1 MB.
const rowsPerStrip = 64

// The types of fields.
const (
	short     = 3
	long      = 4
	rational  = 5
	undefined = 7
)

// field is an entry of the directory. Its value is in the file's byte order.
type field struct {
	tag, kind uint16
	count     int
	value     []byte
}

func shorts(tag uint16, values ...int) field {
	f := field{tag: tag, kind: short, count: len(values)}
	for _, v := range values {
		f.value = binary.LittleEndian.AppendUint16(f.value, uint16(v))
	}
	return f
}

func longs(tag uint16, values ...int) field {
	f := field{tag: tag, kind: long, count: len(values)}
	for _, v := range values {
		f.value = binary.LittleEndian.AppendUint32(f.value, uint32(v))
	}
	return f
}

func ratio(tag uint16, v uint32) field {
	b := binary.LittleEndian.AppendUint32(nil, v)
	return field{tag, rational, 1, binary.LittleEndian.AppendUint32(b, 1)}
}

// header is the file up to its first strip. The strips' places depend on its
// length, which doesn't depend on them: it is made twice.
func header(p *page, profile []byte) []byte {
	start := len(directory(fields(p, profile, 0)))
	return directory(fields(p, profile, start))
}

func fields(p *page, profile []byte, start int) []field {
	photometric := 2 // RGB
	if p.channels == 1 {
		photometric = 1 // grey, 0 is black
	}
	var depths, offsets, sizes []int
	for range p.channels {
		depths = append(depths, 16)
	}
	for y := 0; y < p.h; y += rowsPerStrip {
		size := min(rowsPerStrip, p.h-y) * p.w * p.channels * 2
		offsets, sizes = append(offsets, start), append(sizes, size)
		start += size
	}
	list := []field{ // in rising order of tag
		longs(254, 0), // a picture of its own
		longs(256, p.w),
		longs(257, p.h),
		shorts(258, depths...),
		shorts(259, 1), // uncompressed
		shorts(262, photometric),
		longs(273, offsets...),
		shorts(274, 1), // upright
		shorts(277, p.channels),
		longs(278, rowsPerStrip),
		longs(279, sizes...),
		ratio(282, ppi),
		ratio(283, ppi),
		shorts(284, 1), // channels interleaved
		shorts(296, 2), // the resolution is by the inch
	}
	if profile != nil {
		list = append(list, field{34675, undefined, len(profile), profile})
	}
	return list
}

// directory is the header, the directory, and the values that are too long for it.
func directory(list []field) []byte {
	le := binary.LittleEndian
	const begin, entry = 8, 12
	b := le.AppendUint32([]byte("II*\x00"), begin)
	b = le.AppendUint16(b, uint16(len(list)))
	after := begin + 2 + entry*len(list) + 4
	var values []byte
	for _, f := range list {
		b = le.AppendUint16(b, f.tag)
		b = le.AppendUint16(b, f.kind)
		b = le.AppendUint32(b, uint32(f.count))
		if len(f.value) <= 4 {
			b = append(append(b, f.value...), make([]byte, 4-len(f.value))...)
			continue
		}
		b = le.AppendUint32(b, uint32(after+len(values)))
		values = append(values, f.value...)
		values = append(values, make([]byte, len(values)%2)...) // values begin at even places
	}
	b = le.AppendUint32(b, 0) // no other picture
	return append(b, values...)
}
