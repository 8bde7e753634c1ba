package rules

import (
	"math"
	"slices"
)

// The quantities that are uncertain. Those of a condition are in its file; what
// belongs to none, and to the model itself, is here.

// input is one quantity that is uncertain: in each sample it is off by its standard
// uncertainty times a standard normal deviate.
type input struct {
	name   string
	column int // of the set of samples; its own for ever, see [deviatesOf]

	// sigma is its standard uncertainty: of the natural logarithm for what is
	// positive, else in the unit of the quantity.
	sigma func(c *Conditions) float64
	// apply is a sample with it off by so much. Inputs are applied in the order of
	// their columns: what depends on another comes after it.
	apply func(c *Conditions, s drawn, off float64) drawn

	// renewable is the share of its variance that a measurement made now would take
	// away, 0..1; nil: nobody at the desk can make one.
	renewable func(c *Conditions) float64
	model     bool // it is the model that is uncertain, not the desk
}

// drawn is one sample: the desk as it may be, and as it should be then. What is a
// fact about the screen, or about the model, is the same in both.
type drawn struct {
	now, should desk
}

// deskInputs are uncertain things of the desk that are no condition.
var deskInputs = []input{{
	name: "reflection", column: 2,
	sigma: func(c *Conditions) float64 { return c.diffuse.sigma },
	apply: func(c *Conditions, s drawn, off float64) drawn {
		s.now.screen.Diffuse = c.diffuse.off(off)
		s.should.screen.Diffuse = s.now.screen.Diffuse
		return s
	},
}}

// modelInputs are what is uncertain whatever the desk: how people feel a change of the
// white, how strongly the room around the screen acts, and how much of the field a
// picture takes. Their uncertainty makes the interval a claim about the print, and not
// only about the readings.
var modelInputs = []input{{
	name: "unabsorbed", column: 6, model: true,
	sigma: func(c *Conditions) float64 { return c.how.unabsorbed.sigma },
	apply: func(c *Conditions, s drawn, off float64) drawn {
		s.now.eye.unabsorbed = capped(c.how.unabsorbed.off(off))
		s.should.eye.unabsorbed = s.now.eye.unabsorbed
		return s
	},
}, {
	name: "strength", column: 7, model: true,
	sigma: func(c *Conditions) float64 { return c.how.strength.sigma },
	apply: func(c *Conditions, s drawn, off float64) drawn {
		s.now.eye.surround = c.how.strength.off(off)
		s.should.eye.surround = s.now.eye.surround
		return s
	},
}, {
	name: "share", column: 8, model: true,
	sigma: func(c *Conditions) float64 { return c.share.sigma },
	apply: func(c *Conditions, s drawn, off float64) drawn {
		s.now.share = math.Min(1, math.Max(leastShare, c.share.value+off))
		s.should.share = s.now.share
		return s
	},
}}

// leastShare bounds the picture's share of the field from below: without the picture
// itself a black surround would ask CIECAM16 for a background that it is not made for.
const leastShare = 0.05

// uncertain are all inputs, in the order of their columns.
var uncertain = func() []input {
	all := slices.Concat(deskInputs, modelInputs)
	for _, k := range catalogue {
		all = append(all, k.inputs...)
	}
	slices.SortFunc(all, func(a, b input) int { return a.column - b.column })
	return all
}()

// columns is how many columns of the set of samples the inputs reach into.
func columns(all []input) int { return all[len(all)-1].column + 1 }

// renewed is the share of an estimate's variance that a measurement as good as fresh
// would take away: nothing of what was measured just now.
func renewed(q estimate, fresh float64) float64 {
	return math.Max(0, 1-math.Pow(fresh/q.sigma, 2))
}
