package picture

import (
	"errors"
	"fmt"
	"math"

	"lampblack/rules/colour"
)

// Paper is what a printer's or a press's ICC profile says about its sheet.
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

// PaperOf reads the paper from an ICC profile of a device in grey, RGB or CMYK.
// Its errors are ErrBroken and ErrUnsupported.
//
// White is the profile's media white. Black is the darkest that printing by the
// profile reaches: Lab (0, 0, 0) led to the device and back by the colorimetric
// tables (B2A1, A2B1), since all inks at their fullest are often neither printed
// nor darker. Without a table to the device it is the device's own black.
func PaperOf(icc []byte) (Paper, error) {
	t, err := readTags(icc)
	if err != nil {
		return Paper{}, unusablePaper(err)
	}
	if !ofOutput(icc) {
		return Paper{}, unsupported("this is the colour profile of a screen, a camera or a picture, not of a paper: name the one that belongs to the paper")
	}
	p, err := parseProfile(icc)
	if err != nil {
		return Paper{}, unusablePaper(err)
	}
	white, err := parseXYZ(t["wtpt"])
	if err != nil || !(white.X > 0 && white.Y > 0.2 && white.Y < 1.2 && white.Z > 0) {
		return Paper{}, unusablePaper(errors.New("it has no sensible white of the paper"))
	}
	device := deviceBlack(p.channels)
	if tag := t.toDevice(); tag != nil {
		if device, err = darkest(tag, p.channels, string(icc[20:24])); err != nil {
			return Paper{}, unusablePaper(err)
		}
	}
	black := p.colour(device)
	if !(black.L < 60 && math.Abs(black.A) < 100 && math.Abs(black.B) < 100) {
		return Paper{}, unusablePaper(fmt.Errorf("its black is L* %.0f, a* %.0f, b* %.0f", black.L, black.A, black.B))
	}
	relative := colour.Lab{L: max(black.L, 0), A: black.A, B: black.B}.XYZ(pcsWhite)
	absolute := colour.XYZ{
		X: relative.X * white.X / pcsWhite.X, Y: relative.Y * white.Y, Z: relative.Z * white.Z / pcsWhite.Z,
	}
	return Paper{
		White:         colour.LabOf(white, pcsWhite),
		Black:         colour.LabOf(absolute, pcsWhite),
		RelativeBlack: max(black.L, 0),
		Description:   p.name,
	}, nil
}

// ofOutput tells a profile of something that prints (class "prtr") from those of
// screens, cameras and working spaces, which know of no sheet and have a black that
// no ink has. Classes that are for no picture at all are left to parseProfile.
func ofOutput(icc []byte) bool {
	switch string(icc[12:16]) {
	case "mntr", "scnr", "spac":
		return false
	}
	return true
}

func unusablePaper(err error) error {
	return broken("the colour profile can't be used (%v): get it again from the paper's maker", err)
}

// deviceBlack is no light, or, in CMYK, all the ink.
func deviceBlack(channels int) values {
	if channels == 4 {
		return values{1, 1, 1, 1}
	}
	return values{}
}

// toDevice is the table from colours to the device, the colorimetric one first.
func (t tags) toDevice() []byte {
	if tag := t["B2A1"]; tag != nil {
		return tag
	}
	return t["B2A0"]
}

// darkest is the device values of Lab (0, 0, 0).
func darkest(tag []byte, channels int, pcs string) (values, error) {
	b2a, err := parseTable(tag)
	if err != nil {
		return values{}, err
	}
	if b2a.in != 3 || b2a.out != channels {
		return values{}, fmt.Errorf("a table leads from %d channels to %d", b2a.in, b2a.out)
	}
	return b2a.apply(b2a.valuesOf(colour.Lab{}, pcs)), nil
}

// colour is the colour of device values, relative to the medium's white.
func (e encoding) colour(device values) colour.Lab {
	if e.lab != nil {
		return e.lab(device)
	}
	if e.curves[1] == nil { // grey
		l := colour.Lightness(e.curves[0](device[0]))
		return colour.Lab{L: l}
	}
	linear := colour.XYZ{X: e.curves[0](device[0]), Y: e.curves[1](device[1]), Z: e.curves[2](device[2])}
	return colour.LabOf(e.toXYZ.Apply(linear), pcsWhite)
}
