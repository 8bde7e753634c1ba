package cam16

import "math"

// Powers whose exponent the viewing conditions decide, and all those of the
// inverse. math.Pow is careful about arguments that don't occur here; this is
// 2^(y·log2 x) from two tables and two series so short that the processor works on
// several powers at once.
//
//	x = 2^e·c·(1 + r),  c = 1 + i/512 the nearest such, |r| ≤ 1/1024
//	log2 x = e + log2 c + (r − r²/2 + r³/3 − r⁴/4 + r⁵/5)/ln 2
//	2^z = 2^k·2^(j/256)·e^t,  e^t = 1 + t + t²/2 + t³/6 + t⁴/24,  |t| ≤ ln 2/512
const (
	logCells = 512
	expCells = 256
	logCell  = 1 << fractionBits / logCells // width in the last bits of a float64
)

var (
	logTable [logCells + 1]struct{ inverse, log2 float64 }
	expTable [expCells]float64
)

func init() {
	for i := range logTable {
		c := 1 + float64(i)/logCells
		logTable[i].inverse, logTable[i].log2 = 1/c, math.Log2(c)
	}
	for j := range expTable {
		expTable[j] = math.Exp2(float64(j) / expCells)
	}
}

// pow is x^y for x ≥ 0 and y > 0: to 1e-15·max(1, |log2 x^y|) relative, exactly 1
// for x = 1, and by math.Pow where x or the result is not an ordinary number.
func pow(x, y float64) float64 {
	// Beside shift a float64 has no fraction: adding it rounds to whole numbers,
	// and they then stand in the low bits.
	const shift = 3 << (fractionBits - 1)
	bits := math.Float64bits(x)
	e := int(bits >> fractionBits)
	if e == 0 || e >= 2*bias+1 { // zero, denormal, infinite, NaN or negative
		return math.Pow(x, y)
	}
	mantissa := math.Float64frombits(bits&fraction | bias<<fractionBits)
	cell := &logTable[(bits&fraction+logCell/2)/logCell]
	r := mantissa*cell.inverse - 1
	r2 := r * r
	lnSeries := (r - r2*(1./2)) + r2*r*((1./3-r*(1./4))+r2*(1./5))
	z := y * (float64(e-bias) + cell.log2 + lnSeries*(1/math.Ln2))
	if !(z > -1000 && z < 1000) {
		return math.Pow(x, y)
	}
	shifted := z*expCells + shift
	n := int(math.Float64bits(shifted) - math.Float64bits(shift))
	t := (z - (shifted-shift)*(1./expCells)) * math.Ln2
	t2 := t * t
	expSeries := (1 + t) + t2*(1./2+t*(1./6)+t2*(1./24))
	scale := math.Float64frombits(uint64(n>>8+bias) << fractionBits)
	return scale * expTable[n&(expCells-1)] * expSeries
}
