package rules

import (
	"fmt"
	"math"
	"time"
)

// The luminance of the editing display's white, and how far it drifts where
// nobody holds it.

// ScreenLuminance is the name of the condition, and of the cause.
const ScreenLuminance = "screen luminance"

// Standard uncertainties of a white, relative (common practice, no source).
const (
	sigmaWhiteMeasured = 0.03 // a colorimeter against another
	sigmaWhiteSaid     = 0.10 // somebody has set it by eye, or by the display's own scale
	sigmaWhiteGuessed  = 0.30 // nobody has measured this screen
	sigmaWhiteAged     = 0.05 // one recalibration interval: somebody may have touched it
	sigmaDrift         = 0.15 // of the exponent in drift, not relative
)

// driftExponent says how far people turn up a screen that is not held, in a
// room brighter than the reference: white grows by (E/Eref)^driftExponent.
// No source; to be learnt from the person's own measurements.
const driftExponent = 0.3

var screenLuminance = kind{
	name:  ScreenLuminance,
	short: "screen",
	unit:  Unit{Symbol: "cd/m²", ASCII: "cd/m2", Typed: []string{"cd/m²", "cd/m2"}},
	scale: &Scale{From: 40, To: 320, Spacing: ByRatio, Ticks: []float64{10, 20, 40, 60, 80, 120, 160, 240, 320, 640, 1280, 5000}},
	words: wording{
		subject: "the screen", valueOf: "the screen's white",
		low: "too dark", high: "too bright",
	},

	resolve:  resolveWhite,
	expect:   expectWhite,
	remember: func(c *Conditions, v float64) { c.white.value = math.Min(math.Max(v, 1), MostWhite) },

	allowed:   func(t Target) Range { return t.White },
	reference: func(t Target) float64 { return float64(t.ReferenceWhite) },
	here: func(c *Conditions, d desk) desk {
		d.screen.White = Luminance(c.white.value * c.driftFactor(c.room.value, driftExponent))
		return d
	},
	put: func(d desk, v float64) desk {
		d.screen.White = Luminance(v)
		return d
	},
	read: func(d desk) float64 { return float64(d.screen.White) },
	departures: []departure{{
		name:     ScreenLuminance,
		darkens:  "the screen is brighter than you aim for",
		lightens: "the screen is dimmer than you aim for",
		apply: func(d, other desk) desk {
			d.screen.White = other.screen.White
			return d
		},
	}},
	set:    &setting{sentence: setWhiteText},
	doubt:  doubtOfScreen,
	settle: func(c *Conditions, _ *Report) Remedy { return measureScreen(c) },
	inputs: []input{{
		name: "white", column: 0,
		sigma: func(c *Conditions) float64 { return c.white.sigma },
		apply: func(c *Conditions, s drawn, off float64) drawn {
			s.now.screen.White = Luminance(c.white.off(off)) // as measured; the drift comes after
			return s
		},
		renewable: func(c *Conditions) float64 { return renewed(c.white, sigmaWhiteMeasured) },
	}, {
		name: "drift", column: 5,
		sigma: func(c *Conditions) float64 { return c.drift },
		apply: func(c *Conditions, s drawn, off float64) drawn {
			s.now.screen.White *= Luminance(c.driftFactor(float64(s.now.room), driftExponent+off))
			return s
		},
		renewable: func(c *Conditions) float64 {
			if c.aged {
				return 1
			}
			return 0
		},
	}},
}

// resolveWhite is the luminance of the editing display's white as last
// measured. LED backlights fade only some 0.3 % a month; what an old
// calibration mostly means is that somebody may have touched the brightness.
func resolveWhite(at moment, c *Conditions, k *Condition) {
	p, d := at.profile, at.display
	q := estimate{float64(d.White.Value), sigmaWhiteGuessed}
	k.Source = "assumed: nobody has measured it"
	if !d.White.Assumed {
		k.Source = "from the profile, without the day of its measurement"
	}
	if days := daysSince(d.whiteKnown(), at.now); !d.White.Assumed && !math.IsNaN(days) {
		k.AgeHours = Figure(days * 24)
		aged := math.Min(sigmaAgedLimit, sigmaWhiteAged*days/p.Target.RecalibrateDays)
		q.sigma = math.Hypot(sigmaWhiteMeasured, aged)
		k.Source = "measured"
		switch {
		case d.whiteSaid():
			q.sigma, k.Source = math.Hypot(sigmaWhiteSaid, aged), "set from the menu"
		case d.WhiteSigma > 0:
			q.sigma, k.Source = math.Hypot(d.WhiteSigma, aged), "read by a camera or an exposure meter"
		}
	}
	k.Value, k.Sigma = Figure(q.value), Figure(q.sigma)
	k.InTarget = p.Target.White.holdsShown(q.value)
	k.Assumed = d.White.Assumed
	k.Doubt = doubtOfWhite(p.Learnt, d, at.now, p.Quiet)
	c.white = q
	c.held = d.Held.Value
	if !c.held {
		c.drift = sigmaDrift
	}
	c.aged = !(daysSince(d.whiteMeasured(), at.now) < 1)
}

// expectWhite is what a bright room has made of a screen that nobody holds.
func expectWhite(at moment, c *Conditions, k *Condition) {
	expected := c.driftFactor(c.room.value, driftExponent)
	if !(expected > 1) {
		return
	}
	k.Value *= Figure(expected)
	k.InTarget = at.profile.Target.White.holdsShown(float64(k.Value))
	k.Source = expectedSource(c.white.value, at.display)
}

// expectedSource says why a screen is taken to be brighter than its figure.
func expectedSource(white float64, d Display) string {
	figure := fmt.Sprintf("%.0f cd/m² measured", white)
	switch {
	case d.White.Assumed:
		figure = fmt.Sprintf("%.0f cd/m² assumed", white)
	case d.whiteMeasured().IsZero():
		figure = fmt.Sprintf("you said %.0f cd/m²", white)
	}
	return "expected: " + figure + ", but not held (held = false) in a bright room"
}

// driftFactor is how much brighter a screen is than it was measured, because
// nobody holds it and the room asks for it.
func (c *Conditions) driftFactor(room, exponent float64) float64 {
	if c.held || room <= float64(c.target.ReferenceRoom) {
		return 1
	}
	return math.Pow(room/float64(c.target.ReferenceRoom), exponent)
}

// daysSince is NaN when the day is unknown. A calibration dated later than now
// (a profile written ahead, a clock set back) counts as made now.
func daysSince(day, now time.Time) float64 {
	if day.IsZero() {
		return math.NaN()
	}
	return math.Max(0, now.Sub(day).Hours()/24)
}

func setWhiteText(c *Conditions, v float64) string {
	do := fmt.Sprintf("Set the screen's white to about %s cd/m²", short(v))
	if !c.held {
		do += " and hold it there"
	}
	return do
}

// doubtOfScreen is what a white lacks.
func doubtOfScreen(r *Report, k Condition) string {
	switch {
	case k.Assumed:
		return "nobody has measured the screen"
	case k.Doubt != "":
		return k.Doubt
	}
	return doubtOfCalibration(r, r.Condition(CalibrationAge))
}

// measureScreen is the measurement that settles a white, and its age.
func measureScreen(c *Conditions) Remedy {
	return Remedy{Name: Measure, Text: measureScreenText, Value: Figure(c.target.ReferenceWhite), Unit: "cd/m²", Left: Unknown}
}
