package log

import (
	"time"

	"lampblack/rules"
)

// White is that a display was set to a white. Its Sigma is that of what read it; 0:
// nothing did, somebody said so.
type White struct {
	About
	White rules.Luminance
}

// Kind is the table of whites.
func (*White) Kind() string { return "white" }

// Words are like "the white of 120 cd/m² of north bench".
func (w *White) Words() string {
	return "the white of " + figure(float64(w.White)) + " cd/m² of " + w.Display
}

func (w *White) fields(f *fields) {
	moment(f, needed, "at", &w.At)
	number(f, needed, "cd_m2", &w.White, 1, rules.MostWhite)
	sigma(f, &w.Sigma)
	w.source(f)
	line(f, needed, "display", &w.Display)
}

func (w *White) layOver(p *rules.Profile, written time.Time) {
	if d := displayNamed(p, w.Display); d != nil && w.At.After(written) {
		d.White, d.WhiteSigma, d.WhiteAt = rules.Stated(w.White), w.Sigma, w.At
	}
}
