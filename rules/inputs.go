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
	person      float64 // how far the learnt correction is off, in its own standard uncertainties
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

// modelInputs are what is uncertain whatever the desk.
var modelInputs = []input{{
	name: "person", column: 6, model: true, // how well the learnt correction is known
	sigma: func(*Conditions) float64 { return 1 },
	apply: func(_ *Conditions, s drawn, off float64) drawn {
		s.person = off
		return s
	},
}}

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
