package page

import (
	"math"

	"lampblack/rules"
	"lampblack/rules/colour"
)

// nodes is the number of nodes of a lattice along each channel.
const nodes = 33

// lattice is a likeness at some colours, evenly spread over the codes of ROMM
// RGB; between them it is interpolated. It holds codes of sRGB, 0..1, and beyond
// where sRGB lacks the colour: bent into sRGB before, the nodes at its edge would
// pull at the colours inside.
type lattice [nodes * nodes * nodes][3]float32

// Steps between neighbours in a lattice.
const (
	stepB = 1
	stepG = nodes
	stepR = nodes * nodes
)

func newLattice(l rules.Likeness) *lattice {
	var linear [nodes]float64
	for i := range linear {
		linear[i] = colour.ROMM.Decode(float64(i) / (nodes - 1))
	}
	toXYZ := colour.ROMM.ToXYZ()
	t := new(lattice)
	for i := range t {
		c := l.Show(toXYZ.Apply(colour.XYZ{X: linear[i/stepR], Y: linear[i/stepG%nodes], Z: linear[i%nodes]}))
		t[i] = [3]float32{encoded(c.R), encoded(c.G), encoded(c.B)}
	}
	return t
}

// encoded is a code of sRGB. What is far beyond sRGB will be bent into it anyway.
func encoded(linear float64) float32 {
	return float32(colour.SRGB.Encode(math.Max(-4, math.Min(4, linear))))
}

// at is the code of sRGB, 0..1, for the 16-bit codes of a pixel in ROMM RGB: by
// tetrahedral interpolation, which keeps neutrals from being tinted by the
// corners that they don't lie between.
func (t *lattice) at(r, g, b uint16) [3]float32 {
	const most = math.MaxUint16
	cell := func(v uint16) (i int, f float32) {
		p := int(v) * (nodes - 1)
		i = min(p/most, nodes-2)
		return i, float32(p-i*most) / most
	}
	ri, rf := cell(r)
	gi, gf := cell(g)
	bi, bf := cell(b)
	at := ri*stepR + gi*stepG + bi*stepB
	// From the cell's darkest corner to its lightest, the largest share first.
	first, second := stepR, stepG
	f1, f2, f3 := rf, gf, bf
	switch {
	case rf >= gf && gf >= bf:
	case rf >= bf && bf > gf:
		second, f2, f3 = stepB, bf, gf
	case gf > rf && rf >= bf:
		first, second, f1, f2 = stepG, stepR, gf, rf
	case gf >= bf && bf > rf:
		first, second, f1, f2, f3 = stepG, stepB, gf, bf, rf
	case bf > rf && rf >= gf:
		first, second, f1, f2, f3 = stepB, stepR, bf, rf, gf
	default:
		first, second, f1, f2, f3 = stepB, stepG, bf, gf, rf
	}
	v0, v1, v2, v3 := &t[at], &t[at+first], &t[at+first+second], &t[at+stepR+stepG+stepB]
	var out [3]float32
	for i := range out {
		out[i] = (1-f1)*v0[i] + (f1-f2)*v1[i] + (f2-f3)*v2[i] + f3*v3[i]
	}
	return inGamut(out)
}

func inGamut(code [3]float32) [3]float32 {
	if min(code[0], code[1], code[2]) >= 0 && max(code[0], code[1], code[2]) <= 1 {
		return code
	}
	linear := func(i int) float64 { return colour.SRGB.Decode(float64(code[i])) }
	c := rules.RGB{R: linear(0), G: linear(1), B: linear(2)}.InGamut()
	return [3]float32{encoded(c.R), encoded(c.G), encoded(c.B)}
}
