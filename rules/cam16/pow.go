package cam16

import "math"

// The model is powers and little else: five for one colour. math.Pow is careful
// about arguments that don't occur here; this is 2^(y·log2 x) from two tables and
// two series so short that the processor works on several powers at once.
//
//	x = 2^e·c·(1 + r),  c = 1 + i/512 the nearest such, |r| ≤ 1/1024
//	log2 x = e + log2 c + (r − r²/2 + r³/3 − r⁴/4 + r⁵/5)/ln 2
//	2^z = 2^k·2^(j/256)·e^t,  e^t = 1 + t + t²/2 + t³/6 + t⁴/24,  |t| ≤ ln 2/512
const (
	logCells = 512
	expCells = 256
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
	const (
		fraction = 1<<52 - 1
		bias     = 1023
		shift    = 1 << 20 // keeps n below from being rounded towards 0
	)
	bits := math.Float64bits(x)
	e := int(bits >> 52)
	if e == 0 || e >= 2*bias+1 { // zero, denormal, infinite, NaN or negative
		return math.Pow(x, y)
	}
	mantissa := math.Float64frombits(bits&fraction | bias<<52)
	cell := &logTable[int((mantissa-1)*logCells+0.5)]
	r := mantissa*cell.inverse - 1
	r2 := r * r
	series := (r - r2/2) + r2*r*((1./3-r*(1./4))+r2*(1./5))
	z := y * (float64(e-bias) + cell.log2 + series*(1/math.Ln2))
	if !(z > -1000 && z < 1000) {
		return math.Pow(x, y)
	}
	n := int(z*expCells+(shift+0.5)) - shift
	t := (z - float64(n)*(1./expCells)) * math.Ln2
	t2 := t * t
	power := (1 + t) + t2*(1./2+t*(1./6)+t2*(1./24))
	scale := math.Float64frombits(uint64(n>>8+bias) << 52)
	return scale * expTable[n&(expCells-1)] * power
}
