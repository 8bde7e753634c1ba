// Package icc reads ICC colour profiles: those of pictures, of papers, of
// displays. It knows grey, matrix/TRC and table profiles of versions 2 and 4
// (ICC.1:2001-04 and ICC.1:2022), and a profile's name.
//
// [Parse] leads from device values to colours, one at a time and exactly; [Grid]
// does the same for millions of pixels; [PaperOf] tells the white and the black of
// the sheet that a printer's profile was made for.
//
// A profile is as hostile as the file that it comes in: nothing is allocated on
// its word, every count is held against the bytes that are there, and whatever is
// wrong is an error, never a panic.
//
// The reader is our own because the one library at hand (kovidgoyal/imaging) needs
// more guarding than it saves: a curve's count is allocated before it is checked
// (8 GB from 12 bytes), an inverse is always prepared and takes the square of an
// uneven curve's length, tags of a wrong type panic, and a short sampled curve near
// sRGB's is replaced by sRGB's (up to 0.56 ΔE). A gate in front of it would have
// to know each element's inner counts, which is most of a reader.
package icc

import (
	"encoding/binary"
	"errors"
	"fmt"

	"lampblack/config/legible"
	"lampblack/rules/colour"
)

// PCSWhite is the white of ICC's profile connection space, D50 with Y = 1
// (ICC.1:2022, 7.2.16). All colours here are relative to it.
var PCSWhite = colour.XYZ{X: PCSX, Y: 1, Z: PCSZ}

// PCSX and PCSZ are X and Z of [PCSWhite], as constants for inner loops.
const PCSX, PCSZ = 0.9642, 0.8249

// MostChannels is how many channels a device has at most.
const MostChannels = 4

// Values are device values or coordinates of a connection space, 0..1; as many
// as there are channels are in use. In CMYK 0 is no ink.
type Values = [MostChannels]float64

// Curve leads from a device value to a linear one, both 0..1.
type Curve func(float64) float64

// Profile says what device values mean: by curves and a matrix, or, for print and
// the odd display, by a function of all channels at once.
type Profile struct {
	Name     string // its description, fit to be shown, or words for its lack
	Channels int    // 1: grey, 3: RGB, 4: CMYK

	// Curves lead to linear light. A grey profile has the first alone, which
	// leads to Y; one that works by tables has none.
	Curves [3]Curve
	// ToXYZ leads from linear R, G, B to XYZ relative to [PCSWhite], as the PCS
	// has it; Y of R = G = B = 1 is 1. It is zero in grey.
	ToXYZ colour.Matrix
	// ToLab, if not nil, stands for Curves and ToXYZ: the colour of 3 or 4 device
	// values, 0..1, relative to the medium's white.
	ToLab func(Values) colour.Lab
}

// SRGB is the profile of IEC 61966-2-1, made here of its numbers.
func SRGB() Profile {
	c := Curve(colour.SRGB.Decode)
	return Profile{
		Name:     "sRGB",
		Channels: 3,
		Curves:   [3]Curve{c, c, c},
		ToXYZ:    colour.Bradford(colour.D65.XYZ(1), PCSWhite).Mul(colour.SRGB.ToXYZ()),
	}
}

// Colour is the colour of device values, 0..1, relative to the medium's white.
func (p Profile) Colour(device Values) colour.Lab {
	if p.ToLab != nil {
		return p.ToLab(device)
	}
	if p.Channels == 1 {
		return colour.Lab{L: colour.Lightness(p.Curves[0](device[0]))}
	}
	linear := colour.XYZ{X: p.Curves[0](device[0]), Y: p.Curves[1](device[1]), Z: p.Curves[2](device[2])}
	return colour.LabOf(p.ToXYZ.Apply(linear), PCSWhite)
}

// tags are the elements of a profile by signature.
type tags map[string][]byte

const (
	iccHeader = 128
	mostTags  = 100
)

// Parse reads the profile of a picture or of a device in grey, RGB or CMYK, of
// which device values lead to colours: by the colorimetric table if there is one,
// else the perceptual, else curves. An error continues a sentence about the
// profile ("it is cut short"); beside one, a name that was found is still good.
func Parse(data []byte) (Profile, error) {
	t, err := readTags(data)
	if err != nil {
		return Profile{}, err
	}
	p := Profile{Name: t.name()}
	class, space, pcs := string(data[12:16]), string(data[16:20]), string(data[20:24])
	switch class {
	case "mntr", "scnr", "prtr", "spac":
	default:
		return p, fmt.Errorf("its class %q is none for pictures", legible.Name(class))
	}
	switch {
	case channelsOf[space] == 0:
		return p, fmt.Errorf("it is for %q, which is none of grey, RGB and CMYK", legible.Name(space))
	case t["A2B0"] != nil || t["A2B1"] != nil:
		p.ToLab, err = t.toLab(channelsOf[space], pcs)
	case space == "GRAY" && t["kTRC"] != nil:
		p.Curves[0], err = t.greyCurve(pcs)
	case space == "RGB " && pcs == "XYZ " && t["rXYZ"] != nil:
		p.Curves, p.ToXYZ, err = t.shaper()
	default:
		err = fmt.Errorf("it says too little about %q", legible.Name(space))
	}
	if space == "GRAY" && p.ToLab != nil {
		p.Curves[0], p.ToLab = lightnessOf(p.ToLab), nil
	}
	p.Channels = channelsOf[space]
	return p, err
}

var channelsOf = map[string]int{"GRAY": 1, "RGB ": 3, "CMYK": 4}

// lightnessOf is the curve of a grey table profile: its luminance alone, for a
// tint of the grey is no matter of tone.
func lightnessOf(lab func(Values) colour.Lab) Curve {
	toY := func(v float64) float64 { return colour.FromLightness(lab(Values{v}).L) }
	white := toY(1)
	return func(v float64) float64 { return held(toY(v) / white) }
}

// readTags is the gate: every element lies within the profile, and there are
// not absurdly many.
func readTags(data []byte) (tags, error) {
	if len(data) < iccHeader+4 {
		return nil, errors.New("it is cut short")
	}
	// Some writers pad; nobody may promise more than there is.
	if size := binary.BigEndian.Uint32(data); size < iccHeader+4 || uint64(size) > uint64(len(data)) {
		return nil, fmt.Errorf("it promises %d bytes and has %d", size, len(data))
	}
	if string(data[36:40]) != "acsp" {
		return nil, errors.New("it has no ICC signature")
	}
	count := binary.BigEndian.Uint32(data[iccHeader:])
	table := data[iccHeader+4:]
	if count > mostTags || int(count)*12 > len(table) {
		return nil, fmt.Errorf("it promises %d elements", count)
	}
	t := make(tags, count)
	for ; count > 0; count-- {
		sig := string(table[:4])
		at := uint64(binary.BigEndian.Uint32(table[4:]))
		end := at + uint64(binary.BigEndian.Uint32(table[8:]))
		if end > uint64(len(data)) || end < at+8 {
			return nil, fmt.Errorf("its element %q lies outside of it", legible.Name(sig))
		}
		t[sig] = data[at:end]
		table = table[12:]
	}
	return t, nil
}

// greyCurve is the curve from a grey value to Y. A profile with L*a*b* as its
// PCS gives L* instead.
func (t tags) greyCurve(pcs string) (Curve, error) {
	c, err := parseCurve(t["kTRC"])
	if err != nil {
		return nil, err
	}
	toY := c
	switch pcs {
	case "XYZ ":
	case "Lab ":
		toY = func(v float64) float64 { return colour.FromLightness(100 * c(v)) }
	default:
		return nil, fmt.Errorf("its connection space %q is unknown", legible.Name(pcs))
	}
	white := toY(1)
	if white < 0.01 {
		return nil, errors.New("its white is black")
	}
	return func(v float64) float64 { return toY(v) / white }, nil
}

// shaper is the three curves and the matrix, scaled so that the device's white
// has Y = 1: the profiles' own white misses it by rounding.
func (t tags) shaper() (curves [3]Curve, m colour.Matrix, err error) {
	white := 0.0
	for i, c := range []string{"r", "g", "b"} {
		if curves[i], err = parseCurve(t[c+"TRC"]); err != nil {
			return curves, m, err
		}
		primary, err := parseXYZ(t[c+"XYZ"])
		if err != nil {
			return curves, m, err
		}
		m[0][i], m[1][i], m[2][i] = primary.X, primary.Y, primary.Z
		white += primary.Y * curves[i](1)
	}
	if white < 0.01 {
		return curves, m, errors.New("its white is black")
	}
	for i := range m {
		for j := range m[i] {
			m[i][j] /= white
		}
	}
	return curves, m, nil
}

func parseXYZ(tag []byte) (colour.XYZ, error) {
	if len(tag) < 20 || string(tag[:4]) != "XYZ " {
		return colour.XYZ{}, errors.New("a primary is missing")
	}
	return colour.XYZ{X: s15Fixed16(tag[8:]), Y: s15Fixed16(tag[12:]), Z: s15Fixed16(tag[16:])}, nil
}

// s15Fixed16 is ICC's signed number with 16 binary places.
func s15Fixed16(b []byte) float64 {
	return float64(int32(binary.BigEndian.Uint32(b))) / 65536
}
