package rules

import (
	"math"
	"time"

	"lampblack/rules/colour"
)

// kind is all that there is to know of one condition besides its value. It is
// written down once, in the file of the condition, and whoever deals with
// conditions goes through the [catalogue]: nothing else has a list of them. What
// may be left out is nil or empty, and shows nowhere: a condition without a
// setting gets no remedy, one without inputs no uncertainty.
//
// No function of a kind may lead back to the catalogue ([Conditions.now],
// [wordingOf], [conditionOf]): the catalogue is made of them.
type kind struct {
	name    string // in reports and the journal, for ever
	short   string // what a person may call it in a search, where the beginning of its name would do for several
	unit    Unit
	scale   *Scale // how the page draws it; nil: in words only
	isAge   bool   // its value is an age itself
	reading bool   // it is read now and then: its source and age are always told, its value also where it is in doubt
	words   wording

	// What is known of it at a moment.
	resolve  func(at moment, c *Conditions, k *Condition) // fills in k, and c as far as the model needs it
	predict  func(at moment, c *Conditions, k *Condition) // what the others, once resolved, make of it; may be nil
	far      func(k Condition, t Target) bool             // too far out to trust any verdict; nil: never
	remember func(c *Conditions, v float64)               // puts the value of an old report over that of today; nil: none is put

	// What it moves on the desk, and back to its target.
	allowed    func(t Target) Range                  // its target; nil: it has none
	reference  func(t Target) float64                // where in the target departures are measured from
	here       func(c *Conditions, d desk) desk      // d with its present value
	put        func(d desk, v float64) desk          // d with it at v; with reference: d back at its target
	read       func(d desk) float64                  // its value at d; nil: it moves colours alone, so no lightness is solved for by it
	above      side                                  // what beyond the upper end of its target does to a print
	below      side                                  // the same, below the lower end
	departures []departure                           // the ways in which it moves the print
	set        *setting                              // nil: nobody can set it
	why        string                                // why it matters, where it is out of its target and moves nothing
	doubt      func(r *Report, k Condition) string   // what it lacks where it stands in the way of a verdict; nil: in general words
	settle     func(c *Conditions, r *Report) Remedy // what to do then; nil: nothing that would settle it
	inputs     []input                               // what of it is uncertain
}

// side is what a condition does to a print once it is out of its target: which way an
// end of patience is about.
type side int

// The sides, which may be added.
const (
	toDarker side = 1 << iota
	toLighter
)

// moment is what a condition is resolved from.
type moment struct {
	profile *Profile
	display Display // the one on which pictures are judged
	now     time.Time
}

// departure is one way in which a condition can depart from its target, and how
// to give a desk the value that another has. Most conditions have one, by their
// own name; the room's light has two, as the surround of what is seen and as a
// veil over the screen.
type departure struct {
	name              string
	title             string // on drawings; empty: the name
	apply             func(d, other desk) desk
	darkens, lightens string // what it does then, as a reason, with the {aim} that it has departed from
}

// setting is how a person sets a condition.
type setting struct {
	// sentence says to set it to v, without its end.
	sentence func(c *Conditions, v float64) string
	lamp     bool // it has somebody touch a lamp
}

// Unit is what a condition is told and typed in.
type Unit struct {
	Symbol string   // as it is told, and in reports: "cd/m²"
	ASCII  string   // for spreadsheets, which may not know UTF-8: "cd/m2"
	Typed  []string // what may stand behind a number that a person types; the first is the one to teach
	Whole  string   // of a share: what is 1 ("white"), and then it is told in percent; empty: no share
}

// Scale is how a condition is drawn.
type Scale struct {
	From, To float64 // always in view, in the condition's unit
	Ticks    []float64
	Spacing  Spacing
}

// Spacing is what is equally far apart on a scale.
type Spacing int

// The spacings.
const (
	Even        Spacing = iota // equal differences
	ByRatio                    // equal ratios
	ByMired                    // equal steps of reciprocal temperature: a white's look about equal
	ByLightness                // equal steps of L*
)

// Place is how far along its scale a value lies; only differences of places mean
// something.
func (s Spacing) Place(v float64) float64 {
	switch s {
	case ByRatio:
		return math.Log(v)
	case ByMired:
		return -1 / v
	case ByLightness:
		return colour.Lightness(v)
	default:
		return v
	}
}

// Description is what others than the rules need to know of a kind of condition.
type Description struct {
	Name   string
	Short  string // what a person may call it, too; empty: nothing
	Unit   Unit
	Scale  *Scale   // nil: it is not drawn
	IsAge  bool     // its value is an age, and it has no other
	Causes []string // the names of the causes that it can be, in order; none where it moves nothing
}
