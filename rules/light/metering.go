package light

import "math"

// Calibration constants of exposure meters (ISO 2720:1974). The standard allows
// K 10.6..13.4 (read), C 240..400 flat and 320..540 dome (from memory); these
// are the ones in use. Between the two K lie 0.16 stop.
const (
	K125 = 12.5 // reflected light, cd/m²·s, most makers
	K14  = 14.0 // reflected light, cd/m²·s, the others

	CFlat    = 250.0 // incident light on a flat receptor, lx·s
	CDome330 = 330.0 // incident light on a hemispherical receptor, lx·s
	CDome340 = 340.0 // the same, of other makers
)

// Exposure is the exposure a meter, or a camera in automatic, found right.
type Exposure struct {
	Aperture float64 // f-number N
	Seconds  float64 // exposure time t
	ISO      float64 // film speed S
}

// perSecond is N²/(t·S), which both meter equations multiply. An exposure with
// a zero in it measured nothing: the result is then 0, infinite or NaN.
func (x Exposure) perSecond() float64 {
	return x.Aperture * x.Aperture / (x.Seconds * x.ISO)
}

// EV100 is the exposure value at ISO 100: log2(100·N²/(t·S)).
func (x Exposure) EV100() float64 { return math.Log2(100 * x.perSecond()) }

// Luminance is the mean luminance that a reflected-light meter of constant k saw
// (ISO 2720:1974):
//
//	L = K·N²/(t·S)
func (x Exposure) Luminance(k float64) Luminance { return Luminance(k * x.perSecond()) }

// Illuminance is the light that fell on an incident-light meter of constant c
// (ISO 2720:1974):
//
//	E = C·N²/(t·S)
func (x Exposure) Illuminance(c float64) Lux { return Lux(c * x.perSecond()) }
