package config

import (
	"time"

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
)

// Diffuse reflection coefficients of screens that nobody has measured,
// cd·m⁻²·lx⁻¹: within published ranges, which span a factor of four.
var screenFinishes = map[string]float64{"matt": 0.0045, "gloss": 0.003}

var defaultWhites = rules.Range{Low: 90, High: 120} // cd/m²

const defaultRoom rules.Lux = 64

// defaultTarget is what the desk should be when the profile doesn't say. The white and
// the room to count from are the geometric middle of their ranges: 104 cd/m² and 32 lx.
var defaultTarget = rules.Target{
	White:             defaultWhites,
	WhitePoint:        rules.Range{Low: 5600, High: 6500},
	Surround:          rules.Range{Low: 0.15, High: 0.30},
	Room:              defaultRoom,
	RecalibrateDays:   30,
	ReferenceWhite:    rules.Luminance(defaultWhites.Middle()),
	ReferencePoint:    6000,
	ReferenceRoom:     middleOfRoom(defaultRoom),
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

// finish is how the face of a screen reflects that is of a kind.
func finish(name string) rules.ScreenFinish {
	return rules.ScreenFinish{Name: name, Diffuse: screenFinishes[name]}
}

// assumedProfile is a profile of which nothing is stated, and without what there may
// be several of.
func assumedProfile() *rules.Profile {
	return &rules.Profile{
		Target: defaultTarget,
		Surround: rules.Surround{
			RelativeY: rules.Assume(assumedSurround),
			Backdrop:  rules.Assume(rules.NeutralBackdrop),
			Share:     rules.Assume(assumedShare),
		},
		Room: rules.Room{
			ReadingLife:      readingHours * time.Hour,
			Lamps:            rules.Assume(assumedLamps),
			MeterUncertainty: meterUncertainty,
			LightOf:          rules.OfPaper,
		},
		Quiet: rules.Quiet{Noticeable: 0.15, Clear: 0.33, Colourful: 0.93, Contrast: 0.90, StepsLost: 0.25, Probability: 0.6, Gap: 240 * time.Minute},
	}
}

func assumedDisplay() rules.Display {
	return rules.Display{
		Name:       "screen",
		White:      rules.Assume(assumedWhite),
		WhitePoint: rules.Assume(daylight(assumedPoint)),
		Contrast:   rules.Assume(float64(assumedContrast)),
		Measured:   rules.Assume(time.Time{}),
		Screen:     rules.Assume(finish("matt")),
		Hood:       rules.Assume(false),
		Held:       rules.Assume(false),
	}
}

func assumedPaper() rules.Paper {
	return rules.Paper{
		Name:  "a matt paper",
		White: rules.Assume(colour.FromLightness(assumedPaperL)),
		DMax:  rules.Assume(assumedDMax),
	}
}

func assumedViewing() rules.Viewing {
	return rules.Viewing{
		Name:    "a lit wall",
		Light:   rules.Assume(assumedWall),
		Lamps:   rules.Assume(assumedWallLamps),
		Mat:     rules.Assume(rules.WhiteMat),
		Glazing: rules.Assume(rules.NoGlazing),
	}
}

func assumedFolder() rules.Folder {
	return rules.Folder{
		Purpose:    rules.ForPrint,
		Match:      append([]string(nil), defaultMatch...),
		Subfolders: true, // editors make folders for days and jobs
	}
}
