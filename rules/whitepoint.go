package rules

import (
	"math"

	"lampblack/rules/colour"
)

// The colour of the editing display's white.

// WhitePoint is the name of the condition, and of the cause.
const WhitePoint = "white point"

var whitePoint = kind{
	name:  WhitePoint,
	unit:  Unit{Symbol: "K", ASCII: "K", Typed: []string{"K"}},
	scale: &Scale{From: 4500, To: 8000, Spacing: ByMired, Ticks: []float64{3000, 4000, 5000, 6000, 7000, 8000, 10000, 15000, 20000}},
	words: wording{
		stands: stands{
			isRight:     {"right", "The white point is right"},
			isAssumed:   {"right", "The white point is assumed to be right"},
			isTooLow:    {"too warm", "The white point is too warm"},
			isTooHigh:   {"too cool", "The white point is too cool"},
			isTakenLow:  {"too warm", "The white point is assumed to be too warm"},
			isTakenHigh: {"too cool", "The white point is assumed to be too cool"},
			isUnknown:   {"too far from any white light", "The white point is too far from any white light"},
		},
		is:    "The white point is {value}",
		taken: "The white point is assumed to be {value}",
		close: "it is close, and depends on the white point",
		shown: func(v float64) float64 { return 10 * math.Round(v/10) },
	},

	resolve: resolveWhitePoint,
	remember: func(c *Conditions, v float64) {
		if xy, err := colour.Daylight(Kelvin(v)); err == nil {
			c.point = xy
		}
	},

	allowed:   func(t Target) Range { return t.WhitePoint },
	reference: func(t Target) float64 { return float64(t.ReferencePoint) },
	here: func(c *Conditions, d desk) desk {
		d.white = c.point
		return d
	},
	put: func(d desk, v float64) desk {
		d.white = daylight(Kelvin(v))
		return d
	},
	departures: []departure{{
		name:     WhitePoint,
		darkens:  "the screen's white has another colour than your {aim}",
		lightens: "the screen's white has another colour than your {aim}",
		apply: func(d, other desk) desk {
			d.white = other.white
			return d
		},
	}},
	set: &setting{sentence: func(_ *Conditions, v float64) string {
		return fillIn("Set the white point to about {kelvin} K", "kelvin", short(v))
	}},
}

// resolveWhitePoint is the white's correlated colour temperature. A white too far
// from the loci to have one counts as out of target.
func resolveWhitePoint(at moment, c *Conditions, k *Condition) {
	d := at.display
	c.point = d.WhitePoint.Value
	k.AgeHours = Figure(24 * daysSince(d.Measured.Value, at.now))
	k.Assumed = d.WhitePoint.Assumed
	k.from(SourceProfile, "from the profile")
	if k.Assumed {
		k.AgeHours = Unknown
		k.from(SourceAssumed, "assumed")
	}
	if t, _, err := colour.CCT(d.WhitePoint.Value); err == nil {
		k.Value = Figure(t)
		k.InTarget = withinRounding(c.target.WhitePoint, float64(t))
	}
}

// withinRounding allows the kelvin or two by which a temperature comes back
// different from its own chromaticity (the loci are published fits), so that a
// white of exactly 6500 K meets a target of 6500 K.
func withinRounding(r Range, kelvin float64) bool {
	const slack = 5
	return Range{r.Low - slack, r.High + slack}.Holds(kelvin)
}

// daylight is the chromaticity of a display's white known by its temperature.
func daylight(t Kelvin) colour.XY {
	xy, err := colour.Daylight(t)
	if err != nil {
		panic("rules: impossible white point: " + err.Error())
	}
	return xy
}
