package icc

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"

	"lampblack/config/legible"
	"lampblack/rules/colour"
)

// Table profiles: the elements that lead from device values to the connection
// space ("A2B") and back ("B2A") through curves, matrices and grids of colours
// (ICC.1:2022, 10.10 to 10.13).
//
// What a grid costs is bounded by the profile's size, for every count is held
// against the bytes that are there, and the grid stays in them.

// stage is one step of a table element. It changes the values in place.
type stage func(*Values)

// table is a table element: its stages, one after the other.
type table struct {
	in, out int // channels
	stages  []stage
	legacy  bool // L*a*b* has version 2's 16 bits: 100 is 0xff00
}

func (t table) apply(v Values) Values {
	for _, s := range t.stages {
		s(&v)
	}
	return v
}

var errTable = errors.New("a table is damaged")

// parseTable reads a table element of any of the four types.
func parseTable(tag []byte) (table, error) {
	if len(tag) < 32 {
		return table{}, errTable
	}
	t := table{in: int(tag[8]), out: int(tag[9])}
	if t.in < 1 || t.in > MostChannels || t.out < 1 || t.out > MostChannels {
		return t, fmt.Errorf("a table leads from %d channels to %d", t.in, t.out)
	}
	var err error
	switch string(tag[:4]) {
	case "mft1":
		err = t.lut(tag, 1)
	case "mft2":
		t.legacy = true
		err = t.lut(tag, 2)
	case "mAB ":
		err = t.elements(tag, 'a', 'c', 'm', 'x', 'b')
	case "mBA ":
		err = t.elements(tag, 'b', 'x', 'm', 'c', 'a')
	default:
		err = fmt.Errorf("a table of type %q is unknown", legible.Name(string(tag[:4])))
	}
	return t, err
}

// lut reads a lut8Type (width 1) or lut16Type (width 2): a matrix, curves in, a
// grid, curves out.
func (t *table) lut(tag []byte, width int) error {
	inEntries, outEntries, body := 256, 256, 48
	if len(tag) < 52 {
		return errTable
	}
	if width == 2 {
		inEntries, outEntries, body = int(binary.BigEndian.Uint16(tag[48:])), int(binary.BigEndian.Uint16(tag[50:])), 52
	}
	if inEntries < 2 || outEntries < 2 {
		return errTable
	}
	if m := parseMatrix(tag[12:48]); t.in == 3 && m != identity {
		t.stages = append(t.stages, matrixStage(m, [3]float64{}))
	}
	r := numbers{tag[body:], width}
	curves, err := r.curves(t.in, inEntries)
	if err != nil {
		return err
	}
	t.stages = append(t.stages, curves)
	sides := [MostChannels]int{}
	for i := range t.in {
		sides[i] = int(tag[10])
	}
	lattice, err := r.lattice(sides, t.in, t.out)
	if err != nil {
		return err
	}
	t.stages = append(t.stages, lattice.stage)
	if curves, err = r.curves(t.out, outEntries); err != nil {
		return err
	}
	t.stages = append(t.stages, curves)
	return nil
}

// elements reads a lutAToBType or lutBToAType, whose parts lie anywhere. order
// names them in the order in which they work: a, m and b are curves, c is the
// grid, x the matrix. Parts may be missing.
func (t *table) elements(tag []byte, order ...byte) error {
	where := map[byte]int{'b': 12, 'x': 16, 'm': 20, 'c': 24, 'a': 28}
	channels := t.in
	for _, part := range order {
		at := binary.BigEndian.Uint32(tag[where[part]:])
		if at == 0 {
			continue
		}
		if uint64(at) > uint64(len(tag)) {
			return errTable
		}
		s, err := t.element(part, tag[at:], channels)
		if err != nil {
			return err
		}
		if part == 'c' {
			channels = t.out
		}
		t.stages = append(t.stages, s)
	}
	if channels != t.out {
		return errTable
	}
	return nil
}

// element reads one part that works on a number of channels.
func (t *table) element(part byte, b []byte, channels int) (stage, error) {
	switch {
	case part == 'c':
		const sides, head = 16, 20 // the sides, the width of a number, padding
		if len(b) < head || b[sides] < 1 || b[sides] > 2 {
			return nil, errTable
		}
		r := numbers{b[head:], int(b[sides])}
		lattice, err := r.lattice([MostChannels]int{int(b[0]), int(b[1]), int(b[2]), int(b[3])}, t.in, t.out)
		return lattice.stage, err
	case part != 'x':
		return curveElements(b, channels)
	case len(b) < 48 || channels != 3:
		return nil, errTable
	}
	offset := [3]float64{s15Fixed16(b[36:]), s15Fixed16(b[40:]), s15Fixed16(b[44:])}
	return matrixStage(parseMatrix(b), offset), nil
}

// curveElements reads whole curve elements, one after the other.
func curveElements(b []byte, channels int) (stage, error) {
	var curves [MostChannels]Curve
	for i := range channels {
		c, err := parseRawCurve(b)
		if err != nil {
			return nil, err
		}
		curves[i] = c
		b = b[min(curveLength(b), len(b)):]
	}
	return func(v *Values) {
		for i, c := range curves[:channels] {
			v[i] = finite(c(v[i]))
		}
	}, nil
}

// finite is v without its extremes. Between the stages of the newer tables values
// may leave 0..1: those of HDR profiles do, and return.
func finite(v float64) float64 {
	const most = 1e4
	if v > -most { // false for NaN, too
		return min(v, most)
	}
	return 0
}

// curveLength is the bytes that a curve element takes, up to the next one.
func curveLength(element []byte) int {
	length := 12 + 2*int(binary.BigEndian.Uint32(element[8:]))
	if string(element[:4]) == "para" {
		length = 12 + 4*parametersOf[binary.BigEndian.Uint16(element[8:])]
	}
	return (length + 3) &^ 3
}

var identity = colour.Matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}

func parseMatrix(b []byte) (m colour.Matrix) {
	for i := range 9 {
		m[i/3][i%3] = s15Fixed16(b[4*i:])
	}
	return m
}

func matrixStage(m colour.Matrix, offset [3]float64) stage {
	return func(v *Values) {
		w := m.Apply(colour.XYZ{X: v[0], Y: v[1], Z: v[2]})
		v[0], v[1], v[2] = finite(w.X+offset[0]), finite(w.Y+offset[1]), finite(w.Z+offset[2])
	}
}

// The largest coordinates of the connection spaces: XYZ is written with 15
// binary places, version 2's 16-bit L*a*b* with 8 bits and 8 places.
const (
	largestXYZ = 1 + 32767.0/32768
	legacyLab  = 65535.0 / 65280
)

// labFrom reads what a table of device-to-connection kind gave.
func (t table) labFrom(v Values, pcs string) colour.Lab {
	if pcs == "XYZ " {
		return colour.LabOf(colour.XYZ{X: v[0], Y: v[1], Z: v[2]}.Scale(largestXYZ), PCSWhite)
	}
	scale := 1.0
	if t.legacy {
		scale = legacyLab
	}
	return colour.Lab{L: 100 * scale * v[0], A: 255*scale*v[1] - 128, B: 255*scale*v[2] - 128}
}

// valuesOf writes a colour as a table of connection-to-device kind takes it.
func (t table) valuesOf(lab colour.Lab, pcs string) Values {
	if pcs == "XYZ " {
		xyz := lab.XYZ(PCSWhite).Scale(1 / largestXYZ)
		return Values{held(xyz.X), held(xyz.Y), held(xyz.Z)}
	}
	scale := 1.0
	if t.legacy {
		scale = legacyLab
	}
	return Values{held(lab.L / (100 * scale)), held((lab.A + 128) / (255 * scale)), held((lab.B + 128) / (255 * scale))}
}

// toLab is a profile's table from the device, as a function: the colorimetric
// one if there is one, else the perceptual, which many profiles have alone.
func (t tags) toLab(channels int, pcs string) (func(Values) colour.Lab, error) {
	tag := t["A2B1"]
	if tag == nil {
		tag = t["A2B0"]
	}
	a2b, err := parseTable(tag)
	if err != nil {
		return nil, err
	}
	if a2b.in != channels || a2b.out != 3 {
		return nil, fmt.Errorf("a table leads from %d channels to %d", a2b.in, a2b.out)
	}
	if pcs != "XYZ " && pcs != "Lab " {
		return nil, fmt.Errorf("its connection space %q is unknown", legible.Name(pcs))
	}
	return func(v Values) colour.Lab { return a2b.labFrom(a2b.apply(v), pcs) }, plausible(a2b, pcs)
}

// plausible refuses a table by which white paper or a white screen is dark, or
// no lighter than black.
func plausible(a2b table, pcs string) error {
	white, black := Values{1, 1, 1, 1}, Values{}
	if a2b.in == 4 {
		white, black = black, white
	}
	w, b := a2b.labFrom(a2b.apply(white), pcs).L, a2b.labFrom(a2b.apply(black), pcs).L
	if !(w > 50 && w > b+10) || math.IsInf(w, 0) {
		return fmt.Errorf("by its tables white has L* %.0f and black %.0f", w, b)
	}
	return nil
}
