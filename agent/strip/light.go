package strip

import (
	"errors"
	"math"
	"sort"

	"lampblack/agent/picture"
	"lampblack/rules"
	"lampblack/rules/colour"
)

const codes = 1 << 16

// light is one channel's linear value by 16-bit code. It never falls.
type light []float64

// lights are the channels of a picture.
type lights []light

// errFalls: an inverted or broken curve, from which no way leads back.
var errFalls = errors.New("no test strip can be made: the tone curves of its colour profile fall where they should rise: " +
	"export it with a working space's colour profile")

func newLights(pic *picture.Samples) (lights, error) {
	ls := make(lights, pic.Channels)
	for c := range ls {
		l := make(light, codes)
		for v := range l {
			l[v] = pic.Curves[c](float64(v) / (codes - 1))
			if v > 0 && l[v] < l[v-1] {
				// Rounding in a profile may dent a curve, but not by much.
				if l[v] < l[v-1]-1e-4 {
					return nil, errFalls
				}
				l[v] = l[v-1]
			}
		}
		if l[codes-1]-l[0] < 0.5 {
			return nil, errFalls
		}
		ls[c] = l
	}
	return ls, nil
}

// code is the code whose light is nearest to y. Beyond white it is white.
func (l light) code(y float64) uint16 {
	return l.nearest(sort.SearchFloat64s(l, y), y)
}

// nearest is the code nearest to y, given the first that reaches it.
func (l light) nearest(first int, y float64) uint16 {
	switch {
	case y >= l[codes-1]:
		return codes - 1
	case first > 0 && y-l[first-1] < l[first]-y:
		return uint16(first - 1)
	}
	return uint16(first)
}

// exposed is, for each code, the code of 2^step times its light. Step 0 keeps
// every code, also where a curve is flat and several have one light.
func (l light) exposed(step rules.Stops) []uint16 {
	gain := math.Exp2(float64(step))
	table := make([]uint16, codes)
	first := 0
	for v := range table {
		if step == 0 {
			table[v] = uint16(v)
			continue
		}
		y := gain * l[v] // which never falls, so first needn't go back
		for first < codes-1 && l[first] < y {
			first++
		}
		table[v] = l.nearest(first, y)
	}
	return table
}

// exposed is the table of each channel.
func (ls lights) exposed(step rules.Stops) [][]uint16 {
	tables := make([][]uint16, len(ls))
	for c, l := range ls {
		tables[c] = l.exposed(step)
	}
	return tables
}

// neutral is the pixel of a grey of the given L*.
func (ls lights) neutral(lightness float64) []uint16 {
	pixel := make([]uint16, len(ls))
	for c, l := range ls {
		pixel[c] = l.code(colour.FromLightness(lightness))
	}
	return pixel
}
