package rules

import (
	"math"
	"time"

	"lampblack/rules/colour"
	"lampblack/rules/light"
)

// Standard uncertainties of a desk that belong to no condition, relative (of the
// natural logarithm). All are common practice, no source, unless said otherwise;
// those of a condition are in its file.
const (
	sigmaDiffuse     = 0.50 // facts of panels differ by that much (from memory of published ranges)
	sigmaDiffuseTold = 0.10
	sigmaAgedLimit   = 0.90 // age alone never says less than nothing
)

// hoodFactor is what a hood leaves of the room light on the screen's face
// (common practice, no source).
const hoodFactor = 0.5

// estimate is a positive value with a relative standard uncertainty.
type estimate struct {
	value float64
	sigma float64
}

// off is the value where its natural logarithm is off by so much.
func (q estimate) off(by float64) float64 { return q.value * math.Exp(by) }

// Conditions are the desk, the room and the surround at one moment, each value
// with where it came from, its age and its uncertainty.
type Conditions struct {
	At   time.Time
	List []Condition // in the order of the [Catalogue]

	white    estimate  // as measured; drift not applied
	most     Luminance // what the panel can do
	room     estimate  // at the screen's face
	diffuse  estimate  // hood applied
	contrast estimate
	around   estimate // surround relative to white
	drift    float64  // standard uncertainty of the drift exponent; 0 when held
	meter    float64  // relative standard uncertainty of the meter for room light
	aged     bool     // white was not measured today
	held     bool
	point    colour.XY
	lamps    colour.XY
	share    estimate // of the field, by the picture; its uncertainty is absolute
	eye      observer // at the central values of the model
	how      judgement
	target   Target
	far      string // the condition that is too far out to trust anything, or ""
}

// Resolve gives the conditions at the moment now, for what is printed most: the
// profile's first folder for prints.
func Resolve(p *Profile, now time.Time) Conditions { return ResolveFor(p, p.firstForPrint(), now) }

// ResolveFor gives the conditions at the moment now, for exports into a folder.
func ResolveFor(p *Profile, f Folder, now time.Time) Conditions {
	d := p.EditingDisplay()
	lamps, _ := p.lampsAt(now)
	c := Conditions{
		At:      now,
		List:    make([]Condition, len(catalogue)),
		lamps:   lampColour(lamps),
		share:   shareOf(p.Surround.Share),
		eye:     observer{unabsorbed: p.Judged.unabsorbed().value, surround: strength.value},
		how:     p.Learnt.judged(p.Judged),
		target:  p.targetFor(f),
		diffuse: reflection(d),
	}
	at := moment{p, d, now}
	for i, k := range catalogue {
		c.List[i] = k.unresolved(c.target)
		k.resolve(at, &c, &c.List[i])
	}
	for i, k := range catalogue {
		if k.predict != nil {
			k.predict(at, &c, &c.List[i])
		}
	}
	c.far = farOut(c.target, c.List)
	return c
}

// unresolved is a condition of which nothing is known yet but its target.
func (k *kind) unresolved(t Target) Condition {
	c := Condition{
		Name: k.name, Unit: k.unit.Symbol,
		Value: Unknown, AgeHours: Unknown, Lives: Unknown, Sigma: Unknown,
		Target: [2]Figure{Unknown, Unknown},
	}
	if k.allowed != nil {
		r := k.allowed(t)
		c.Target = [2]Figure{Figure(r.Low), Figure(r.High)}
	}
	return c
}

// Get is the condition of that name.
func (c *Conditions) Get(name string) Condition { return named(c.List, name) }

// named is the condition of that name in a list; the zero Condition when it has none.
func named(list []Condition, name string) Condition {
	for _, k := range list {
		if k.Name == name {
			return k
		}
	}
	return Condition{}
}

// now is the desk at its central values.
func (c *Conditions) now() desk {
	d := desk{
		screen: light.Screen{Diffuse: c.diffuse.value},
		lamps:  c.lamps,
		share:  c.share.value,
		eye:    c.eye,
	}
	for _, k := range catalogue {
		if k.here != nil {
			d = k.here(c, d)
		}
	}
	return d
}

// reference is the same desk with everything that can depart from its target
// put right: same contrast, reflection, hood and picture share.
func (c *Conditions) reference() desk {
	d := c.now()
	for _, k := range catalogue {
		if k.reference != nil {
			d = k.put(d, k.reference(c.target))
		}
	}
	return d
}

// sigmaShare is the standard uncertainty of the picture's share of the field where nobody
// has stated it: editors lie between the borders and the whole fields of LUTCHI's
// experiments (testdata/evidence), of which a black border did next to nothing and a
// black field a lot.
const sigmaShare = 0.15

// shareOf is the picture's share of the field, as sure as it is.
func shareOf(stated Given[float64]) estimate {
	if stated.Assumed {
		return estimate{stated.Value, sigmaShare}
	}
	return estimate{stated.Value, 0}
}

// reflection is the diffuse reflection coefficient with the hood's factor.
func reflection(d Display) estimate {
	q := estimate{d.Screen.Value.Diffuse, sigmaDiffuse}
	if d.Screen.Value.Name == "measured" {
		q.sigma = sigmaDiffuseTold
	}
	if d.Hood.Value {
		q.value *= hoodFactor
	}
	return q
}

// farOut names the condition that is so far out that what was judged in it
// can't be trusted, whatever shift is predicted: a room above twice its limit,
// a calibration beyond three times its age, no reading within three lives. A value
// that the prints speak against is trusted no more.
func farOut(t Target, list []Condition) string {
	doubted := ""
	for _, c := range list {
		if c.Doubt != "" {
			doubted = c.Name
		}
		if k, _ := kindOf(c.Name); k.far != nil && k.far(c, t) {
			return c.Name
		}
	}
	return doubted
}

// lampColour is the chromaticity of a light known by its temperature; the
// profile has bounded it.
func lampColour(t Kelvin) colour.XY {
	xy, err := colour.Lamp(t)
	if err != nil {
		panic("rules: impossible lamp: " + err.Error())
	}
	return xy
}
