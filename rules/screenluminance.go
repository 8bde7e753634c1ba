package rules

import (
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
		title: "screen's white",
		stands: stands{
			isRight:     {"right", "The screen is right"},
			isAssumed:   {"right", "The screen is assumed to be right"},
			isDoubted:   {"in doubt", "The screen is in doubt"},
			isTooLow:    {"too dark", "The screen is too dark"},
			isTooHigh:   {"too bright", "The screen is too bright"},
			isTakenLow:  {"too dark", "The screen is assumed to be too dark"},
			isTakenHigh: {"too bright", "The screen is assumed to be too bright"},
		},
		is:        "The screen's white is {value}",
		taken:     "The screen's white is assumed to be {value}",
		predicted: "The screen's white is probably {value}",
		close:     "it is close, and depends on the screen's white",
		measure:   "Measuring the screen's white now would take away much of the doubt.",
	},

	resolve:  resolveWhite,
	predict:  predictWhite,
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
		name: ScreenLuminance, title: "screen's white",
		darkens:  "the screen is brighter than your {aim}",
		lightens: "the screen is dimmer than your {aim}",
		apply: func(d, other desk) desk {
			d.screen.White = other.screen.White
			return d
		},
	}},
	above: toDarker, below: toLighter,
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
	k.from(SourceUnmeasured, "assumed: it hasn't been measured")
	if !d.White.Assumed {
		k.from(SourceUndated, "from the profile, without the day of its measurement")
	}
	if days := daysSince(d.whiteKnown(), at.now); !d.White.Assumed && !math.IsNaN(days) {
		k.AgeHours = Figure(days * 24)
		aged := math.Min(sigmaAgedLimit, sigmaWhiteAged*days/c.target.RecalibrateDays)
		q.sigma = math.Hypot(sigmaWhiteMeasured, aged)
		k.from(SourceMeasured, "measured")
		switch {
		case d.whiteSaid():
			q.sigma = math.Hypot(sigmaWhiteSaid, aged)
			k.from(SourceMenu, "set from the menu")
		case d.WhiteSigma > 0:
			q.sigma = math.Hypot(d.WhiteSigma, aged)
			k.from(SourceCamera, "read by a camera or an exposure meter")
		}
	}
	k.Value, k.Sigma = Figure(q.value), Figure(q.sigma)
	k.InTarget = c.target.White.holdsShown(q.value)
	k.Assumed = d.White.Assumed
	if k.Doubt = doubtOfWhite(p.Learnt, d, at.now, p.Quiet); k.Doubt != "" {
		k.DoubtCode = DoubtPrints
	}
	c.white, c.most = q, d.most()
	c.held = d.Held.Value
	if !c.held {
		c.drift = sigmaDrift
	}
	c.aged = !(daysSince(d.whiteMeasured(), at.now) < 1)
}

// predictWhite is what a bright room has made of a screen that nobody holds.
func predictWhite(at moment, c *Conditions, k *Condition) {
	brighter := c.driftFactor(c.room.value, driftExponent)
	if !(brighter > 1) {
		return
	}
	k.Value *= Figure(brighter)
	k.InTarget = c.target.White.holdsShown(float64(k.Value))
	k.from(SourcePredicted, predictedSource(c.white.value, at.display))
}

// predictedSource says why a screen is taken to be brighter than its figure.
func predictedSource(white float64, d Display) string {
	sentence := "{white} cd/m² was measured, but it isn't held (held = false) in a bright room"
	switch {
	case d.White.Assumed:
		sentence = "{white} cd/m² is assumed, and it isn't held (held = false) in a bright room"
	case d.whiteMeasured().IsZero():
		sentence = "you said {white} cd/m², but it isn't held (held = false) in a bright room"
	}
	return fillIn(sentence, "white", short(white))
}

// driftFactor is how much brighter a screen is than it was measured, because
// nobody holds it and the room asks for it; never brighter than it can be.
func (c *Conditions) driftFactor(room, exponent float64) float64 {
	if c.held || room <= float64(c.target.ReferenceRoom) {
		return 1
	}
	can := math.Max(1, float64(c.most)/c.white.value)
	return math.Min(can, math.Pow(room/float64(c.target.ReferenceRoom), exponent))
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
	if !c.held {
		return fillIn("Set the screen's white to about {white} cd/m² and hold it there", "white", short(v))
	}
	return fillIn("Set the screen's white to about {white} cd/m²", "white", short(v))
}

// doubtOfScreen is what a white lacks.
func doubtOfScreen(r *Report, k Condition) string {
	switch {
	case k.Assumed:
		return "the screen hasn't been measured"
	case k.Doubt != "":
		return k.Doubt
	}
	return doubtOfCalibration(r, r.Condition(CalibrationAge))
}

// measureScreen is the measurement that settles a white, and its age.
func measureScreen(c *Conditions) Remedy {
	text := measureScreenText
	if c.Get(ScreenLuminance).Assumed {
		text = measureFirstText
	}
	return Remedy{Name: Measure, Text: text, Value: Figure(c.target.ReferenceWhite), Unit: "cd/m²", Left: Unknown}
}
