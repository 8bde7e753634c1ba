package picture

import (
	"errors"
	"fmt"

	"lampblack/agent/icc"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// encoding is what the samples of a picture mean.
type encoding struct {
	icc.Profile
	assumed bool // the file doesn't say so
}

// encoding picks the file's own encoding, or sRGB and a note why.
func (f facts) encoding() (encoding, []rules.Sentence) {
	enc, err := f.tagged()
	if err == nil {
		return enc, nil
	}
	enc = encoding{sRGB, true}
	if f.channels == 4 {
		enc.Channels, enc.ToLab = 4, ofInks
	}
	if errors.Is(err, errNoProfile) {
		return enc, []rules.Sentence{{Code: rules.NoteNoProfile, Text: "The file carries no colour profile; it was taken as sRGB."}}
	}
	return enc, []rules.Sentence{{
		Code: rules.NoteBadProfile,
		Text: fmt.Sprintf("The file's colour profile can't be used (%v); it was taken as sRGB.", err),
	}}
}

// ofInks is the rule of thumb for inks of which nothing is known: each of cyan,
// magenta and yellow takes its share away from red, green or blue of sRGB, and
// black from all.
func ofInks(ink icc.Values) colour.Lab {
	light := func(c int) float64 { return (1 - ink[c]) * (1 - ink[3]) }
	return sRGB.Colour(icc.Values{light(0), light(1), light(2)})
}

// sRGB is what a picture is taken for that doesn't say what it is.
var sRGB = icc.SRGB()

// errNoProfile: the file doesn't say what its samples mean.
var errNoProfile = errors.New("it carries no colour profile")

// tagged is the encoding that the file declares; an error is errNoProfile, or says why
// its colour profile can't be used.
func (f facts) tagged() (encoding, error) {
	switch {
	case f.profileTrash != "":
		return encoding{}, errors.New(f.profileTrash)
	case f.profile != nil:
		p, err := icc.Parse(f.profile)
		if err == nil && p.Channels != f.channels {
			err = fmt.Errorf("it is for %s, the picture is in %s", inWords(p.Channels), inWords(f.channels))
		}
		if err != nil {
			return encoding{}, err
		}
		return encoding{Profile: p}, nil
	case f.sRGB:
		return encoding{Profile: sRGB}, nil
	}
	return encoding{}, errNoProfile
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

// tables is an encoding made ready for the samples of one picture.
type tables struct {
	linear [3][]float32  // per channel, by code value
	y      [3][]int32    // each channel's part of the luminance, unit = 1
	toXYZ  colour.Matrix // from the linear values
	grid   *icc.Grid     // instead of all these, or nil
}

// tables tabulates the encoding for all code values: 256 of them, or 65536 when
// the picture has more than 8 bits a channel. A grey picture uses the first
// channel alone, which then stands for all of the white.
func (e encoding) tables(f facts) tables {
	codes := 256
	if f.depth > 8 {
		codes = 65536
	}
	if e.ToLab != nil {
		return tables{grid: icc.NewGrid(e.ToLab, f.channels, codes, unit)}
	}
	t := tables{toXYZ: e.ToXYZ}
	if f.channels == 1 {
		t.toXYZ = colour.Matrix{{icc.PCSWhite.X, 0, 0}, {icc.PCSWhite.Y, 0, 0}, {icc.PCSWhite.Z, 0, 0}}
	}
	for c := range f.channels {
		t.linear[c] = make([]float32, codes)
		t.y[c] = make([]int32, codes)
		for v := range codes {
			l := e.Curves[c](float64(v) / float64(codes-1))
			t.linear[c][v] = float32(l)
			t.y[c][v] = int32(unit*t.toXYZ[1][c]*l + 0.5)
		}
	}
	return t
}
