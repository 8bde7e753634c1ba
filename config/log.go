package config

import (
	"slices"
	"time"

	"lampblack/rules"
)

// Log is what the program has noted beside the profile, in the order of the
// file: facts that the user states in passing, which must not rewrite the
// profile.
type Log struct {
	Readings   []rules.Reading
	Calibrated []Mark
	Surrounds  []SurroundMark
	Whites     []WhiteMark
}

// Mark is the moment at which a display was said to be calibrated.
type Mark struct {
	At      time.Time
	Display string
}

// SurroundMark is the moment at which the surround was said to be of that name,
// one of [rules.SurroundNames].
type SurroundMark struct {
	At   time.Time
	Name string
}

// WhiteMark is the moment at which a display was said to be set to that white.
type WhiteMark struct {
	At      time.Time
	White   rules.Luminance
	Sigma   float64 // relative standard uncertainty of what read it; 0: nothing did, somebody said so
	Display string
}

// append adds what another log has noted after this one.
func (l *Log) append(more Log) {
	l.Readings = append(l.Readings, more.Readings...)
	l.Calibrated = append(l.Calibrated, more.Calibrated...)
	l.Surrounds = append(l.Surrounds, more.Surrounds...)
	l.Whites = append(l.Whites, more.Whites...)
}

// since is the log without the readings from before that moment, but for the newest
// of those at the desk: it may still be the newest of all.
func (l Log) since(moment time.Time) Log {
	newest := -1
	for i, r := range l.Readings {
		if r.Place != rules.AtPrint && r.At.Before(moment) && (newest < 0 || !r.At.Before(l.Readings[newest].At)) {
			newest = i
		}
	}
	var kept []rules.Reading
	for i, r := range l.Readings {
		if i == newest || !r.At.Before(moment) {
			kept = append(kept, r)
		}
	}
	l.Readings = kept
	return l
}

// Apply is a copy of p with what the log knows better: its readings besides
// those of the profile, the newest calibration of each display, and the newest
// white and surround that were set after the profile was last written
// (profileModified). p itself stays as it is.
func (l Log) Apply(p *rules.Profile, profileModified time.Time) *rules.Profile {
	q := *p
	q.Readings = sortReadings(slices.Concat(p.Readings, l.Readings))
	q.Displays = slices.Clone(p.Displays)
	for i := range q.Displays {
		d := &q.Displays[i]
		for _, m := range l.Calibrated {
			if m.Display == d.Name && m.At.After(d.Measured.Value) {
				d.Measured = rules.Stated(m.At)
			}
		}
		set := profileModified
		for _, m := range l.Whites {
			if m.Display == d.Name && m.At.After(set) {
				set, d.WhiteAt = m.At, m.At
				d.White, d.WhiteSigma = rules.Stated(m.White), m.Sigma
			}
		}
	}
	latest := profileModified
	for _, m := range l.Surrounds {
		if y, ok := rules.SurroundNamed(m.Name); ok && m.At.After(latest) {
			latest = m.At
			q.Surround.RelativeY, q.Surround.Name = rules.Stated(y), m.Name
		}
	}
	return &q
}

// sortReadings puts readings in order of time, those of one moment as they
// came, and leaves out those that say the same of the same moment.
func sortReadings(rs []rules.Reading) []rules.Reading {
	slices.SortStableFunc(rs, func(a, b rules.Reading) int { return a.At.Compare(b.At) })
	type saying struct {
		light rules.Lux
		place rules.Place
	}
	said := map[saying]bool{} // of one moment
	var moment time.Time
	return slices.DeleteFunc(rs, func(r rules.Reading) bool {
		if !r.At.Equal(moment) {
			clear(said)
			moment = r.At
		}
		s := saying{r.Light, r.Place}
		twice := said[s]
		said[s] = true
		return twice
	})
}
