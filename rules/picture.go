package rules

import "lampblack/rules/colour"

// Picture is what the rules need to know of a picture file: facts about the
// file, and the distribution of its tones and colours. Y is luminance relative
// to the file's own white, 0..1.
type Picture struct {
	Width   int     `json:"width"` // pixels, as it is looked at, however it is stored
	Height  int     `json:"height"`
	Depth   int     `json:"depth"`   // bits a channel
	PPI     Figure  `json:"ppi"`     // null when the file doesn't say
	Profile string  `json:"profile"` // the colour profile's own description, or the encoding assumed
	Assumed bool    `json:"assumed_profile"`
	MeanY   float64 `json:"mean_Y"`
	Black   float64 `json:"black_share"` // share of pixels with Y below 0.0005: clipped, or as good as
	White   float64 `json:"white_share"` // share of pixels with Y above 0.9955

	Tones   []Tone     `json:"-"` // in rising order of Y
	Colours []Colour   `json:"-"`
	Notes   []Sentence `json:"-"` // about the file, for the report's notes

	// CurveAt are the tones at which the curve is wanted; nil: at every 2.5 L*.
	CurveAt []float64 `json:"-"`
}

// Tone is a group of pixels of one relative luminance.
type Tone struct {
	Y     float64 `json:"y"` // their mean relative luminance
	Share float64 `json:"s"` // of all pixels; the shares of a picture add up to 1
}

// Colour is a group of pixels of nearly one colour.
type Colour struct {
	Lab   colour.Lab `json:"lab"` // their mean, CIE 1976, D50, relative to the file's white
	Share float64    `json:"s"`   // of all pixels
}
