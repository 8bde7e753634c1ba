package agent

import (
	"context"
	"slices"
	"time"

	"lampblack/rules"
)

// LightSensor reads the light sensor of the machine. sensor.Sensor does it.
type LightSensor interface {
	Read(ctx context.Context) (rules.Lux, error)
}

// When the sensor is read, and when what it says is worth a line in the log.
const (
	senseEvery = refresh          // while nothing happens; no wake-up of its own
	senseAgain = 30 * time.Second // in a burst of exports one reading does

	logSensedEvery = time.Hour
	logSensedRatio = 4.0 / 3 // more than a third brighter, or as much darker
)

// sigmaSensor is the relative standard uncertainty of a sensor in a screen's
// bezel: behind dark glass, small, and calibrated for the brightness of a screen
// at best (common practice, no source).
const sigmaSensor = 0.35

// sensorNote marks a sensor's readings, in the log and wherever a source is told.
const sensorNote = "light sensor"

// sensing is the machine's sensor as one more source of room light.
type sensing struct {
	asked   bool          // it is being read
	at      time.Time     // when it was last asked
	unsaved rules.Reading // the newest, when it isn't in the log
}

// sensed is what came of one look at the sensor, and when it was asked for.
type sensed = answer[time.Time, rules.Lux]

// askSensor tells whether the sensor is to be asked now, and takes note of it: where
// the profile wants it, and unless that was done within the given time. Exports wait
// for its answer. Times are the wall clock's, by Round(0), as in remember: else a
// reading from before the laptop slept would be minutes old in the morning.
func (d *desk) askSensor(now time.Time, within time.Duration) (at time.Time, ask bool) {
	s := &d.sensing
	now = now.Round(0)
	justAsked := now.Sub(s.at).Abs() < within // Abs: the clock may have been set back
	if !d.profile.Room.Sensor || s.asked || justAsked {
		return now, false
	}
	s.asked, s.at = true, now
	return now, true
}

func sensedReading(at time.Time, light rules.Lux) rules.Reading {
	return rules.Reading{At: at, Light: light, Place: rules.AtScreen, Sigma: sigmaSensor, Note: sensorNote, Source: rules.FromSensor}
}

func sensorText(err error) string { return "Light sensor: " + err.Error() }

// WithSensor is the profile with what a sensor reads now, where it asks for one.
// Where that fails, trouble is a plain sentence, and the profile as it was.
func WithSensor(ctx context.Context, p *rules.Profile, s LightSensor, now time.Time) (_ *rules.Profile, trouble string) {
	if !p.Room.Sensor {
		return p, ""
	}
	light, err := s.Read(ctx)
	if err != nil {
		return p, sensorText(err)
	}
	return withReading(p, sensedReading(now, light)), ""
}

// worthLogging tells whether a sensor's reading says something that its last one
// in the log doesn't.
func worthLogging(logged []rules.Reading, r rules.Reading) bool {
	for _, last := range slices.Backward(logged) {
		if last.Source != rules.FromSensor && last.Note != sensorNote { // older entries don't say their source
			continue
		}
		const dark = 1 // lx: in the dark a third is nothing
		ratio := (r.Light + dark) / (last.Light + dark)
		return r.At.Sub(last.At) >= logSensedEvery || ratio > logSensedRatio || ratio < 1/logSensedRatio
	}
	return true
}

// forgetSensed takes the sensor's reading that isn't in the log out of the profile.
func (d *desk) forgetSensed() {
	r := d.sensing.unsaved
	if r.At.IsZero() {
		return
	}
	p := *d.profile
	p.Readings = slices.DeleteFunc(slices.Clone(p.Readings), func(x rules.Reading) bool { return sameReading(x, r) })
	d.profile = &p
	d.sensing.unsaved = rules.Reading{}
}

func sameReading(a, b rules.Reading) bool {
	return a.At.Equal(b.At) && a.Light == b.Light && a.Note == b.Note
}

// withReading is a copy of p with one reading more.
func withReading(p *rules.Profile, r rules.Reading) *rules.Profile {
	q := *p
	q.Readings = rules.WithReading(slices.Clone(q.Readings), r)
	return &q
}
