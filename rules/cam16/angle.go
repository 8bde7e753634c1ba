package cam16

import "math"

// The hue angle of opponent responses a, b whose radius √(a² + b²) is known.
// math.Atan2 divides twice and doesn't know the radius; here the colour's
// direction (cos h, sin h) is turned back by the nearest angle θ of a table, and
// what remains of it is an arcsine so small that its series is three terms:
//
//	least = min(|a|, |b|)/radius, most = max(|a|, |b|)/radius: sine and cosine of
//	an angle φ from 0 to 45°
//	sin(φ − θ) = least·cos θ − most·sin θ,   sin θ = i/128 nearest to least
//	φ = θ + s + s³/6 + 3·s⁵/40,   |s| < 0.0056, the next term below 1e-17
//
// and h is φ mirrored into the octant that signs and sizes of a and b tell. There
// is no branch on the hue, which in a photograph no processor would guess.
const angleCells = 128 // sin θ ends at √½, so index 91 is the last one used

var angleTable [angleCells]struct{ sin, cos, degrees float64 }

// octants say how φ makes h, by the bits of b < 0, a < 0 and |b| > |a|.
var octants = [8]struct{ base, sign float64 }{
	0b000: {0, 1}, 0b001: {90, -1},
	0b010: {180, -1}, 0b011: {90, 1},
	0b100: {360, -1}, 0b101: {270, 1},
	0b110: {180, 1}, 0b111: {270, -1},
}

func init() {
	for i := range angleTable {
		sin := float64(i) / angleCells
		cell := &angleTable[i]
		cell.sin, cell.cos, cell.degrees = sin, math.Sqrt(1-sin*sin), math.Asin(sin)/degree
	}
}

// hueAngle is atan2(b, a) in degrees, 0 ≤ h < 360, to 1e-13 of a degree.
func hueAngle(a, b, radius float64) float64 {
	const signBit, tiny = 1 << 63, 1e-140 // squares of less than tiny lose digits
	if !(radius > tiny) {
		return slowHueAngle(a, b)
	}
	// Positive numbers and their bits sort alike.
	aBits, bBits := math.Float64bits(a), math.Float64bits(b)
	aSize, bSize := aBits&^signBit, bBits&^signBit
	inverse := 1 / radius
	least := math.Float64frombits(min(aSize, bSize)) * inverse
	most := math.Float64frombits(max(aSize, bSize)) * inverse

	cell := &angleTable[int(least*angleCells+0.5)&(angleCells-1)]
	s := least*cell.cos - most*cell.sin
	s2 := s * s
	phi := cell.degrees + s*(1/degree)*(1+s2*(1./6+s2*(3./40)))
	octant := &octants[bBits>>63<<2|aBits>>63<<1|(aSize-bSize)>>63]
	h := octant.base + octant.sign*phi
	if h == 360 {
		return 0
	}
	return h
}

func slowHueAngle(a, b float64) float64 {
	return math.Mod(math.Atan2(b, a)/degree+360, 360)
}
