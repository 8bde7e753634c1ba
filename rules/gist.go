package rules

import (
	"math"

	"lampblack/rules/colour"
)

// gistPercentiles are where the tones of a picture are told in its gist, as shares of its
// pixels.
var gistPercentiles = [9]float64{0.02, 0.08, 0.20, 0.35, 0.50, 0.65, 0.80, 0.92, 0.98}

// Gist is what the journal keeps of an export's picture, to recognise it when the next
// export to the same path is the same picture raised. Of a picture that was recognised so
// it is the gist of the one that was judged, before the raise.
type Gist struct {
	Width     int        `json:"width"` // pixels
	Height    int        `json:"height"`
	Lightness [9]float64 `json:"lightness"`       // L* at 2, 8, 20, 35, 50, 65, 80, 92 and 98 % of the pixels, to a hundredth
	Dark      bool       `json:"dark,omitempty"`  // its print was predicted dark: raising it would be an answer
	About     string     `json:"about,omitempty"` // what a notice of that is about; see [Report.About]
}

// gist is what the journal keeps of the picture that the report is on, as it was judged.
func (r *Report) gist(pic *Picture) *Gist {
	g := gistOf(pic)
	if g != nil && r.printsDark() {
		g.Dark, g.About = true, r.About()
	}
	return g
}

// gistOf is the gist of a picture; nil without pixels or tones.
func gistOf(pic *Picture) *Gist {
	if pic.Width < 1 || pic.Height < 1 || len(pic.Tones) == 0 {
		return nil
	}
	g := Gist{Width: pic.Width, Height: pic.Height}
	for i, p := range gistPercentiles {
		g.Lightness[i] = math.Round(100*lightnessAt(pic.Tones, p)) / 100
	}
	return &g
}

// lightnessAt is L* below which the share p of the picture lies, between the middles of
// its tones: they are groups half an L* wide, and what is looked for is finer.
func lightnessAt(tones []Tone, p float64) float64 {
	before, lightness, sum := 0.0, math.NaN(), 0.0
	for _, t := range tones {
		l, middle := colour.Lightness(t.Y), sum+t.Share/2
		if middle >= p {
			if math.IsNaN(lightness) {
				return l
			}
			return lightness + (l-lightness)*(p-before)/(middle-before)
		}
		before, lightness, sum = middle, l, sum+t.Share
	}
	return lightness
}
