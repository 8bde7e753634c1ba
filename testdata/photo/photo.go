// Package photo makes the photographs that tests need of an evenly lit sheet:
// JPEG files with the EXIF of a camera.
package photo

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"slices"
)

// Sheet is a photograph to be made. Zero values are left out of its EXIF.
type Sheet struct {
	Grey         uint8     // sRGB code of the sheet; the metered one is 118
	Aperture     [2]uint32 // numerator and denominator, as are the next two
	Seconds      [2]uint32
	Compensation [2]int32
	ISO          uint16
	Flash        bool
	Clock        string // "2026:03:01 09:50:12"
	Zone         string // "+01:00"
}

// The kinds of EXIF's fields that are used, by their numbers there.
const (
	ascii          = 2
	short          = 3
	long           = 4
	rational       = 5
	signedRational = 10
)

// field is one field of a directory.
type field struct {
	tag, kind uint16
	count     uint32
	value     []byte
}

var order = binary.LittleEndian

// JPEG is the file.
func (p Sheet) JPEG() []byte {
	picture := image.NewGray(image.Rect(0, 0, 48, 32))
	for i := range picture.Pix {
		picture.Pix[i] = p.Grey
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture, nil); err != nil {
		panic(err) // a buffer takes everything
	}
	exif := append([]byte("Exif\x00\x00"), p.exif()...)
	segment := binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(2+len(exif)))
	const afterStart = 2 // bytes of the marker that starts a JPEG
	return slices.Insert(b.Bytes(), afterStart, append(segment, exif...)...)
}

// exif is a TIFF whose one directory leads to that of EXIF.
func (p Sheet) exif() []byte {
	const first, directory = 8, 26
	b := []byte("II*\x00")
	b = order.AppendUint32(b, first)
	b = order.AppendUint16(b, 1)
	b = append(b, entry(field{0x8769, long, 1, order.AppendUint32(nil, directory)}, 0)...)
	b = order.AppendUint32(b, 0)
	return append(b, pack(p.fields(), directory)...)
}

func (p Sheet) fields() []field {
	var fields []field
	if p.Seconds[0] != 0 {
		fields = append(fields, field{0x829a, rational, 1, pair(p.Seconds[0], p.Seconds[1])})
	}
	if p.Aperture[0] != 0 {
		fields = append(fields, field{0x829d, rational, 1, pair(p.Aperture[0], p.Aperture[1])})
	}
	if p.ISO != 0 {
		fields = append(fields, field{0x8827, short, 1, order.AppendUint16(nil, p.ISO)})
	}
	if p.Clock != "" {
		fields = append(fields, text(0x9003, p.Clock))
	}
	if p.Zone != "" {
		fields = append(fields, text(0x9011, p.Zone))
	}
	if p.Compensation[1] != 0 {
		fields = append(fields, field{0x9204, signedRational, 1, pair(uint32(p.Compensation[0]), uint32(p.Compensation[1]))})
	}
	if p.Flash {
		fields = append(fields, field{0x9209, short, 1, order.AppendUint16(nil, 1)})
	}
	return fields
}

func pair(n, d uint32) []byte { return order.AppendUint32(order.AppendUint32(nil, n), d) }

func text(tag uint16, s string) field {
	return field{tag, ascii, uint32(len(s) + 1), append([]byte(s), 0)}
}

// pack is a directory that stands at the given offset, with its values behind.
func pack(fields []field, at int) []byte {
	b := order.AppendUint16(nil, uint16(len(fields)))
	behind := at + 2 + 12*len(fields) + 4
	var values []byte
	for _, f := range fields {
		b = append(b, entry(f, behind+len(values))...)
		if len(f.value) > 4 {
			values = append(values, f.value...)
		}
	}
	return append(order.AppendUint32(b, 0), values...)
}

// entry is a field's line in the directory. A value of up to four bytes stands
// in it, a longer one at the offset behind.
func entry(f field, behind int) []byte {
	b := order.AppendUint16(order.AppendUint16(nil, f.tag), f.kind)
	b = order.AppendUint32(b, f.count)
	if len(f.value) > 4 {
		return order.AppendUint32(b, uint32(behind))
	}
	return append(append(b, f.value...), make([]byte, 4-len(f.value))...)
}
