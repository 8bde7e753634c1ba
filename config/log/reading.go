package log

import (
	"strconv"
	"time"

	"lampblack/rules"
)

// Reading is a reading of the room's light.
type Reading struct {
	rules.Reading
	Display string // at whose face it was taken; empty: nobody said
}

// Kind is the table of readings.
func (*Reading) Kind() string { return "reading" }

// Told is what the reading says beside its light.
func (r *Reading) Told() About { return About{r.At, r.Display, r.Source, r.Sigma} }

// Words are like "48 lx at the screen".
func (r *Reading) Words() string { return figure(float64(r.Light)) + " lx at the " + string(r.Place) }

func (r *Reading) fields(f *fields) {
	moment(f, needed, "at", &r.At)
	number(f, needed, "lx", &r.Light, 0, rules.MostLux)
	number(f, added, "k", &r.Kelvin, rules.CoolestLamp, rules.BluestSky)
	sigma(f, &r.Sigma)
	line(f, added, "note", &r.Note)
	line(f, added, "source", &r.Source)
	line(f, added, "display", &r.Display)
	choice(f, needed, "place", &r.Place, rules.Places())
}

func (r *Reading) layOver(p *rules.Profile, _ time.Time) {
	p.Readings = rules.WithReading(p.Readings, r.Reading)
}

// series is the desk's; what was read at a print is of use for as long as it is good.
func (r *Reading) series() string {
	if r.Place == rules.AtPrint {
		return ""
	}
	return "desk"
}

// figure is a number to three digits, as far as anybody reads it.
func figure(v float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	if err != nil {
		rounded = v
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}
