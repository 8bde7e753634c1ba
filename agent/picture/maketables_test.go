package picture

import (
	"encoding/binary"
	"math"

	"lampblack/rules/colour"
)

// The makers of table elements.

// transform is a function between device values and those of a table's
// connection space, 0..1.
type transform func(values) values

// lutElement is an "mft1" (bits 8) or "mft2" (bits 16) element: identity curves
// around a grid of side nodes that samples f.
func lutElement(bits, in, out, side int, f transform) []byte {
	b := []byte{'m', 'f', 't', byte(bits / 8), 0, 0, 0, 0, byte(in), byte(out), byte(side), 0}
	b[3] = "012"[bits/8]
	b = appendFixed(b, 1, 0, 0, 0, 1, 0, 0, 0, 1)
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
	eachNode(in, side, func(v values) {
		w := f(v)
		for _, x := range w[:out] {
			number(x)
		}
	})
	straight(out)
	return b
}

// eachNode visits the nodes of a grid, the last channel first.
func eachNode(channels, side int, visit func(values)) {
	count := 1
	for range channels {
		count *= side
	}
	for i := range count {
		var v values
		for c := channels - 1; c >= 0; c-- {
			v[c] = float64(i%side) / float64(side-1)
			i /= side
		}
		visit(v)
	}
}

// abElement is an "mAB " or "mBA " element of 3 channels: curves on the device's
// side, a grid of side nodes that samples f, curves, a matrix that halves and an
// offset, curves on the other.
func abElement(kind string, side int, device, middle, pcs []byte, f transform) []byte {
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
	part(16, appendFixed(nil, 0.5, 0, 0, 0, 0.5, 0, 0, 0, 0.5, 0.25, 0.25, 0.25))
	part(20, middle, middle, middle)
	grid := append([]byte{byte(side), byte(side), byte(side)}, make([]byte, 13)...)
	grid = append(grid, 2, 0, 0, 0)
	eachNode(3, side, func(v values) {
		w := f(v)
		for _, x := range w[:3] {
			grid = binary.BigEndian.AppendUint16(grid, uint16(math.Round(held(x)*65535)))
		}
	})
	part(24, grid)
	part(28, device, device, device)
	return b
}

// The invented press and printer of the tests: what their sheets look like, with
// the paper's white as 100.
func pressLab(ink values) colour.Lab {
	light := (1 - 0.55*ink[0]) * (1 - 0.65*ink[1]) * (1 - 0.1*ink[2]) * (1 - 0.8*ink[3])
	return colour.Lab{L: 8 + 92*light, A: 60 * (ink[1] - ink[0]) * (1 - ink[3]), B: 70 * (ink[2] - (ink[0]+ink[1])/2) * (1 - ink[3])}
}

func printerLab(rgb values) colour.Lab {
	return colour.Lab{L: 5 + 95*(0.3*rgb[0]+0.6*rgb[1]+0.1*rgb[2]), A: 50 * (rgb[0] - rgb[1]), B: 40 * (rgb[1] - rgb[2])}
}

// toConnection writes colours as a table of a type takes them.
func toConnection(t table, pcs string, lab func(values) colour.Lab) transform {
	return func(v values) values { return t.valuesOf(lab(v), pcs) }
}

var legacyTable = table{legacy: true}

// pressProfile prints black with all of black and half of the others.
func pressProfile(bits int) []byte {
	t := table{legacy: bits == 16}
	return makeProfile("prtr", "CMYK", "Lab ", map[string][]byte{
		"desc": nameElement("harbour press"), "wtpt": xyzElement(0.82, 0.85, 0.69),
		"A2B1": lutElement(bits, 4, 3, 9, toConnection(t, "Lab ", pressLab)),
		"B2A1": lutElement(bits, 3, 4, 9, func(v values) values { return values{0.5, 0.5, 0.5, 1 - v[0]} }),
	})
}

func printerProfile(pcs string) []byte {
	return makeProfile("prtr", "RGB ", pcs, map[string][]byte{
		"desc": nameElement("slip gloss"), "wtpt": xyzElement(0.85, 0.88, 0.74),
		"A2B0": lutElement(16, 3, 3, 17, toConnection(legacyTable, pcs, printerLab)),
	})
}
