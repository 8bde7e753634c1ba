package icc

import (
	"errors"
	"fmt"
	"math"

	"lampblack/rules/colour"
)

// Paper is what a printer's or a press's ICC profile says about its sheet. Its
// JSON is that of the answer of picture's worker.
//
// White and Black are absolute: relative to a perfectly white sheet (L* 100), at
// D50, so the paper's own white has an L* of 85 to 98. RelativeBlack is the L* of
// black with the paper's white as 100: what remains to the eye that has adapted
// to the sheet.
type Paper struct {
	White         colour.Lab `json:"white"`
	Black         colour.Lab `json:"black"`
	RelativeBlack float64    `json:"relative_black"`
	Description   string     `json:"description"`
}

// ErrNoPaper: the profile is sound as far as was looked, but of no paper.
var ErrNoPaper = errors.New("this is the colour profile of a screen, a camera or a picture, not of a paper: name the one that belongs to the paper")

// PaperOf reads the paper from an ICC profile of a device in grey, RGB or CMYK.
// Its errors are sentences that say what to do: [ErrNoPaper], or that the profile
// can't be used, and why.
//
// White is the profile's media white. Black is the darkest that printing by the
// profile reaches: Lab (0, 0, 0) led to the device and back by the colorimetric
// tables (B2A1, A2B1), since all inks at their fullest are often neither printed
// nor darker. Without a table to the device it is the device's own black.
func PaperOf(profile []byte) (Paper, error) {
	t, err := readTags(profile)
	if err != nil {
		return Paper{}, unusable(err)
	}
	if !ofOutput(profile) {
		return Paper{}, ErrNoPaper
	}
	p, err := Parse(profile)
	if err != nil {
		return Paper{}, unusable(err)
	}
	white, err := parseXYZ(t["wtpt"])
	if err != nil || !(white.X > 0 && white.Y > 0.2 && white.Y < 1.2 && white.Z > 0) {
		return Paper{}, unusable(errors.New("it has no sensible white of the paper"))
	}
	device := deviceBlack(p.Channels)
	if tag := t.toDevice(); tag != nil {
		if device, err = darkest(tag, p.Channels, string(profile[20:24])); err != nil {
			return Paper{}, unusable(err)
		}
	}
	black := p.Colour(device)
	if !(black.L < 60 && math.Abs(black.A) < 100 && math.Abs(black.B) < 100) {
		return Paper{}, unusable(fmt.Errorf("its black is L* %.0f, a* %.0f, b* %.0f", black.L, black.A, black.B))
	}
	relative := colour.Lab{L: max(black.L, 0), A: black.A, B: black.B}.XYZ(PCSWhite)
	absolute := colour.XYZ{
		X: relative.X * white.X / PCSWhite.X, Y: relative.Y * white.Y, Z: relative.Z * white.Z / PCSWhite.Z,
	}
	return Paper{
		White:         colour.LabOf(white, PCSWhite),
		Black:         colour.LabOf(absolute, PCSWhite),
		RelativeBlack: max(black.L, 0),
		Description:   p.Name,
	}, nil
}

// ofOutput tells a profile of something that prints (class "prtr") from those of
// screens, cameras and working spaces, which know of no sheet and have a black that
// no ink has. Classes that are for no picture at all are left to Parse.
func ofOutput(profile []byte) bool {
	switch string(profile[12:16]) {
	case "mntr", "scnr", "spac":
		return false
	}
	return true
}

func unusable(err error) error {
	return fmt.Errorf("the colour profile can't be used (%w): get it again from the paper's maker", err)
}

// deviceBlack is no light, or, in CMYK, all the ink.
func deviceBlack(channels int) Values {
	if channels == 4 {
		return Values{1, 1, 1, 1}
	}
	return Values{}
}

// toDevice is the table from colours to the device, the colorimetric one first.
func (t tags) toDevice() []byte {
	if tag := t["B2A1"]; tag != nil {
		return tag
	}
	return t["B2A0"]
}

// darkest is the device values of Lab (0, 0, 0).
func darkest(tag []byte, channels int, pcs string) (Values, error) {
	b2a, err := parseTable(tag)
	if err != nil {
		return Values{}, err
	}
	if b2a.in != 3 || b2a.out != channels {
		return Values{}, fmt.Errorf("a table leads from %d channels to %d", b2a.in, b2a.out)
	}
	return b2a.apply(b2a.valuesOf(colour.Lab{}, pcs)), nil
}
