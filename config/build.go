package config

import (
	"strconv"
	"time"

	"lampblack/rules"
	"lampblack/rules/colour"
)

// stated is a number that the profile gives, as the quantity it stands for.
func stated[Q ~float64](s section, key string) (Q, bool) {
	v, ok := value[float64](s, key)
	return Q(v), ok
}

// quantity is a number that the profile gives, or the default.
func quantity[Q ~float64](s section, key string, otherwise Q) rules.Given[Q] {
	if v, ok := stated[Q](s, key); ok {
		return rules.Stated(v)
	}
	return rules.Assume(otherwise)
}

// word is one of the choices that the profile makes, or the default.
func word[W ~string](s section, key string, otherwise W) rules.Given[W] {
	if v, ok := value[string](s, key); ok {
		return rules.Stated(W(v))
	}
	return rules.Assume(otherwise)
}

// yesOrNo is a flag that the profile sets; silence is no.
func yesOrNo(s section, key string) rules.Given[bool] {
	if v, ok := value[bool](s, key); ok {
		return rules.Stated(v)
	}
	return rules.Assume(false)
}

// build makes the profile of tables that are known to be sound. What they don't
// say is assumed.
func build(sections map[string][]section) *rules.Profile {
	one := func(name string) section {
		if s := sections[name]; len(s) > 0 {
			return s[0]
		}
		return section{}
	}
	p := &rules.Profile{
		Target:   targetOf(one("target")),
		Surround: surroundOf(one("surround")),
		Room:     roomOf(one("room")),
		Readings: sortReadings(each(sections["reading"], readingOf)),
		Displays: each(sections["display"], displayOf),
		Papers:   each(sections["paper"], paperOf),
		Viewings: each(sections["viewing"], viewingOf),
		Folders:  each(sections["folder"], folderOf),
		Quiet:    quietOf(one("quiet")),
	}
	p.Desk, _ = value[string](one("desk"), "name")
	if len(p.Displays) == 0 {
		p.Displays = []rules.Display{assumedDisplay()}
	}
	if len(p.Papers) == 0 {
		p.Papers = []rules.Paper{assumedPaper()}
	}
	if len(p.Viewings) == 0 {
		p.Viewings = []rules.Viewing{assumedViewing()}
	}
	chooseEditing(p.Displays)
	return p
}

// each makes one T of each table.
func each[T any](sections []section, of func(section) T) []T {
	var all []T
	for _, s := range sections {
		all = append(all, of(s))
	}
	return all
}

// chooseEditing leaves exactly one display that edits: the first that says so,
// or the first of all.
func chooseEditing(displays []rules.Display) {
	chosen := 0
	for i := len(displays) - 1; i >= 0; i-- {
		if displays[i].Edits {
			chosen = i
		}
	}
	for i := range displays {
		displays[i].Edits = i == chosen
	}
}

func displayOf(s section) rules.Display {
	d := rules.Display{
		White:      quantity(s, "white_cd_m2", assumedWhite),
		WhitePoint: whitePointOf(s),
		Contrast:   quantity(s, "contrast", float64(assumedContrast)),
		Measured:   rules.Assume(time.Time{}),
		Screen:     finishOf(s),
		Hood:       yesOrNo(s, "hood"),
		Held:       yesOrNo(s, "held"),
	}
	d.Name, _ = value[string](s, "name")
	d.Edits, _ = value[bool](s, "edits")
	if t, ok := value[time.Time](s, "measured"); ok {
		d.Measured = rules.Stated(t)
	}
	return d
}

func whitePointOf(s section) rules.Given[colour.XY] {
	if xy, ok := value[colour.XY](s, "white_xy"); ok {
		return rules.Stated(xy)
	}
	if k, ok := stated[rules.Kelvin](s, "white_k"); ok {
		return rules.Stated(daylight(k))
	}
	return rules.Assume(daylight(assumedPoint))
}

func finishOf(s section) rules.Given[rules.ScreenFinish] {
	if d, ok := value[float64](s, "diffuse_cd_m2_lx"); ok {
		return rules.Stated(rules.ScreenFinish{Name: "measured", Diffuse: d})
	}
	name := word(s, "screen", "matt")
	return rules.Given[rules.ScreenFinish]{
		Value:   rules.ScreenFinish{Name: name.Value, Diffuse: screenFinishes[name.Value]},
		Assumed: name.Assumed,
	}
}

// targetOf fills what the profile doesn't say. A reference follows the range
// that the profile does give: the low end of the white, three quarters of the
// room, and elsewhere the default as far as the range allows.
func targetOf(s section) rules.Target {
	t := defaultTarget
	if r, ok := value[rules.Range](s, "white_cd_m2"); ok {
		t.White, t.ReferenceWhite = r, rules.Luminance(r.Low)
	}
	if r, ok := value[rules.Range](s, "white_k"); ok {
		t.WhitePoint, t.ReferencePoint = r, rules.Kelvin(within(r, float64(t.ReferencePoint)))
	}
	if r, ok := value[rules.Range](s, "surround"); ok {
		t.Surround, t.ReferenceSurround = r, within(r, t.ReferenceSurround)
	}
	if lx, ok := stated[rules.Lux](s, "room_lx"); ok {
		t.Room, t.ReferenceRoom = lx, referenceRoomShare*lx
	}
	t.ReferenceWhite = quantity(s, "reference_cd_m2", t.ReferenceWhite).Value
	t.ReferencePoint = quantity(s, "reference_k", t.ReferencePoint).Value
	t.ReferenceRoom = quantity(s, "reference_lx", t.ReferenceRoom).Value
	t.ReferenceSurround = quantity(s, "reference_surround", t.ReferenceSurround).Value
	t.RecalibrateDays = quantity(s, "recalibrate_days", t.RecalibrateDays).Value
	return t
}

// within is the value of the range that is nearest to v.
func within(r rules.Range, v float64) float64 { return min(max(v, r.Low), r.High) }

func surroundOf(s section) rules.Surround {
	around := rules.Surround{
		RelativeY: rules.Assume(assumedSurround),
		Backdrop:  word(s, "backdrop", rules.NeutralBackdrop),
		Share:     quantity(s, "picture_share", assumedShare),
	}
	if y, ok := value[float64](s, "relative_Y"); ok {
		around.RelativeY = rules.Stated(y)
		around.Name = "relative Y " + plainNumber(y)
	}
	if code, ok := value[float64](s, "grey"); ok {
		around.RelativeY = rules.Stated(colour.SRGB.Decode(code / 255))
		around.Name = "grey " + strconv.Itoa(int(code))
	}
	if l, ok := value[float64](s, "lightness"); ok {
		around.RelativeY = rules.Stated(colour.FromLightness(l))
		around.Name = "L* " + plainNumber(l)
	}
	if name, ok := value[string](s, "named"); ok {
		y, _ := rules.SurroundNamed(name)
		around.RelativeY = rules.Stated(y)
		around.Name = name
	}
	return around
}

func roomOf(s section) rules.Room {
	return rules.Room{
		ReadingLife:      duration(quantity(s, "reading_hours", float64(readingHours)).Value, time.Hour),
		Lamps:            quantity(s, "lamps_k", assumedLamps),
		MeterUncertainty: quantity(s, "meter_uncertainty", meterUncertainty).Value,
		LightFolder:      text(s, "light_folder"),
		LightOf:          word(s, "light_of", rules.OfPaper).Value,
		Sensor:           yesOrNo(s, "sensor").Value,
	}
}

// text is a text that the profile gives, or nothing.
func text(s section, key string) string {
	v, _ := value[string](s, key)
	return v
}

// duration is n units of time.
func duration(n float64, unit time.Duration) time.Duration {
	return time.Duration(n * float64(unit))
}

func readingOf(s section) rules.Reading {
	r := rules.Reading{Place: word(s, "place", rules.AtScreen).Value, Note: text(s, "note"), Source: rules.FromProfile}
	r.At, _ = value[time.Time](s, "at")
	r.Light, _ = stated[rules.Lux](s, "lx")
	r.Kelvin, _ = stated[rules.Kelvin](s, "k")
	r.Sigma, _ = stated[float64](s, "uncertainty")
	return r
}

func paperOf(s section) rules.Paper {
	p := rules.Paper{
		White: rules.Assume(colour.FromLightness(assumedPaperL)),
		DMax:  quantity(s, "dmax", assumedDMax),
	}
	p.Name, _ = value[string](s, "name")
	p.ICC, _ = value[string](s, "icc")
	if l, ok := value[float64](s, "white_L"); ok {
		p.White = rules.Stated(colour.FromLightness(l))
	}
	return p
}

func viewingOf(s section) rules.Viewing {
	v := rules.Viewing{
		Light:   quantity(s, "lx", assumedWall),
		Lamps:   quantity(s, "k", assumedWallLamps),
		Mat:     word(s, "mat", rules.WhiteMat),
		Glazing: word(s, "glazing", rules.NoGlazing),
	}
	v.Name, _ = value[string](s, "name")
	return v
}

func folderOf(s section) rules.Folder {
	f := rules.Folder{
		Purpose: word(s, "purpose", rules.ForPrint).Value,
		Match:   append([]string(nil), defaultMatch...),

		Subfolders: true, // editors make folders for days and jobs
	}
	f.Path, _ = value[string](s, "path")
	f.Paper, _ = value[string](s, "paper")
	f.Viewing, _ = value[string](s, "viewing")
	if size, ok := value[rules.Range](s, "size_cm"); ok {
		f.Short, f.Long = size.Low, size.High
	}
	if globs, ok := value[[]string](s, "match"); ok {
		f.Match = globs
	}
	if below, ok := value[bool](s, "subfolders"); ok {
		f.Subfolders = below
	}
	if seconds, ok := value[float64](s, "poll_seconds"); ok {
		f.Poll = time.Duration(seconds * float64(time.Second))
	}
	return f
}

func quietOf(s section) rules.Quiet {
	return rules.Quiet{
		Noticeable:  quantity(s, "noticeable_stops", rules.Stops(0.15)).Value,
		Clear:       quantity(s, "clear_stops", rules.Stops(0.33)).Value,
		Colourful:   quantity(s, "colourfulness_ratio", 0.93).Value,
		StepsLost:   quantity(s, "steps_lost", 0.25).Value,
		Probability: quantity(s, "probability", 0.6).Value,
		Gap:         duration(quantity(s, "gap_minutes", 240.0).Value, time.Minute),
	}
}
