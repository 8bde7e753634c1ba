// Package icctest makes the ICC profiles that tests need: small ones of encodings
// and curves of one's choice, and those of an invented press and an invented
// printer. It writes the format of its own account, and shares no code with the
// reader that it is to test.
package icctest

import (
	"encoding/binary"
	"maps"
	"math"
	"slices"

	"lampblack/rules/colour"
)

// Profile assembles a profile from its elements, by signature. Class, space and pcs
// are the header's, of four characters each.
func Profile(class, space, pcs string, elements map[string][]byte) []byte {
	p := make([]byte, 128)
	copy(p[8:], "\x04\x40\x00\x00"+class+space+pcs)
	copy(p[36:], "acsp")
	sigs := slices.Sorted(maps.Keys(elements))
	p = binary.BigEndian.AppendUint32(p, uint32(len(sigs)))
	at := len(p) + 12*len(sigs)
	var body []byte
	for _, sig := range sigs {
		e := elements[sig]
		p = append(p, sig...)
		p = binary.BigEndian.AppendUint32(p, uint32(at+len(body)))
		p = binary.BigEndian.AppendUint32(p, uint32(len(e)))
		body = append(body, e...)
		for len(body)%4 != 0 {
			body = append(body, 0)
		}
	}
	p = append(p, body...)
	binary.BigEndian.PutUint32(p, uint32(len(p)))
	return p
}

// pcsWhite is D50 as profiles have it (ICC.1:2022, 7.2.16).
var pcsWhite = colour.XYZ{X: 0.9642, Y: 1, Z: 0.8249}

// Matrix is a profile of an RGB encoding with one curve element for all channels.
func Matrix(name string, e colour.Encoding, trc []byte) []byte {
	m := colour.Bradford(e.White().XYZ(1), pcsWhite).Mul(e.ToXYZ())
	column := func(i int) []byte { return XYZ(m[0][i], m[1][i], m[2][i]) }
	return Profile("mntr", "RGB ", "XYZ ", map[string][]byte{
		"desc": Name(name), "wtpt": XYZ(pcsWhite.X, pcsWhite.Y, pcsWhite.Z),
		"rXYZ": column(0), "gXYZ": column(1), "bXYZ": column(2), "rTRC": trc, "gTRC": trc, "bTRC": trc,
	})
}

// Grey is a profile of grey with a curve element.
func Grey(name, pcs string, trc []byte) []byte {
	return Profile("mntr", "GRAY", pcs, map[string][]byte{"desc": Name(name), "kTRC": trc})
}

// AppendFixed appends numbers as s15Fixed16 (ICC.1:2022, 4.6).
func AppendFixed(b []byte, values ...float64) []byte {
	for _, v := range values {
		b = binary.BigEndian.AppendUint32(b, uint32(int32(math.Round(v*65536))))
	}
	return b
}

// XYZ is an XYZType of one colour.
func XYZ(x, y, z float64) []byte { return AppendFixed([]byte("XYZ \x00\x00\x00\x00"), x, y, z) }

// Para is a parametricCurveType of a kind, 0 to 4, with its parameters in order.
func Para(kind byte, params ...float64) []byte {
	return AppendFixed([]byte{'p', 'a', 'r', 'a', 0, 0, 0, 0, 0, kind, 0, 0}, params...)
}

// Curv is a curveType: no entry is the identity, one a gamma times 256, more are
// samples.
func Curv(entries ...uint16) []byte {
	b := binary.BigEndian.AppendUint32([]byte("curv\x00\x00\x00\x00"), uint32(len(entries)))
	for _, v := range entries {
		b = binary.BigEndian.AppendUint16(b, v)
	}
	return b
}

// Name is a multiLocalizedUnicodeType with a German and an English text.
func Name(name string) []byte {
	b := []byte("mluc\x00\x00\x00\x00\x00\x00\x00\x02\x00\x00\x00\x0c")
	text := func(s string) (out []byte) {
		for _, r := range s {
			out = binary.BigEndian.AppendUint16(out, uint16(r))
		}
		return out
	}
	german, english := text("auf Deutsch"), text(name)
	record := func(lang string, n, at int) {
		b = append(b, lang...)
		b = binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(b, uint32(n)), uint32(at))
	}
	record("deDE", len(german), 40)
	record("enUS", len(english), 40+len(german))
	return slices.Concat(b, german, english)
}

// SRGBCurve is sRGB's curve as a parametric one.
func SRGBCurve() []byte {
	return Para(3, 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045)
}
