package rules

import (
	"math"
	"math/rand/v2"
	"time"
)

// ends are the lowest and the highest value among the desks of a kind.
type ends [2]float64

// draw is a value between the two, even in its logarithm.
func (s ends) draw(r *rand.Rand) float64 { return between(r, s[0], s[1]) }

// habits are what the desks of one kind are like. They are invented; a chance is
// of one day unless said otherwise.
type habits struct {
	name    string
	opens   int  // the hour at which the first batch of the day is exported
	exports ends // a day

	aim          ends    // cd/m² to which the screen is set when it is calibrated
	unknown      float64 // chance of a desk that nobody has ever measured its screen
	recalibrates ends    // days from one calibration to the next
	wanders      float64 // relative deviation of the screen from one day to the next
	touched      float64 // chance that somebody sets the screen to something else
	touches      ends    // cd/m², what that is
	winter       ends    // factor by which the screen is turned up from November to February
	held         float64 // chance of a desk that its profile says the screen is held
	drifts       bool    // the person turns the screen up in bright light

	lamps    ends    // lx at the screen's face without the sun
	unsteady float64 // relative deviation of the lamps from batch to batch
	window   ends    // lx at the screen's face that full sun would add
	reads    float64 // chance of a reading before the first batch
	place    Place   // where it is taken
	meter    float64 // relative deviation of the meter from the truth

	states   float64 // chance of a desk that its profile says how prints are judged there
	dark     float64 // chance of a desk whose surround is darker than its profile says
	measured bool    // the screen's reflection is
	heeds    float64 // chance that what a notice asks for is done
	outcomes float64 // chance that the outcome of a print is recorded
	rests    int     // notices after which the rest of the day is spent resting; 0: never
}

var kinds = [4]habits{
	{
		name: "well kept", opens: 9, exports: ends{40, 200},
		aim: ends{92, 112}, recalibrates: ends{25, 38}, wanders: 0.002, winter: ends{1, 1}, held: 1,
		touched: 0.002, touches: ends{125, 160},
		lamps: ends{36, 56}, unsteady: 0.12, window: ends{5, 25}, reads: 0.9, place: AtScreen, meter: 0.12,
		measured: true, states: 0.8, heeds: 0.9, outcomes: 0.1,
	},
	{
		name: "careless", opens: 9, exports: ends{20, 120},
		aim: ends{90, 130}, unknown: 0.4, recalibrates: ends{150, 500}, wanders: 0.004, winter: ends{1, 1}, held: 0.3,
		touched: 0.02, touches: ends{110, 260}, drifts: true,
		lamps: ends{25, 150}, unsteady: 0.3, window: ends{50, 300}, reads: 0.08, place: OnDesk, meter: 0.25,
		states: 0.3, dark: 0.4, heeds: 0.15, rests: 4,
	},
	{
		name: "laptop by a window", opens: 11, exports: ends{20, 60},
		aim: ends{90, 120}, recalibrates: ends{150, 210}, wanders: 0.01, winter: ends{1, 1}, drifts: true,
		lamps: ends{20, 60}, unsteady: 0.2, window: ends{300, 1500}, reads: 0.2, place: OnDesk, meter: 0.25,
		states: 0.5, dark: 0.2, heeds: 0.4, outcomes: 0.02,
	},
	{
		name: "turned up in winter", opens: 9, exports: ends{20, 150},
		aim: ends{92, 115}, recalibrates: ends{70, 200}, wanders: 0.003, winter: ends{1.25, 2.2}, held: 0.5,
		lamps: ends{30, 70}, unsteady: 0.15, window: ends{10, 60}, reads: 0.5, place: AtScreen, meter: 0.15,
		states: 0.6, heeds: 0.5, outcomes: 0.05,
	},
}

// workplace is a desk on its way through the year: what it truly is, and the
// profile, which is what Lampblack knows.
type workplace struct {
	habits
	seed    uint64
	who     person
	profile *Profile

	screen     Luminance // of its white in the dark, without winter and daylight
	turned     float64   // factor of this winter
	interval   float64   // days between calibrations
	lamp       float64   // lx
	sun        float64   // lx
	daily      float64   // exports
	diffuse    float64
	contrast   float64
	around     float64
	meterBias  float64
	face       float64 // light at the face over the light on the desk
	calibrated time.Time
	due        bool      // a calibration, asked for by a notice
	shaded     time.Time // the day on which the blinds are down
	judged     []Judged
}

// newYear is where the year at the desk starts, a Thursday.
var newYear = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

// furnish makes the desk of number n. Its kind is n/2 modulo the kinds, so that
// every kind is among the even numbers and among the odd.
func furnish(n int) *workplace {
	w := &workplace{habits: kinds[n/2%len(kinds)], seed: uint64(n), profile: tidemark(yearReferences)}
	r := w.luck(-1, 0)
	w.who = anyone(r)
	if r.Float64() < w.states {
		w.profile.Judged = w.who.judges
	}
	w.interval, w.lamp, w.sun, w.daily = w.recalibrates.draw(r), w.lamps.draw(r), w.window.draw(r), w.exports.draw(r)
	w.turned = w.winter.draw(r)
	w.meterBias = math.Exp(0.7 * w.meter * r.NormFloat64())
	w.face = fromDesk * math.Exp(sigmaFromDesk*r.NormFloat64())
	w.fitScreen(r)
	w.around = w.profile.Surround.RelativeY.Value * math.Exp(sigmaSurround*r.NormFloat64())
	if r.Float64() < w.dark {
		w.around = between(r, 0.003, 0.06)
	}
	w.profile.Readings, w.profile.Quiet.Gap = nil, *yearGap
	w.profile.Room.MeterUncertainty = w.meter
	w.calibrate(r, newYear.AddDate(0, 0, -int(w.interval*r.Float64())))
	if r.Float64() < w.unknown {
		d := &w.profile.Displays[0]
		d.White, d.Measured = Assume[Luminance](160), Assume(time.Time{})
		w.calibrated, w.interval = newYear, math.Inf(1)
		w.screen = Luminance(w.touches.draw(r))
	}
	return w
}

// fitScreen draws what a screen of the kind reflects, and what the profile says of it.
func (w *workplace) fitScreen(r *rand.Rand) {
	d := &w.profile.Displays[0]
	sigma := sigmaDiffuseTold
	if !w.measured {
		d.Screen, d.Hood, sigma = Stated(ScreenFinish{"matt", 0.0045}), Stated(false), sigmaDiffuse
	}
	d.Held = Stated(r.Float64() < w.held)
	w.diffuse = reflection(*d).value * math.Exp(sigma*r.NormFloat64())
	w.contrast = d.Contrast.Value * math.Exp(sigmaContrast*r.NormFloat64())
}

// luck is the randomness of one topic of one day, the same whatever has been
// done at the desk before.
func (w *workplace) luck(day, topic int) *rand.Rand {
	return rand.New(rand.NewPCG(w.seed, uint64(day+1)<<8|uint64(topic)))
}

// calibrate sets the screen and tells the profile what the instrument read.
func (w *workplace) calibrate(r *rand.Rand, at time.Time) {
	read := w.aim.draw(r)
	w.screen = Luminance(read * math.Exp(sigmaWhiteMeasured*r.NormFloat64()))
	w.calibrated, w.due = at, false
	w.profile.Displays[0].White = Stated(Luminance(read))
	w.profile.Displays[0].Measured = Stated(at)
}

// wake is what happens to the screen before the work of a day begins.
func (w *workplace) wake(day int, morning time.Time) {
	r := w.luck(day, 1)
	w.screen *= Luminance(math.Exp(w.wanders * r.NormFloat64()))
	if r.Float64() < w.touched {
		w.screen = Luminance(w.touches.draw(r))
	}
	if w.due || morning.Sub(w.calibrated).Hours() > 24*w.interval {
		w.calibrate(r, morning)
		if wintry(morning) {
			w.turned = 1 + (w.turned-1)*r.Float64() // who has just measured it turns it up less
		}
	}
	if r.Float64() < w.reads {
		w.read(r, morning, w.truth(day, 0, morning))
	}
}

// read logs a reading of the light that there truly is.
func (w *workplace) read(r *rand.Rand, at time.Time, truth desk) {
	v := float64(truth.room) * w.meterBias * math.Exp(0.7*w.meter*r.NormFloat64())
	if w.place == OnDesk {
		v /= w.face
	}
	w.profile.Readings = []Reading{{At: at, Light: Lux(v), Place: w.place}}
}

func wintry(at time.Time) bool { return at.Month() >= time.November || at.Month() <= time.February }

// truth is the desk as it is in a batch of a day.
func (w *workplace) truth(day, batch int, at time.Time) desk {
	weather, lamps := w.luck(day, 2), w.luck(day, 16+batch)
	clouds := math.Exp(-1.2 * weather.Float64())
	room := w.lamp * math.Exp(w.unsteady*lamps.NormFloat64())
	sun := w.sun * clouds * sunshine(at) * math.Exp(0.3*lamps.NormFloat64())
	if w.shaded.Equal(at.Truncate(24 * time.Hour)) {
		sun /= 10
		room = math.Min(room, 50)
	}
	white := float64(w.screen)
	if wintry(at) {
		white *= w.turned
	}
	if from := float64(w.who.turnsFrom); w.drifts && room+sun > from {
		white = math.Min(white*math.Pow((room+sun)/from, w.who.turnsUp), math.Max(white, usualMost))
	}
	known := Resolve(w.profile, at)
	d := known.now()
	d.screen.White, d.screen.Contrast, d.screen.Diffuse = Luminance(white), w.contrast, w.diffuse
	d.room, d.screen.On, d.surround = Lux(room+sun), Lux(room+sun), w.around
	return d
}

// sunshine is the sine of the sun's elevation at 58° north, 0 at night:
//
//	sin e = sin φ·sin δ + cos φ·cos δ·cos h,  δ = −23.44°·cos(2π·(N+10)/365)
func sunshine(at time.Time) float64 {
	const degree = math.Pi / 180
	hours := float64(at.Hour()) + float64(at.Minute())/60
	sinL, cosL := math.Sincos(58 * degree)
	sinD, cosD := math.Sincos(-23.44 * degree * math.Cos(2*math.Pi*float64(at.YearDay()+10)/365))
	return math.Max(0, sinL*sinD+cosL*cosD*math.Cos((hours-12)*15*degree))
}

// obey is what the person does about a notice.
func (w *workplace) obey(r *rand.Rand, report *Report, at time.Time, truth desk) {
	if r.Float64() >= w.heeds {
		return
	}
	sure := report.Verdict != Unsure || report.Unsettled == "" // it says what to do, not what to measure
	switch about := report.About(); {
	case about == ScreenLuminance || about == CalibrationAge:
		w.due = true // the instrument is in the drawer, and tomorrow is a day
	case about == SurroundGrey && sure:
		w.around = w.profile.Surround.RelativeY.Value
	case about == RoomLight:
		if sure {
			w.shaded = at.Truncate(24 * time.Hour)
		}
		w.read(r, at, truth)
	}
}
