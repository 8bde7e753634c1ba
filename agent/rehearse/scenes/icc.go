package scenes

import (
	"encoding/binary"
	"math"
	"unicode/utf16"
)

// Versions of the two profile formats, as the header writes them.
const (
	v2 = 0x02400000 // ICC.1:2001-04
	v4 = 0x04400000 // ICC.1:2022
)

const profileRights = "Made for Lampblack's tests by its authors, who dedicate it to the public domain."

// Profile returns the ICC display profile (matrix and curves) of an encoding:
// version 2.4 with count-of-one curves for [Wide], version 4.4 with parametric
// curves for [Web] and [Master].
func Profile(k Kind) []byte {
	e := encodings[k]
	text, curve := mlucTag, paraTag
	description := mlucTag(e.name)
	if e.version == v2 {
		text, curve = textTag, curvTag
		description = descTag(e.name)
	}
	trc := curve(e.curve)
	tags := []tag{
		{"desc", description},
		{"cprt", text(profileRights)},
		{"wtpt", xyzTag(pcsWhite)},
		{"chad", chadTag(bradford(e.white))},
		{"rXYZ", xyzTag(e.toPCS.column(0))},
		{"gXYZ", xyzTag(e.toPCS.column(1))},
		{"bXYZ", xyzTag(e.toPCS.column(2))},
		{"rTRC", trc}, {"gTRC", nil}, {"bTRC", nil},
	}
	return assemble(e.version, tags)
}

// A tag without data shares that of the tag before it.
type tag struct {
	signature string
	data      []byte
}

// assemble writes header, tag table and tag data, each tag on a 4-byte boundary.
func assemble(version uint32, tags []tag) []byte {
	const header = 128
	be := binary.BigEndian
	table := be.AppendUint32(nil, uint32(len(tags)))
	var data []byte
	base := header + 4 + 12*len(tags)
	var offset, size int
	for _, t := range tags {
		if t.data != nil {
			offset, size = base+len(data), len(t.data)
			data = append(data, t.data...)
			data = append(data, make([]byte, -len(data)&3)...)
		}
		table = append(table, t.signature...)
		table = be.AppendUint32(table, uint32(offset))
		table = be.AppendUint32(table, uint32(size))
	}
	p := append(profileHeader(version, base+len(data)), table...)
	return append(p, data...)
}

// profileHeader is dated by constant, so that a profile is the same bytes always.
func profileHeader(version uint32, size int) []byte {
	be := binary.BigEndian
	h := make([]byte, 128)
	be.PutUint32(h, uint32(size))
	be.PutUint32(h[8:], version)
	copy(h[12:], "mntrRGB XYZ ")
	for i, v := range []uint16{2026, 11, 1, 12, 0, 0} {
		be.PutUint16(h[24+2*i:], v)
	}
	copy(h[36:], "acsp")
	copy(h[68:], xyzTag(pcsWhite)[8:])
	return h
}

func (m matrix) column(j int) [3]float64 { return [3]float64{m[0][j], m[1][j], m[2][j]} }

// typed starts the data of a tag: its type and four reserved bytes.
func typed(signature string) []byte { return append([]byte(signature), 0, 0, 0, 0) }

func appendFixed(b []byte, values ...float64) []byte {
	for _, v := range values {
		b = binary.BigEndian.AppendUint32(b, uint32(int32(math.Round(v*65536))))
	}
	return b
}

func xyzTag(v [3]float64) []byte { return appendFixed(typed("XYZ "), v[:]...) }

func chadTag(m matrix) []byte {
	b := typed("sf32")
	for _, row := range m {
		b = appendFixed(b, row[:]...)
	}
	return b
}

func textTag(s string) []byte { return append(append(typed("text"), s...), 0) }

// descTag is version 2's description: ASCII, then empty Unicode and Macintosh parts.
func descTag(s string) []byte {
	b := binary.BigEndian.AppendUint32(typed("desc"), uint32(len(s)+1))
	b = append(b, s...)
	return append(b, make([]byte, 1+8+3+67)...)
}

// mlucTag is version 4's text, here in one language.
func mlucTag(s string) []byte {
	be := binary.BigEndian
	units := utf16.Encode([]rune(s))
	b := typed("mluc")
	b = be.AppendUint32(b, 1)
	b = be.AppendUint32(b, 12)
	b = append(b, "enGB"...)
	b = be.AppendUint32(b, uint32(2*len(units)))
	b = be.AppendUint32(b, 28)
	for _, u := range units {
		b = be.AppendUint16(b, u)
	}
	return b
}

// curvTag writes a curve's exponent alone, which is all that a count of one holds.
func curvTag(c curve) []byte {
	b := binary.BigEndian.AppendUint32(typed("curv"), 1)
	return binary.BigEndian.AppendUint16(b, uint16(math.Round(c.gamma*256)))
}

func paraTag(c curve) []byte {
	b := append(typed("para"), 0, 3, 0, 0)
	return appendFixed(b, c.gamma, c.a, c.b, c.c, c.d)
}
