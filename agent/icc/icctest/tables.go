package icctest

import (
	"encoding/binary"
	"math"

	"lampblack/rules/colour"
)

// Values are device values or those of a table's connection space, 0..1.
type Values = [4]float64

// Transform leads from one kind of values to the other.
type Transform func(Values) Values

// held is v within 0..1.
func held(v float64) float64 { return min(max(v, 0), 1) }

// Lut is an "mft1" (bits 8) or "mft2" (bits 16) element: identity curves
// around a grid of side nodes that samples f.
func Lut(bits, in, out, side int, f Transform) []byte {
	b := []byte{'m', 'f', 't', byte(bits / 8), 0, 0, 0, 0, byte(in), byte(out), byte(side), 0}
	b[3] = "012"[bits/8]
	b = AppendFixed(b, 1, 0, 0, 0, 1, 0, 0, 0, 1)
	entries := 256
	if bits == 16 {
		entries = 2
		b = append(b, 0, 2, 0, 2)
	}
	number := func(v float64) {
		if bits == 8 {
			b = append(b, uint8(math.Round(held(v)*255)))
		} else {
			b = binary.BigEndian.AppendUint16(b, uint16(math.Round(held(v)*65535)))
		}
	}
	straight := func(channels int) {
		for range channels {
			for i := range entries {
				number(float64(i) / float64(entries-1))
			}
		}
	}
	straight(in)
	EachNode(in, side, func(v Values) {
		w := f(v)
		for _, x := range w[:out] {
			number(x)
		}
	})
	straight(out)
	return b
}

// EachNode visits the nodes of a grid, the last channel first.
func EachNode(channels, side int, visit func(Values)) {
	count := 1
	for range channels {
		count *= side
	}
	for i := range count {
		var v Values
		for c := channels - 1; c >= 0; c-- {
			v[c] = float64(i%side) / float64(side-1)
			i /= side
		}
		visit(v)
	}
}

// Elements is an "mAB " or "mBA " element of 3 channels: curves on the device's
// side, a grid of side nodes that samples f, curves, a matrix that halves and an
// offset, curves on the other.
func Elements(kind string, side int, device, middle, pcs []byte, f Transform) []byte {
	b := append([]byte(kind), 0, 0, 0, 0, 3, 3, 0, 0)
	b = append(b, make([]byte, 20)...)
	part := func(at int, body ...[]byte) {
		binary.BigEndian.PutUint32(b[at:], uint32(len(b)))
		for _, p := range body {
			b = append(b, p...)
			for len(b)%4 != 0 {
				b = append(b, 0)
			}
		}
	}
	part(12, pcs, pcs, pcs)
	part(16, AppendFixed(nil, 0.5, 0, 0, 0, 0.5, 0, 0, 0, 0.5, 0.25, 0.25, 0.25))
	part(20, middle, middle, middle)
	grid := append([]byte{byte(side), byte(side), byte(side)}, make([]byte, 13)...)
	grid = append(grid, 2, 0, 0, 0)
	EachNode(3, side, func(v Values) {
		w := f(v)
		for _, x := range w[:3] {
			grid = binary.BigEndian.AppendUint16(grid, uint16(math.Round(held(x)*65535)))
		}
	})
	part(24, grid)
	part(28, device, device, device)
	return b
}

// PressLab is what a sheet of the invented press looks like, with the paper's white
// as 100.
func PressLab(ink Values) colour.Lab {
	light := (1 - 0.55*ink[0]) * (1 - 0.65*ink[1]) * (1 - 0.1*ink[2]) * (1 - 0.8*ink[3])
	return colour.Lab{L: 8 + 92*light, A: 60 * (ink[1] - ink[0]) * (1 - ink[3]), B: 70 * (ink[2] - (ink[0]+ink[1])/2) * (1 - ink[3])}
}

// PrinterLab is the same for the invented printer.
func PrinterLab(rgb Values) colour.Lab {
	return colour.Lab{L: 5 + 95*(0.3*rgb[0]+0.6*rgb[1]+0.1*rgb[2]), A: 50 * (rgb[0] - rgb[1]), B: 40 * (rgb[1] - rgb[2])}
}

// ToConnection writes colours as an "mft2" element takes them when legacy is true,
// else as the other types do (ICC.1:2022, 10.10 and annex A): L*a*b* ends at 100 and
// 127, in 16 bits of "mft2" at 65280; XYZ at 1 + 32767/32768.
func ToConnection(legacy bool, pcs string, lab func(Values) colour.Lab) Transform {
	full := 1.0
	if legacy {
		full = 65280.0 / 65535
	}
	return func(v Values) Values {
		c := lab(v)
		if pcs == "XYZ " {
			xyz := c.XYZ(pcsWhite).Scale(32768.0 / 65535)
			return Values{held(xyz.X), held(xyz.Y), held(xyz.Z)}
		}
		return Values{held(full * c.L / 100), held(full * (c.A + 128) / 255), held(full * (c.B + 128) / 255)}
	}
}

// Press is the profile of a press, with tables of 8 or 16 bits there and back. It
// prints black with all of black and half of the others.
func Press(bits int) []byte {
	return Profile("prtr", "CMYK", "Lab ", map[string][]byte{
		"desc": Name("harbour press"), "wtpt": XYZ(0.82, 0.85, 0.69),
		"A2B1": Lut(bits, 4, 3, 9, ToConnection(bits == 16, "Lab ", PressLab)),
		"B2A1": Lut(bits, 3, 4, 9, func(v Values) Values { return Values{0.5, 0.5, 0.5, 1 - v[0]} }),
	})
}

// Printer is the profile of a printer in RGB, with a table from the device alone.
func Printer(pcs string) []byte {
	return Profile("prtr", "RGB ", pcs, map[string][]byte{
		"desc": Name("slip gloss"), "wtpt": XYZ(0.85, 0.88, 0.74),
		"A2B0": Lut(16, 3, 3, 17, ToConnection(true, pcs, PrinterLab)),
	})
}
