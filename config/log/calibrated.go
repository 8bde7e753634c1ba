package log

import (
	"time"

	"lampblack/rules"
)

// Calibrated is that a display was calibrated.
type Calibrated struct{ About }

// Kind is the table of calibrations.
func (*Calibrated) Kind() string { return "calibrated" }

// Words are like "the calibration of north bench".
func (c *Calibrated) Words() string { return "the calibration of " + c.Display }

func (c *Calibrated) fields(f *fields) {
	moment(f, needed, "at", &c.At)
	c.source(f)
	line(f, needed, "display", &c.Display)
}

// layOver counts whenever it is newer than the calibration that the profile names.
func (c *Calibrated) layOver(p *rules.Profile, _ time.Time) {
	if d := displayNamed(p, c.Display); d != nil && c.At.After(d.Measured.Value) {
		d.Measured = rules.Stated(c.At)
	}
}
