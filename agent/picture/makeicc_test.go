package picture

import (
	"encoding/binary"
	"maps"
	"math"
	"slices"

	"lampblack/rules/colour"
)

// The makers of ICC profiles.

// makeProfile assembles a profile from its elements.
func makeProfile(class, space, pcs string, elements map[string][]byte) []byte {
	p := make([]byte, iccHeader)
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

// matrixProfile is a profile of an RGB encoding with one curve for all channels.
func matrixProfile(name string, e colour.Encoding, trc []byte) []byte {
	m := colour.Bradford(e.White().XYZ(1), pcsWhite).Mul(e.ToXYZ())
	column := func(i int) []byte { return xyzElement(m[0][i], m[1][i], m[2][i]) }
	return makeProfile("mntr", "RGB ", "XYZ ", map[string][]byte{
		"desc": nameElement(name), "wtpt": xyzElement(pcsWhite.X, pcsWhite.Y, pcsWhite.Z),
		"rXYZ": column(0), "gXYZ": column(1), "bXYZ": column(2), "rTRC": trc, "gTRC": trc, "bTRC": trc,
	})
}

func greyProfile(name, pcs string, trc []byte) []byte {
	return makeProfile("mntr", "GRAY", pcs, map[string][]byte{"desc": nameElement(name), "kTRC": trc})
}

func appendFixed(b []byte, values ...float64) []byte {
	for _, v := range values {
		b = binary.BigEndian.AppendUint32(b, uint32(int32(math.Round(v*65536))))
	}
	return b
}

func xyzElement(x, y, z float64) []byte { return appendFixed([]byte("XYZ \x00\x00\x00\x00"), x, y, z) }

func paraElement(kind byte, params ...float64) []byte {
	return appendFixed([]byte{'p', 'a', 'r', 'a', 0, 0, 0, 0, 0, kind, 0, 0}, params...)
}

func curvElement(entries ...uint16) []byte {
	b := binary.BigEndian.AppendUint32([]byte("curv\x00\x00\x00\x00"), uint32(len(entries)))
	for _, v := range entries {
		b = binary.BigEndian.AppendUint16(b, v)
	}
	return b
}

// nameElement is a multiLocalizedUnicodeType with a German and an English text.
func nameElement(name string) []byte {
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

// sRGBCurve is sRGB's curve as a parametric one.
func sRGBCurve() []byte {
	return paraElement(3, 2.4, 1/1.055, 0.055/1.055, 1/12.92, 0.04045)
}
