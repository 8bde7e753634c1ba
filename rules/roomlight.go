package rules

import "math"

// The room's light at the screen's face. How a reading of it ages is in room.go.

// RoomLight is the name of the condition, and of what it does as the surround of
// what is seen; Glare is what the same light does as a veil over the screen: a
// cause, not a condition.
const (
	RoomLight = "room light"
	Glare     = "glare"
)

// Standard uncertainties of the room's light, relative (common practice, no source).
const (
	sigmaRoomAssumed = 0.90 // no reading at all: a factor of 2.5 either way
	sigmaRoomAged    = 0.20 // one reading life: the sun moves
	sigmaFromDesk    = 0.35 // light at the screen's face guessed from the desk
)

// fromDesk is the light at the screen's face over the light flat on the desk
// (common practice, no source).
const fromDesk = 0.5

var roomLight = kind{
	name:    RoomLight,
	unit:    Unit{Symbol: "lx", ASCII: "lx", Typed: []string{"lx", "lux"}},
	scale:   &Scale{From: 2, To: 1000, Spacing: ByRatio, Ticks: []float64{0.1, 1, 2, 4, 8, 16, 32, 64, 125, 250, 500, 1000, 4000, 16000, 100000}},
	reading: true,
	words: wording{
		stands: stands{
			isRight:     {"right", "The room is right"},
			isAssumed:   {"right", "The room is assumed to be right"},
			isTooLow:    {"too dark", "The room is too dark"},
			isTooHigh:   {"too bright", "The room is too bright"},
			isTakenLow:  {"too dark", "The room is assumed to be too dark"},
			isTakenHigh: {"too bright", "The room is assumed to be too bright"},
			isOutlived:  {"in need of a new reading", "The room light needs a new reading"},
		},
		is:      "The room light is {value}",
		taken:   "The room light is assumed to be {value}",
		close:   "it is close, and depends on the room light",
		measure: "Reading the room light now would take away much of the doubt.",
	},

	resolve:  resolveRoom,
	far:      roomIsFarOut,
	remember: func(c *Conditions, v float64) { c.room.value = math.Min(math.Max(v, leastLight), MostLux) },

	allowed:   Target.room,
	reference: func(t Target) float64 { return float64(t.ReferenceRoom) },
	here:      func(c *Conditions, d desk) desk { return putRoom(d, c.room.value) },
	put:       putRoom,
	read:      func(d desk) float64 { return float64(d.room) },
	departures: []departure{{
		name:     RoomLight,
		darkens:  "the room is darker than your {aim}, so the picture looked lighter on screen",
		lightens: "the room is brighter than your {aim}, so the picture looked darker on screen",
		apply: func(d, other desk) desk {
			d.room = other.room
			return d
		},
	}, {
		name: Glare, title: "glare on the screen",
		darkens:  "more room light falls on the screen than at your {aim}, and veils its shadows",
		lightens: "less room light falls on the screen than at your {aim}, and veils its shadows less",
		apply: func(d, other desk) desk {
			d.screen.On = other.screen.On
			return d
		},
	}},
	above: toDarker | toLighter, below: toDarker, // glare hides shadows, and a bright room darkens what is seen
	set:    &setting{sentence: setRoomText, lamp: true},
	doubt:  doubtOfRoom,
	settle: settleRoom,
	inputs: []input{{
		name: "room", column: 1,
		sigma: func(c *Conditions) float64 { return c.room.sigma },
		apply: func(c *Conditions, s drawn, off float64) drawn {
			s.now = putRoom(s.now, c.room.off(off))
			return s
		},
		renewable: func(c *Conditions) float64 { return renewed(c.room, c.meter) },
	}},
}

// putRoom sets the room light, which is on the screen as well as around it.
func putRoom(d desk, lux float64) desk {
	d.room, d.screen.On = Lux(lux), Lux(lux)
	return d
}

// resolveRoom is the light at the screen's face: the newest reading at or
// before now, taken at the screen or guessed from the desk. Older readings
// stand, with an uncertainty that grows; with none the reference is assumed.
func resolveRoom(at moment, c *Conditions, k *Condition) {
	p := at.profile
	q := estimate{float64(c.target.ReferenceRoom), sigmaRoomAssumed}
	k.Assumed = true
	k.from(SourceNoReading, "assumed: no reading yet")
	if i := newestReading(p.Readings, at.now); i >= 0 {
		r, age, h := p.Readings[i], at.now.Sub(p.Readings[i].At), hourOf(p.Readings, i, at.now)
		q = estimate{float64(r.Light), math.Hypot(p.Room.meter(r), p.Room.aged(age, h))}
		k.Assumed, k.AgeHours = false, Figure(age.Hours())
		k.from(roomSource(p, r, h, at.now))
		k.Lives = k.AgeHours / Figure(p.Room.ReadingLife.Hours())
		if r.Place == OnDesk {
			q.value *= fromDesk
			q.sigma = math.Hypot(q.sigma, sigmaFromDesk)
		}
	}
	k.Value, k.Sigma = Figure(q.value), Figure(q.sigma)
	k.InTarget = c.target.room().holdsShown(q.value)
	q.value = math.Max(q.value, leastLight)
	c.room = q
	c.meter = p.Room.MeterUncertainty
}

// leastLight stands for "no light": a room in which lux are read as 0 still has
// the screen's own light in it, and logarithms need a number.
const leastLight = 0.01

// roomIsFarOut tells a room above twice its limit, and one of which there is no
// reading within three lives.
func roomIsFarOut(k Condition, t Target) bool {
	return k.Assumed || outlived(k) || float64(k.Value) > 2*float64(t.Room)
}

// outlived tells a reading so old that nobody knows what the light is now: more
// than three of its lives.
func outlived(k Condition) bool { return k.Lives > 3 }

func setRoomText(c *Conditions, v float64) string {
	if v > c.room.value {
		return fillIn("Bring the room light up to about {lux} lx at the screen", "lux", short(v))
	}
	return fillIn("Dim the room light to about {lux} lx at the screen", "lux", short(v))
}

func doubtOfRoom(r *Report, k Condition) string {
	switch {
	case k.Assumed:
		return "there is no reading of the room light"
	case r.tooBright():
		return "the room is too bright for judging prints"
	case k.AgeHours >= 1:
		return fillIn("the last reading of the room light is {age} old", "age", span(hours(k.AgeHours)))
	default:
		return "it is close, and depends on the room light"
	}
}

// tooBright tells an unsure verdict whose remedy is at hand: the reading is
// there, and it says that the room is too bright.
func (r *Report) tooBright() bool {
	room := r.Condition(RoomLight)
	return r.Unsettled == RoomLight && !room.Assumed && room.Value > room.Target[1]
}

// settleRoom puts right a room that is far out, or asks for a reading.
func settleRoom(c *Conditions, r *Report) Remedy {
	limit := c.target.Room
	m := Remedy{Name: Measure, Text: logLightText(float64(limit), !c.Get(RoomLight).Assumed), Value: Figure(limit), Unit: "lx", Left: Unknown}
	if r.tooBright() {
		m.Name, m.Text, m.Caution = RoomLight, dimText(float64(limit)), true
	}
	return m
}
