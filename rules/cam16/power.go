package cam16

import "math"

// Of the five powers of a colour, three are to 0.42 and one is to 0.45. With the
// exponent known beforehand no logarithm is needed, for x^y is a product:
//
//	x = 2^e·c·(1 + r),   c = 1 + (i + ½)/256 with i the first bits of x, |r| ≤ 1/512
//	x^y = 2^(e·y)·c^y·(1 + y·r + y·(y−1)/2·r² + y·(y−1)·(y−2)/6·r³ + …)
//
// The first two factors come from tables. For 0 < y < 1 the series, ended after
// r⁴, is off by less than |y·(y−1)·…·(y−4)/120|·2^−45 ≤ 9e-16; rounding adds as
// much.
const (
	powerCellBits = 8
	lowestOctave  = -64
	octaveCount   = 128

	lowestBase  = 1. / (1 << 64) // x that the tables reach, both included
	highestBase = 1 << 63
)

// The bits of a float64: sign, 11 of exponent, 52 of fraction.
const (
	fractionBits = 52
	fraction     = 1<<fractionBits - 1
	bias         = 1023 // what is added to the exponent
)

// power is the power of one exponent, 0 < y < 1.
type power struct {
	exponent       float64
	c1, c2, c3, c4 float64 // of the series
	octave         [octaveCount]float64
	cell           [1 << powerCellBits]struct{ inverse, power float64 }
}

var (
	adaptationPower = newPower(exponent)
	chromaPower     = newPower(0.45) // saturation wants t^0.45, chroma its square
)

func newPower(y float64) *power {
	p := &power{exponent: y, c1: y}
	p.c2 = p.c1 * (y - 1) / 2
	p.c3 = p.c2 * (y - 2) / 3
	p.c4 = p.c3 * (y - 3) / 4
	for i := range p.octave {
		p.octave[i] = math.Exp2(y * float64(i+lowestOctave))
	}
	for i := range p.cell {
		c := 1 + (float64(i)+0.5)/float64(len(p.cell))
		p.cell[i].inverse, p.cell[i].power = 1/c, math.Pow(c, y)
	}
	return p
}

// of is x^y for any x: to 2e-15 relative, and by math.Pow where the tables don't
// reach.
func (p *power) of(x float64) float64 {
	if !(x >= lowestBase && x <= highestBase) {
		return math.Pow(x, p.exponent)
	}
	start, r := p.begin(x)
	return start * p.series(r)
}

// begin is 2^(e·y)·c^y and r, for x that the tables reach. (The masks change
// nothing but tell the compiler that no index is out of bounds.)
func (p *power) begin(x float64) (start, r float64) {
	bits := math.Float64bits(x)
	cell := &p.cell[bits>>(fractionBits-powerCellBits)&(1<<powerCellBits-1)]
	octave := p.octave[(bits>>fractionBits-(bias+lowestOctave))&(octaveCount-1)]
	mantissa := math.Float64frombits(bits&fraction | bias<<fractionBits)
	return octave * cell.power, mantissa*cell.inverse - 1
}

func (p *power) series(r float64) float64 {
	return 1 + r*p.c1 + r*r*(p.c2+r*p.c3+r*r*p.c4)
}
