package config

import (
	"strconv"
	"time"

	"lampblack/rules"
	"lampblack/rules/colour"
)

// The tables of the desk. Where several keys say one thing, the later row counts:
// a reference stands behind the range that it follows.

var deskTable = table{name: "desk", keys: []key{
	{name: "name", kind: kindText, example: `"Tidemark, Skarvik"`,
		set: into(func(p *rules.Profile, name string) { p.Desk = name })},
	{name: "prints_judged", kind: kindChoice, choices: words(rules.Judgings()), example: `"by itself"`,
		set: into(func(p *rules.Profile, way string) { p.Judged = rules.Judging(way) })},
}}

// display sets a value of the display that was begun last.
func display[V any](put func(*rules.Display, V)) setter {
	return intoLast(func(p *rules.Profile) []rules.Display { return p.Displays }, put)
}

var displayTable = table{
	name: "display", many: true, either: [][]string{{"white_k", "white_xy"}, {"surface", "screen", "diffuse_cd_m2_lx"}},
	begin: func(p *rules.Profile) { p.Displays = append(p.Displays, assumedDisplay()) },
	keys: []key{
		{name: "name", kind: kindText, need: true, example: `"north bench"`,
			set: display(func(d *rules.Display, name string) { d.Name = name })},
		{name: "edits", kind: kindFlag, example: "true",
			set: display(func(d *rules.Display, yes bool) { d.Edits = yes })},
		{name: "white_cd_m2", kind: kindNumber, unit: "cd/m²", low: 1, high: rules.MostWhite, example: "118.0",
			set: display(func(d *rules.Display, white float64) { d.White = rules.Stated(rules.Luminance(white)) })},
		{name: "white_k", kind: kindNumber, unit: "K", low: 4000, high: 25000, example: "6000",
			set: display(func(d *rules.Display, k float64) { d.WhitePoint = rules.Stated(daylight(rules.Kelvin(k))) })},
		{name: "white_xy", kind: kindWhiteXY, low: 0.2, high: 0.5, example: "[0.3217, 0.3377]",
			set: display(func(d *rules.Display, xy colour.XY) { d.WhitePoint = rules.Stated(xy) })},
		{name: "contrast", kind: kindNumber, low: 1.01, high: 1e7, example: "900",
			set: display(func(d *rules.Display, ratio float64) { d.Contrast = rules.Stated(ratio) })},
		{name: "measured", kind: kindDay, example: "2026-02-14",
			set: display(func(d *rules.Display, day time.Time) { d.Measured = rules.Stated(day) })},
		surfaceKey("surface"),
		surfaceKey("screen"), // its older name
		{name: "diffuse_cd_m2_lx", kind: kindNumber, unit: "cd/m² per lx", low: 0, high: 0.3, example: "0.0045",
			set: display(func(d *rules.Display, diffuse float64) {
				d.Screen = rules.Stated(rules.ScreenFinish{Name: "measured", Diffuse: diffuse})
			})},
		{name: "most_cd_m2", kind: kindNumber, unit: "cd/m²", low: 1, high: rules.MostWhite, example: "350",
			set: display(atMost)},
		{name: "hood", kind: kindFlag, example: "true",
			set: display(func(d *rules.Display, yes bool) { d.Hood = rules.Stated(yes) })},
		{name: "held", kind: kindFlag, example: "true",
			set: display(func(d *rules.Display, yes bool) { d.Held = rules.Stated(yes) })},
	},
}

// surfaceKey is the key of how a display's face reflects, under one of its names.
func surfaceKey(name string) key {
	return key{name: name, kind: kindChoice, choices: []string{"matt", "gloss"}, example: `"matt"`,
		set: display(func(d *rules.Display, kind string) { d.Screen = rules.Stated(finish(kind)) })}
}

// atMost states what a display can do at most. A white that is only assumed is no
// brighter than that.
func atMost(d *rules.Display, white float64) {
	d.Most = rules.Luminance(white)
	if d.White.Assumed {
		d.White.Value = min(d.White.Value, d.Most)
	}
}

// target sets a value of what the desk should be.
func target[V any](put func(*rules.Target, V)) setter {
	return into(func(p *rules.Profile, v V) { put(&p.Target, v) })
}

// A reference that isn't given follows the range that is: the geometric middle of the
// white and of the room, and elsewhere the default as far as the range allows.
var targetTable = table{name: "target", keys: []key{
	{name: "white_cd_m2", kind: kindInterval, unit: "cd/m²", low: 1, high: rules.MostWhite, example: "[90.0, 120.0]",
		set: target(func(t *rules.Target, r rules.Range) {
			t.White, t.ReferenceWhite, t.WhiteStated = r, rules.Luminance(r.Middle()), true
		})},
	{name: "white_k", kind: kindInterval, unit: "K", low: 4000, high: 25000, example: "[5600, 6500]",
		set: target(func(t *rules.Target, r rules.Range) {
			t.WhitePoint, t.ReferencePoint = r, rules.Kelvin(within(r, float64(t.ReferencePoint)))
		})},
	{name: "reference_cd_m2", kind: kindNumber, unit: "cd/m²", low: 1, high: rules.MostWhite, example: "95.0",
		set: target(func(t *rules.Target, white float64) {
			t.ReferenceWhite, t.WhiteStated = rules.Luminance(white), true
		})},
	{name: "reference_k", kind: kindNumber, unit: "K", low: 4000, high: 25000, example: "6000",
		set: target(func(t *rules.Target, k float64) { t.ReferencePoint = rules.Kelvin(k) })},
	{name: "room_lx", kind: kindNumber, unit: "lx", low: 1, high: 100000, example: "64.0",
		set: target(func(t *rules.Target, lx float64) {
			t.Room, t.ReferenceRoom = rules.Lux(lx), middleOfRoom(rules.Lux(lx))
		})},
	{name: "reference_lx", kind: kindNumber, unit: "lx", low: 0.1, high: 100000, example: "48.0",
		set: target(func(t *rules.Target, lx float64) { t.ReferenceRoom = rules.Lux(lx) })},
	{name: "surround", kind: kindInterval, low: 0, high: 1, example: "[0.15, 0.30]",
		set: target(func(t *rules.Target, r rules.Range) {
			t.Surround, t.ReferenceSurround = r, within(r, t.ReferenceSurround)
		})},
	{name: "reference_surround", kind: kindNumber, low: 0, high: 1, example: "0.20",
		set: target(func(t *rules.Target, y float64) { t.ReferenceSurround = y })},
	{name: "recalibrate_days", kind: kindNumber, unit: "days", low: 1, high: 3650, example: "30",
		set: target(func(t *rules.Target, days float64) { t.RecalibrateDays = days })},
}}

// middleOfRoom is the reference room where only its upper limit is known.
func middleOfRoom(limit rules.Lux) rules.Lux { return rules.Lux(rules.RoomRange(limit).Middle()) }

// within is the value of the range that is nearest to v.
func within(r rules.Range, v float64) float64 { return min(max(v, r.Low), r.High) }

// surround sets a value of the surround.
func surround[V any](put func(*rules.Surround, V)) setter {
	return into(func(p *rules.Profile, v V) { put(&p.Surround, v) })
}

var surroundTable = table{name: "surround", either: [][]string{{"relative_Y", "grey", "lightness", "named"}}, keys: []key{
	{name: "relative_Y", kind: kindNumber, low: 0, high: 1, example: "0.20",
		set: surround(func(s *rules.Surround, y float64) {
			s.RelativeY, s.Name = rules.Stated(y), "relative Y "+plainNumber(y)
		})},
	{name: "grey", kind: kindWhole, low: 0, high: 255, example: "118",
		set: surround(func(s *rules.Surround, code float64) {
			s.RelativeY, s.Name = rules.Stated(colour.SRGB.Decode(code/255)), "grey "+strconv.Itoa(int(code))
		})},
	{name: "lightness", kind: kindNumber, low: 0, high: 100, example: "50",
		set: surround(func(s *rules.Surround, l float64) {
			s.RelativeY, s.Name = rules.Stated(colour.FromLightness(l)), "L* "+plainNumber(l)
		})},
	{name: "named", kind: kindChoice, choices: rules.SurroundNames(), example: `"mid grey"`,
		set: surround(func(s *rules.Surround, name string) {
			y, _ := rules.SurroundNamed(name)
			s.RelativeY, s.Name = rules.Stated(y), name
		})},
	{name: "backdrop", kind: kindChoice, choices: []string{"neutral", "colourful"}, example: `"neutral"`,
		set: surround(func(s *rules.Surround, b string) { s.Backdrop = rules.Stated(rules.Backdrop(b)) })},
	{name: "picture_share", kind: kindNumber, low: 0, high: 1, example: "0.6",
		set: surround(func(s *rules.Surround, share float64) { s.Share = rules.Stated(share) })},
}}

// room sets a value of the room.
func room[V any](put func(*rules.Room, V)) setter {
	return into(func(p *rules.Profile, v V) { put(&p.Room, v) })
}

var roomTable = table{name: "room", keys: []key{
	{name: "reading_hours", kind: kindNumber, unit: "hours", low: 0.1, high: 8760, example: "4",
		set: room(func(r *rules.Room, hours float64) { r.ReadingLife = duration(hours, time.Hour) })},
	{name: "lamps_k", kind: kindNumber, unit: "K", low: rules.CoolestLamp, high: rules.BluestSky, example: "4000",
		set: room(func(r *rules.Room, k float64) { r.Lamps = rules.Stated(rules.Kelvin(k)) })},
	{name: "meter_uncertainty", kind: kindNumber, low: 0.01, high: 1, example: "0.15",
		set: room(func(r *rules.Room, sigma float64) { r.MeterUncertainty = sigma })},
	{name: "light_folder", kind: kindPath, example: `"~/Pictures/light"`,
		set: room(func(r *rules.Room, path string) { r.LightFolder = path })},
	{name: "light_of", kind: kindChoice, choices: []string{"paper", "grey card"}, example: `"paper"`,
		set: room(func(r *rules.Room, of string) { r.LightOf = rules.Subject(of) })},
	{name: "sensor", kind: kindFlag, example: "false",
		set: room(func(r *rules.Room, yes bool) { r.Sensor = yes })},
}}

// reading sets a value of the reading that was begun last.
func reading[V any](put func(*rules.Reading, V)) setter {
	return intoLast(func(p *rules.Profile) []rules.Reading { return p.Readings }, put)
}

var readingTable = table{
	name: "reading", many: true,
	begin: func(p *rules.Profile) {
		p.Readings = append(p.Readings, rules.Reading{Place: rules.AtScreen, Source: rules.FromProfile})
	},
	keys: []key{
		{name: "at", kind: kindMoment, need: true, example: "2026-03-01T09:10:00Z",
			set: reading(func(r *rules.Reading, at time.Time) { r.At = at })},
		{name: "lx", kind: kindNumber, unit: "lx", low: 0, high: rules.MostLux, need: true, example: "41.0",
			set: reading(func(r *rules.Reading, lx float64) { r.Light = rules.Lux(lx) })},
		{name: "k", kind: kindNumber, unit: "K", low: rules.CoolestLamp, high: rules.BluestSky, example: "3000",
			set: reading(func(r *rules.Reading, k float64) { r.Kelvin = rules.Kelvin(k) })},
		{name: "uncertainty", kind: kindNumber, low: 0.01, high: 1, example: "0.30",
			set: reading(func(r *rules.Reading, sigma float64) { r.Sigma = sigma })},
		{name: "note", kind: kindText, example: `"blind half down"`,
			set: reading(func(r *rules.Reading, note string) { r.Note = note })},
		{name: "place", kind: kindChoice, choices: words(rules.Places()), need: true, example: `"screen"`,
			set: reading(func(r *rules.Reading, place string) { r.Place = rules.Place(place) })},
	},
}

// quiet sets a value of when to speak.
func quiet[V any](put func(*rules.Quiet, V)) setter {
	return into(func(p *rules.Profile, v V) { put(&p.Quiet, v) })
}

var quietTable = table{name: "quiet", keys: []key{
	{name: "noticeable_stops", kind: kindNumber, unit: "stops", low: 0.01, high: 5, example: "0.15",
		set: quiet(func(q *rules.Quiet, stops float64) { q.Noticeable = rules.Stops(stops) })},
	{name: "clear_stops", kind: kindNumber, unit: "stops", low: 0.01, high: 5, example: "0.33",
		set: quiet(func(q *rules.Quiet, stops float64) { q.Clear = rules.Stops(stops) })},
	{name: "colourfulness_ratio", kind: kindNumber, low: 0, high: 1, example: "0.93",
		set: quiet(func(q *rules.Quiet, ratio float64) { q.Colourful = ratio })},
	{name: "contrast_ratio", kind: kindNumber, low: 0, high: 1, example: "0.90",
		set: quiet(func(q *rules.Quiet, ratio float64) { q.Contrast = ratio })},
	{name: "steps_lost", kind: kindNumber, low: 0, high: 1, example: "0.25",
		set: quiet(func(q *rules.Quiet, share float64) { q.StepsLost = share })},
	{name: "probability", kind: kindNumber, low: 0, high: 1, example: "0.6",
		set: quiet(func(q *rules.Quiet, p float64) { q.Probability = p })},
	{name: "gap_minutes", kind: kindNumber, unit: "minutes", low: 0, high: 10080, example: "240",
		set: quiet(func(q *rules.Quiet, minutes float64) { q.Gap = duration(minutes, time.Minute) })},
}}
