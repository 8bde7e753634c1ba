package config

import (
	"lampblack/rules"
	"lampblack/rules/colour"
)

// What stands in where the profile is silent. The desk's targets are common
// practice for print work, no source; so is the white of a screen that nobody
// has measured, which is about what an office display comes out of its box with.
const (
	assumedWhite     rules.Luminance = 160 // cd/m²
	assumedPoint     rules.Kelvin    = 6500
	assumedContrast                  = 1000
	assumedSurround                  = 0.20
	assumedShare                     = 0.6
	assumedLamps     rules.Kelvin    = 4000
	assumedPaperL                    = 96.0 // L*
	assumedDMax                      = 1.7
	assumedWall      rules.Lux       = 200
	assumedWallLamps rules.Kelvin    = 3000
	readingHours                     = 4
	meterUncertainty                 = 0.15

	// referenceRoomShare is the reference room's light over the upper limit.
	referenceRoomShare = 0.75
)

// Diffuse reflection coefficients of screens that nobody has measured,
// cd·m⁻²·lx⁻¹: within published ranges, which span a factor of four.
var screenFinishes = map[string]float64{"matt": 0.0045, "gloss": 0.003}

// defaultTarget is what the desk should be when the profile doesn't say.
var defaultTarget = rules.Target{
	White:             rules.Range{Low: 90, High: 120},
	WhitePoint:        rules.Range{Low: 5600, High: 6500},
	Surround:          rules.Range{Low: 0.15, High: 0.30},
	Room:              64,
	RecalibrateDays:   30,
	ReferenceWhite:    95,
	ReferencePoint:    6000,
	ReferenceRoom:     48,
	ReferenceSurround: 0.20,
}

// defaultMatch are the names of finished pictures.
var defaultMatch = []string{"*.tif", "*.tiff", "*.jpg", "*.jpeg", "*.png"}

// Default is the profile of an empty file: nothing is stated, everything is
// assumed, and no folder is watched.
func Default() *rules.Profile {
	return build(nil)
}

// daylight is the chromaticity of a white of temperature t. The schema keeps t
// within the locus, and a test holds the schema against it.
func daylight(t rules.Kelvin) colour.XY {
	xy, _ := colour.Daylight(t)
	return xy
}

func assumedDisplay() rules.Display {
	return displayOf(section{values: map[string]any{"name": "screen"}})
}

func assumedPaper() rules.Paper {
	return paperOf(section{values: map[string]any{"name": "a matt paper"}})
}

func assumedViewing() rules.Viewing {
	return viewingOf(section{values: map[string]any{"name": "a lit wall"}})
}
