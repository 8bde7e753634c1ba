package rules

import "math"

// The area of the screen around the picture.

// SurroundGrey is the name of the condition, and of the cause.
const SurroundGrey = "surround"

// sigmaSurround is the standard uncertainty of a surround, relative (common
// practice, no source).
const sigmaSurround = 0.10

var surroundGrey = kind{
	name:  SurroundGrey,
	unit:  Unit{Symbol: "of white", ASCII: "share of white", Typed: []string{"%"}, Whole: "white"},
	scale: &Scale{From: 0, To: 1, Spacing: ByLightness, Ticks: []float64{0, 0.05, 0.2, 0.5, 1}},
	words: wording{
		stands: stands{
			isRight:     {"right", "The surround is right"},
			isAssumed:   {"right", "The surround is assumed to be right"},
			isTooLow:    {"too dark", "The surround is too dark"},
			isTooHigh:   {"too bright", "The surround is too bright"},
			isTakenLow:  {"too dark", "The surround is assumed to be too dark"},
			isTakenHigh: {"too bright", "The surround is assumed to be too bright"},
		},
		is:      "The surround is {value}",
		taken:   "The surround is assumed to be {value}",
		close:   "it is close, and depends on the editor's surround",
		measure: "Checking the editor's surround now would take away much of the doubt.",
		shown:   shownPercent,
		number:  percentNumber,
		behind:  " % of white",
		target:  func(low, high float64) string { return percentNumber(low) + "–" + percent(high) },
	},

	resolve:  resolveSurround,
	remember: func(c *Conditions, v float64) { c.around.value = math.Min(v, 1) },

	allowed:   func(t Target) Range { return t.Surround },
	reference: func(t Target) float64 { return t.ReferenceSurround },
	here:      func(c *Conditions, d desk) desk { return putSurround(d, c.around.value) },
	put:       putSurround,
	read:      func(d desk) float64 { return d.surround },
	departures: []departure{{
		name:     SurroundGrey,
		darkens:  "the surround is darker than your {aim}, so the picture looked lighter on screen",
		lightens: "the surround is lighter than your {aim}, so the picture looked darker on screen",
		apply:    func(d, other desk) desk { return putSurround(d, other.surround) },
	}},
	above: toLighter, below: toDarker,
	set: &setting{sentence: func(_ *Conditions, v float64) string {
		return fillIn("Set the editor's surround to a grey of about {share} of white ({grey})", "share", percent(v), "grey", greyText(v))
	}},
	doubt: func(*Report, Condition) string { return "it is close, and depends on the editor's surround" },
	settle: func(c *Conditions, _ *Report) Remedy {
		v := c.target.ReferenceSurround
		return Remedy{Name: Measure, Text: checkSurroundText(v), Value: Figure(v), Unit: "of white", Left: Unknown}
	},
	inputs: []input{{
		name: "surround", column: 4,
		sigma: func(c *Conditions) float64 { return c.around.sigma },
		apply: func(c *Conditions, s drawn, off float64) drawn {
			s.now = putSurround(s.now, math.Min(1, c.around.off(off)))
			return s
		},
		renewable: func(c *Conditions) float64 {
			if c.Get(SurroundGrey).Assumed {
				return 1
			}
			return 0
		},
	}},
}

func putSurround(d desk, v float64) desk {
	d.surround = v
	return d
}

func resolveSurround(at moment, c *Conditions, k *Condition) {
	grey, target := at.profile.Surround.RelativeY, c.target.Surround
	c.around = estimate{grey.Value, sigmaSurround}
	k.Value, k.Sigma = Figure(grey.Value), sigmaSurround
	k.InTarget = target.Holds(grey.Value) || target.Holds(shownPercent(grey.Value)) // a grey in 8 bits hits no bound
	k.Assumed = grey.Assumed
	k.from(SourceProfile, "from the profile")
	if k.Assumed {
		k.from(SourceAssumed, "assumed")
	}
}
