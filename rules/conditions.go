package rules

import (
	"fmt"
	"math"
	"time"

	"lampblack/rules/colour"
	"lampblack/rules/light"
)

// Standard uncertainties of what nobody has measured, relative (of the natural
// logarithm). All are common practice, no source, unless said otherwise.
const (
	sigmaWhiteMeasured = 0.03 // a colorimeter against another
	sigmaWhiteSaid     = 0.10 // somebody has set it by eye, or by the display's own scale
	sigmaWhiteGuessed  = 0.30 // nobody has measured this screen
	sigmaWhiteAged     = 0.05 // one recalibration interval: somebody may have touched it
	sigmaDrift         = 0.15 // of the exponent in drift, not relative
	sigmaRoomAssumed   = 0.90 // no reading at all: a factor of 2.5 either way
	sigmaRoomAged      = 0.20 // one reading life: the sun moves
	sigmaFromDesk      = 0.35 // light at the screen's face guessed from the desk
	sigmaDiffuse       = 0.50 // facts of panels differ by that much (from memory of published ranges)
	sigmaDiffuseTold   = 0.10
	sigmaContrast      = 0.10
	sigmaSurround      = 0.10
	sigmaAgedLimit     = 0.90 // age alone never says less than nothing
)

// fromDesk is the light at the screen's face over the light flat on the desk
// (common practice, no source).
const fromDesk = 0.5

// driftExponent says how far people turn up a screen that is not held, in a
// room brighter than the reference: white grows by (E/Eref)^driftExponent.
// No source; to be learnt from the person's own measurements.
const driftExponent = 0.3

// hoodFactor is what a hood leaves of the room light on the screen's face
// (common practice, no source).
const hoodFactor = 0.5

// estimate is a positive value with a relative standard uncertainty.
type estimate struct {
	value float64
	sigma float64
}

// Conditions are the desk, the room and the surround at one moment, each value
// with where it came from, its age and its uncertainty.
type Conditions struct {
	At   time.Time
	List []Condition // in the order of the constants ScreenLuminance...

	white    estimate // as measured; drift not applied
	room     estimate // at the screen's face
	diffuse  estimate // hood applied
	contrast estimate
	around   estimate // surround relative to white
	drift    float64  // standard uncertainty of the drift exponent; 0 when held
	meter    float64  // relative standard uncertainty of the meter for room light
	aged     bool     // white was not measured today
	held     bool
	point    colour.XY
	lamps    colour.XY
	share    float64
	eye      observer
	target   Target
	far      string // the condition that is too far out to trust anything, or ""
}

// Resolve gives the conditions at the moment now.
func Resolve(p *Profile, now time.Time) Conditions {
	d := p.EditingDisplay()
	lamps, _ := p.lampsAt(now)
	c := Conditions{
		At:       now,
		held:     d.Held.Value,
		point:    d.WhitePoint.Value,
		lamps:    lampColour(lamps),
		share:    p.Surround.Share.Value,
		eye:      observer{unabsorbed: p.Judged.unabsorbed().value, surround: strength.value},
		target:   p.Target,
		meter:    p.Room.MeterUncertainty,
		aged:     !(daysSince(d.whiteMeasured(), now) < 1),
		contrast: estimate{d.Contrast.Value, sigmaContrast},
		diffuse:  reflection(d),
		around:   estimate{p.Surround.RelativeY.Value, sigmaSurround},
	}
	if !c.held {
		c.drift = sigmaDrift
	}
	room, roomCondition := resolveRoom(p, now)
	c.room = room
	white, whiteCondition := resolveWhite(p, d, now)
	c.white = white
	if expected := c.driftFactor(c.room.value, driftExponent); expected > 1 {
		whiteCondition.Value *= Figure(expected)
		whiteCondition.InTarget = p.Target.White.holdsShown(float64(whiteCondition.Value))
		whiteCondition.Source = expectedSource(white.value, d)
	}
	c.List = []Condition{
		whiteCondition,
		whitePoint(p, d, now),
		roomCondition,
		surroundGrey(p),
		calibrationAge(p, d, now),
	}
	for i := range c.List {
		k := &c.List[i]
		k.Lives = Figure(math.NaN())
		if k.Name == RoomLight {
			k.Lives = k.AgeHours / Figure(p.Room.ReadingLife.Hours()) // NaN without a reading
		}
	}
	c.far = farOut(p, c.List)
	return c
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

// Get is the condition of that name.
func (c *Conditions) Get(name string) Condition {
	for _, k := range c.List {
		if k.Name == name {
			return k
		}
	}
	return Condition{}
}

// driftFactor is how much brighter a screen is than it was measured, because
// nobody holds it and the room asks for it.
func (c *Conditions) driftFactor(room, exponent float64) float64 {
	if c.held || room <= float64(c.target.ReferenceRoom) {
		return 1
	}
	return math.Pow(room/float64(c.target.ReferenceRoom), exponent)
}

// now is the desk at its central values.
func (c *Conditions) now() desk {
	return desk{
		screen: light.Screen{
			White:    Luminance(c.white.value * c.driftFactor(c.room.value, driftExponent)),
			Contrast: c.contrast.value,
			Diffuse:  c.diffuse.value,
			On:       Lux(c.room.value),
		},
		white:    c.point,
		lamps:    c.lamps,
		room:     Lux(c.room.value),
		surround: c.around.value,
		share:    c.share,
		eye:      c.eye,
	}
}

// reference is the same desk with everything that can depart from its target
// put right: same contrast, reflection, hood and picture share.
func (c *Conditions) reference() desk {
	r := c.now()
	r.screen.White = c.target.ReferenceWhite
	r.screen.On, r.room = c.target.ReferenceRoom, c.target.ReferenceRoom
	r.surround = c.target.ReferenceSurround
	r.white = daylight(c.target.ReferencePoint)
	return r
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

// resolveWhite is the luminance of the editing display's white as last
// measured. LED backlights fade only some 0.3 % a month; what an old
// calibration mostly means is that somebody may have touched the brightness.
func resolveWhite(p *Profile, d Display, now time.Time) (estimate, Condition) {
	q := estimate{float64(d.White.Value), sigmaWhiteGuessed}
	source, age := "assumed: nobody has measured it", math.NaN()
	if !d.White.Assumed {
		source = "from the profile, without the day of its measurement"
	}
	if days := daysSince(d.whiteKnown(), now); !d.White.Assumed && !math.IsNaN(days) {
		age = days * 24
		aged := math.Min(sigmaAgedLimit, sigmaWhiteAged*days/p.Target.RecalibrateDays)
		q.sigma = math.Hypot(sigmaWhiteMeasured, aged)
		source = "measured"
		switch {
		case d.whiteSaid():
			q.sigma, source = math.Hypot(sigmaWhiteSaid, aged), "set from the menu"
		case d.WhiteSigma > 0:
			q.sigma, source = math.Hypot(d.WhiteSigma, aged), "read by a camera or an exposure meter"
		}
	}
	return q, Condition{
		Name:     ScreenLuminance,
		Value:    Figure(q.value),
		Unit:     "cd/m²",
		Target:   bounds(p.Target.White),
		AgeHours: Figure(age),
		InTarget: p.Target.White.holdsShown(q.value),
		Assumed:  d.White.Assumed,
		Sigma:    Figure(q.sigma),
		Source:   source,
		Doubt:    doubtOfWhite(p.Learnt, d, now, p.Quiet),
	}
}

// whitePoint is the white's correlated colour temperature. A white too far from
// the loci to have one counts as out of target.
func whitePoint(p *Profile, d Display, now time.Time) Condition {
	c := Condition{
		Name:     WhitePoint,
		Value:    Figure(math.NaN()),
		Unit:     "K",
		Target:   bounds(p.Target.WhitePoint),
		AgeHours: Figure(24 * daysSince(d.Measured.Value, now)),
		Assumed:  d.WhitePoint.Assumed,
		Sigma:    Figure(math.NaN()),
		Source:   "from the profile",
	}
	if c.Assumed {
		c.Source, c.AgeHours = "assumed", Figure(math.NaN())
	}
	if t, _, err := colour.CCT(d.WhitePoint.Value); err == nil {
		c.Value = Figure(t)
		c.InTarget = withinRounding(p.Target.WhitePoint, float64(t))
	}
	return c
}

// withinRounding allows the kelvin or two by which a temperature comes back
// different from its own chromaticity (the loci are published fits), so that a
// white of exactly 6500 K meets a target of 6500 K.
func withinRounding(r Range, kelvin float64) bool {
	const slack = 5
	return Range{r.Low - slack, r.High + slack}.Holds(kelvin)
}

// resolveRoom is the light at the screen's face: the newest reading at or
// before now, taken at the screen or guessed from the desk. Older readings
// stand, with an uncertainty that grows; with none the reference is assumed.
func resolveRoom(p *Profile, now time.Time) (estimate, Condition) {
	c := Condition{
		Name:     RoomLight,
		Unit:     "lx",
		Target:   bounds(p.Target.room()),
		AgeHours: Figure(math.NaN()),
	}
	q := estimate{float64(p.Target.ReferenceRoom), sigmaRoomAssumed}
	c.Assumed, c.Source = true, "assumed: no reading yet"
	if i := newestReading(p.Readings, now); i >= 0 {
		r, age, h := p.Readings[i], now.Sub(p.Readings[i].At), hourOf(p.Readings, i, now)
		q = estimate{float64(r.Light), math.Hypot(p.Room.meter(r), p.Room.aged(age, h))}
		c.Assumed, c.Source, c.AgeHours = false, roomSource(p, r, h, now), Figure(age.Hours())
		if r.Place == OnDesk {
			q.value *= fromDesk
			q.sigma = math.Hypot(q.sigma, sigmaFromDesk)
		}
	}
	c.Value, c.Sigma = Figure(q.value), Figure(q.sigma)
	c.InTarget = p.Target.room().holdsShown(q.value)
	q.value = math.Max(q.value, leastLight)
	return q, c
}

// leastLight stands for "no light": a room in which lux are read as 0 still has
// the screen's own light in it, and logarithms need a number.
const leastLight = 0.01

// newestReading is the number of the newest reading of the room at or before
// now, −1 when there is none. A reading at a print says nothing about the screen.
func newestReading(readings []Reading, now time.Time) int {
	for i := len(readings) - 1; i >= 0; i-- {
		if r := readings[i]; r.Place != AtPrint && !r.At.After(now) {
			return i
		}
	}
	return -1
}

func surroundGrey(p *Profile) Condition {
	s, target := p.Surround, p.Target.Surround
	c := Condition{
		Name:     SurroundGrey,
		Value:    Figure(s.RelativeY.Value),
		Unit:     "of white",
		Target:   bounds(target),
		AgeHours: Figure(math.NaN()),
		InTarget: target.Holds(s.RelativeY.Value) || target.Holds(shownPercent(s.RelativeY.Value)), // a grey in 8 bits hits no bound
		Assumed:  s.RelativeY.Assumed,
		Sigma:    sigmaSurround,
		Source:   "from the profile",
	}
	if c.Assumed {
		c.Source = "assumed"
	}
	return c
}

func calibrationAge(p *Profile, d Display, now time.Time) Condition {
	days := daysSince(d.Measured.Value, now)
	c := Condition{
		Name:     CalibrationAge,
		Value:    Figure(days),
		Unit:     "days",
		Target:   [2]Figure{0, Figure(p.Target.RecalibrateDays)},
		AgeHours: Figure(24 * days),
		InTarget: math.Floor(days) <= p.Target.RecalibrateDays, // in whole days, as it is shown; unknown: false
		Assumed:  math.IsNaN(days),
		Sigma:    Figure(math.NaN()),
		Source:   "from the profile",
	}
	if c.Assumed {
		c.Source = "nobody has said when the screen was measured"
	}
	return c
}

// farOut names the condition that is so far out that what was judged in it
// can't be trusted, whatever the expected shift: a room above twice its limit,
// a calibration beyond three times its age, no reading within three lives. A value
// that the prints speak against is trusted no more.
func farOut(p *Profile, list []Condition) string {
	doubted := ""
	for _, c := range list {
		if c.Doubt != "" {
			doubted = c.Name
		}
		switch c.Name {
		case RoomLight:
			if c.Assumed || outlived(c) || float64(c.Value) > 2*float64(p.Target.Room) {
				return c.Name
			}
		case CalibrationAge:
			// An unknown day is no proof of age: its uncertainty speaks for it.
			if float64(c.Value) > 3*p.Target.RecalibrateDays {
				return c.Name
			}
		}
	}
	return doubted
}

// daysSince is NaN when the day is unknown. A calibration dated later than now
// (a profile written ahead, a clock set back) counts as made now.
func daysSince(day, now time.Time) float64 {
	if day.IsZero() {
		return math.NaN()
	}
	return math.Max(0, now.Sub(day).Hours()/24)
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

// daylight is the chromaticity of a display's white known by its temperature.
func daylight(t Kelvin) colour.XY {
	xy, err := colour.Daylight(t)
	if err != nil {
		panic("rules: impossible white point: " + err.Error())
	}
	return xy
}

func bounds(r Range) [2]Figure { return [2]Figure{Figure(r.Low), Figure(r.High)} }
