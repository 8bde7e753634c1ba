package rules

import "math"

// The contrast of the editing display: its white over its black, in the dark. It is
// told only: nobody sets it, and no target is sensible, since what it takes from the
// shadows depends on the light that falls on the screen.

// ScreenContrast is the name of the condition.
const ScreenContrast = "screen contrast"

// sigmaContrast is the standard uncertainty of a contrast, relative, also of one that
// somebody has measured (common practice, no source): blacks are hard to measure.
const sigmaContrast = 0.10

// leastContrast is less than any screen's.
const leastContrast = 2

var screenContrast = kind{
	name:  ScreenContrast,
	unit:  Unit{Symbol: ":1", ASCII: "to 1", Typed: []string{":1", ": 1", "to 1"}},
	scale: &Scale{From: 100, To: 3000, Spacing: ByRatio, Ticks: []float64{10, 30, 100, 300, 1000, 3000, 10000, 100000, 1000000}},
	words: wording{
		is: "The screen's contrast is {value}", taken: "The screen's contrast is assumed to be {value}",
		number: about, behind: " : 1",
	},

	resolve:  resolveContrast,
	remember: func(c *Conditions, v float64) { c.contrast.value = math.Max(v, leastContrast) },
	here:     func(c *Conditions, d desk) desk { return putContrast(d, c.contrast.value) },
	inputs: []input{{
		name: "contrast", column: 3,
		sigma: func(c *Conditions) float64 { return c.contrast.sigma },
		apply: func(c *Conditions, s drawn, off float64) drawn {
			v := math.Max(leastContrast, c.contrast.off(off))
			s.now, s.should = putContrast(s.now, v), putContrast(s.should, v)
			return s
		},
	}},
}

func putContrast(d desk, v float64) desk {
	d.screen.Contrast = v
	return d
}

func resolveContrast(at moment, c *Conditions, k *Condition) {
	told := at.display.Contrast
	c.contrast = estimate{told.Value, sigmaContrast}
	k.Value, k.Sigma = Figure(told.Value), sigmaContrast
	k.InTarget = true // there is none to miss
	k.Assumed = told.Assumed
	k.from(SourceProfile, "from the profile")
	if k.Assumed {
		k.from(SourceAssumed, "assumed")
	}
}
