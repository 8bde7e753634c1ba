package icc

import (
	"encoding/binary"
	"errors"
	"math"
)

// parseCurve reads a curve that leads to or from light: its result is held
// within 0..1.
func parseCurve(tag []byte) (Curve, error) {
	raw, err := parseRawCurve(tag)
	if err != nil {
		return nil, err
	}
	return func(v float64) float64 { return held(raw(v)) }, nil
}

// held is v within 0..1, and 0 for NaN.
func held(v float64) float64 {
	if v > 0 {
		return min(v, 1)
	}
	return 0
}

// parseRawCurve reads a curveType or parametricCurveType (ICC.1:2022, 10.6,
// 10.18). The result of a parametric one can be anything.
func parseRawCurve(tag []byte) (Curve, error) {
	if len(tag) < 12 {
		return nil, errors.New("a tone curve is missing")
	}
	var raw Curve
	switch string(tag[:4]) {
	case "curv":
		raw = sampledCurve(tag[12:], binary.BigEndian.Uint32(tag[8:]))
	case "para":
		raw = parametricCurve(tag[12:], binary.BigEndian.Uint16(tag[8:]))
	}
	if raw == nil {
		return nil, errors.New("a tone curve is damaged")
	}
	return raw, nil
}

// sampledCurve: no entry is the identity, one is a gamma with 8 binary places,
// more are samples at equal steps. Nil when entries are missing.
func sampledCurve(entries []byte, count uint32) Curve {
	if uint64(len(entries)) < 2*uint64(count) {
		return nil
	}
	at := func(i int) float64 { return float64(binary.BigEndian.Uint16(entries[2*i:])) }
	switch count {
	case 0:
		return func(v float64) float64 { return v }
	case 1:
		gamma := at(0) / 256
		return func(v float64) float64 { return math.Pow(v, gamma) }
	}
	last := int(count) - 1
	return func(v float64) float64 {
		x := held(v) * float64(last)
		i := min(int(x), last-1)
		part := x - float64(i)
		return (at(i)*(1-part) + at(i+1)*part) / 65535
	}
}

// parametersOf is how many numbers each kind of parametric curve has.
var parametersOf = map[uint16]int{0: 1, 1: 3, 2: 4, 3: 5, 4: 7}

// parametricCurve is one of the five functions of ICC.1:2022, table 68, written
// as the last of them: each of the others has some parameters fixed. Nil when
// the kind is unknown or parameters are missing.
func parametricCurve(params []byte, kind uint16) Curve {
	count, known := parametersOf[kind]
	if !known || len(params) < 4*count {
		return nil
	}
	var p [7]float64
	for i := range count {
		p[i] = s15Fixed16(params[4*i:])
	}
	g, a, b, c, d, e, f := p[0], p[1], p[2], p[3], p[4], p[5], p[6]
	switch kind {
	case 0: // Y = X^g
		a, d = 1, 0
	case 1: // Y = (aX+b)^g from X = −b/a on, before it 0
		c, d = 0, -b/a
	case 2: // Y = (aX+b)^g + c from X = −b/a on, before it c
		c, d, e, f = 0, -b/a, c, c
	}
	return func(x float64) float64 {
		if x >= d {
			return math.Pow(max(a*x+b, 0), g) + e
		}
		return c*x + f
	}
}
