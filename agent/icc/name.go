package icc

import (
	"bytes"
	"encoding/binary"
	"strings"
	"unicode/utf16"

	"lampblack/config/legible"
)

// name is the profile's description, or what it is without one.
func (t tags) name() string {
	text := ""
	switch tag := t["desc"]; {
	case len(tag) < 12:
	case string(tag[:4]) == "desc": // version 2: a counted ASCII string
		end := min(12+uint64(binary.BigEndian.Uint32(tag[8:])), uint64(len(tag)))
		text, _, _ = strings.Cut(string(tag[12:end]), "\x00")
	case string(tag[:4]) == "mluc":
		text = multiLocalized(tag)
	}
	if text = legible.Name(text); text == "" {
		return "a colour profile without a name"
	}
	return text
}

// multiLocalized is the English text of a multiLocalizedUnicodeType (10.15), or
// else its first.
func multiLocalized(tag []byte) string {
	const records, record = 16, 12
	if len(tag) < records {
		return ""
	}
	first := ""
	count := binary.BigEndian.Uint32(tag[8:])
	for r := tag[records:]; count > 0 && len(r) >= record; r = r[record:] {
		at := uint64(binary.BigEndian.Uint32(r[8:]))
		end := at + uint64(binary.BigEndian.Uint32(r[4:]))
		if end <= uint64(len(tag)) {
			text := utf16Text(tag[at:end])
			if bytes.HasPrefix(r, []byte("en")) {
				return text
			}
			if first == "" {
				first = text
			}
		}
		count--
	}
	return first
}

func utf16Text(b []byte) string {
	b = b[:min(len(b), 2*legible.MostOfName)]
	units := make([]uint16, 0, len(b)/2)
	for ; len(b) >= 2; b = b[2:] {
		units = append(units, binary.BigEndian.Uint16(b))
	}
	return string(utf16.Decode(units))
}
