package picture

import (
	"errors"
	"fmt"

	"lampblack/rules/colour"
)

// pcsWhite is the white of ICC's profile connection space (ICC.1:2022, 7.2.16).
var pcsWhite = colour.XYZ{X: pcsX, Y: 1, Z: pcsZ}

const pcsX, pcsZ = 0.9642, 0.8249

// curve leads from a device value to a linear one, both 0..1.
type curve func(float64) float64

// encoding says what the samples of a picture mean: by curves and a matrix, or,
// for print and the odd display, by a function of all channels at once.
type encoding struct {
	name    string
	assumed bool // the file doesn't say so
	curves  [3]curve
	toXYZ   colour.Matrix // from linear RGB to XYZ of the PCS; Y of R = G = B = 1 is 1

	// lab, if not nil, stands for curves and toXYZ: the colour of 3 or 4 device
	// values, 0..1, relative to the medium's white.
	lab func(values) colour.Lab
}

// sRGB is what a picture is taken for that doesn't say what it is.
func sRGB() encoding {
	c := colour.SRGB.Decode
	return encoding{
		name:   "sRGB",
		curves: [3]curve{c, c, c},
		toXYZ:  colour.Bradford(colour.D65.XYZ(1), pcsWhite).Mul(colour.SRGB.ToXYZ()),
	}
}

// encoding picks the file's own encoding, or sRGB and a note why.
func (f facts) encoding() (encoding, []string) {
	enc, err := f.tagged()
	if err == nil {
		return enc, nil
	}
	enc = sRGB()
	if f.channels == 4 {
		enc.lab = enc.ofInks
	}
	enc.assumed = true
	return enc, []string{"The file " + err.Error() + "; it was taken as sRGB."}
}

// ofInks is the rule of thumb for inks of which nothing is known: each of cyan,
// magenta and yellow takes its share away from red, green or blue, and black from
// all.
func (e encoding) ofInks(ink values) colour.Lab {
	linear := func(c int) float64 { return e.curves[c]((1 - ink[c]) * (1 - ink[3])) }
	return colour.LabOf(e.toXYZ.Apply(colour.XYZ{X: linear(0), Y: linear(1), Z: linear(2)}), pcsWhite)
}

// tagged is the encoding that the file declares. The error continues a sentence
// that begins with "The file".
func (f facts) tagged() (encoding, error) {
	switch {
	case f.profileTrash != "":
		return encoding{}, unusable(errors.New(f.profileTrash))
	case f.profile != nil:
		p, err := parseProfile(f.profile)
		if err == nil && p.channels != f.channels {
			err = fmt.Errorf("it is for %s, the picture is in %s", inWords(p.channels), inWords(f.channels))
		}
		if err != nil {
			return encoding{}, unusable(err)
		}
		return p.encoding, nil
	case f.sRGB:
		return sRGB(), nil
	}
	return encoding{}, errors.New("carries no colour profile")
}

func inWords(channels int) string {
	switch channels {
	case 1:
		return "grey"
	case 4:
		return "CMYK"
	}
	return "RGB"
}

func unusable(err error) error {
	return fmt.Errorf("has a colour profile that can't be used (%w)", err)
}

// tables is an encoding made ready for the samples of one picture.
type tables struct {
	linear [3][]float32  // per channel, by code value
	y      [3][]int32    // each channel's part of the luminance, unit = 1
	toXYZ  colour.Matrix // from the linear values
	grid   *grid         // instead of all these, or nil
}

// tables tabulates the encoding for all code values: 256 of them, or 65536 when
// the picture has more than 8 bits a channel. A grey picture uses the first
// channel alone, which then stands for all of the white.
func (e encoding) tables(f facts) tables {
	codes := 256
	if f.depth > 8 {
		codes = 65536
	}
	if e.lab != nil {
		return tables{grid: newGrid(e.lab, f.channels, codes)}
	}
	t := tables{toXYZ: e.toXYZ}
	if f.channels == 1 {
		t.toXYZ = colour.Matrix{{pcsWhite.X, 0, 0}, {pcsWhite.Y, 0, 0}, {pcsWhite.Z, 0, 0}}
	}
	for c := range f.channels {
		t.linear[c] = make([]float32, codes)
		t.y[c] = make([]int32, codes)
		for v := range codes {
			l := e.curves[c](float64(v) / float64(codes-1))
			t.linear[c][v] = float32(l)
			t.y[c][v] = int32(unit*t.toXYZ[1][c]*l + 0.5)
		}
	}
	return t
}
