package rules

import "math"

// setting is a thing at the desk that can be set, the range in which the
// profile wants it, and the desk with it set to v.
type setting struct {
	allowed Range
	target  float64
	set     func(d *desk, v float64)
}

// leastRoom is the darkest room a remedy ever asks for, in lux: people have to
// find the keyboard.
const leastRoom = 5

// settings are the remedies that can be solved for.
func settings(t Target) map[string]setting {
	return map[string]setting{
		ScreenLuminance: {t.White, float64(t.ReferenceWhite), func(d *desk, v float64) { d.screen.White = Luminance(v) }},
		RoomLight:       {Range{leastRoom, float64(t.Room)}, float64(t.ReferenceRoom), func(d *desk, v float64) { d.screen.On = Lux(v) }},
		SurroundGrey:    {t.Surround, t.ReferenceSurround, func(d *desk, v float64) { d.surround = v }},
	}
}

// solution is the value of a setting that brings the whole picture's shift
// against the targets nearest to nothing, and the shift that then remains.
type solution struct{ value, left float64 }

// solve finds the value of s, within its allowed range, at which the shift of
// the whole picture is nothing; where no value reaches that, the nearest.
func solve(c *Conditions, s setting, pic *Picture) solution {
	target := c.reference()
	should := target.at(pic.MeanY)
	shift := func(v float64) float64 {
		d := c.now()
		s.set(&d, v)
		a := d.at(pic.MeanY)
		return summarise(&a, &should, pic.Tones).whole.mean()
	}
	return nearestToZero(shift, s.allowed, s.target)
}

// nearestToZero looks for a zero of f in the range: from the preferred value
// outwards over a grid, then by bisection where the sign changes. Without a
// zero it gives the best of the grid.
func nearestToZero(f func(float64) float64, r Range, preferred float64) solution {
	const cells = 16
	start := solution{preferred, f(preferred)}
	best := start
	for _, end := range []float64{r.Low, r.High} {
		from := start
		for i := 1; i <= cells; i++ {
			v := preferred + (end-preferred)*float64(i)/cells
			next := solution{v, f(v)}
			if math.Signbit(next.left) != math.Signbit(from.left) {
				return bisect(f, from, next)
			}
			if math.Abs(next.left) < math.Abs(best.left) {
				best = next
			}
			from = next
		}
	}
	return best
}

// bisect closes in on the zero of f between a and b, where its sign differs.
func bisect(f func(float64) float64, a, b solution) solution {
	for range 50 {
		v := (a.value + b.value) / 2
		m := solution{v, f(v)}
		if math.Abs(m.left) < 1e-6 {
			return m
		}
		if math.Signbit(m.left) == math.Signbit(a.left) {
			a = m
		} else {
			b = m
		}
	}
	return a
}

// remedy is one thing to do now about the verdict: for a cause, the solved
// setting and the lift that would compensate in this file; when unsure, the
// measurement that would settle it. Nil when there is nothing to do.
func remedy(c *Conditions, r *Report, pic *Picture) *Remedy {
	switch r.Verdict {
	case Holds:
		return nil
	case Unsure:
		return settle(c, r)
	}
	cause, ok := mainCause(r.Verdict, r.Causes)
	if !ok {
		return settle(c, r)
	}
	lift := float64(r.Prediction.Targets.Shift.Whole)
	if s, ok := settings(c.target)[cause.Name]; ok {
		found := solve(c, s, coarse(pic))
		return &Remedy{
			Text:  settingText(c, cause.Name, found, lift),
			Value: Figure(found.value),
			Unit:  c.Get(cause.Name).Unit,
		}
	}
	return &Remedy{
		Text:  whitePointText(c.target.ReferencePoint, lift),
		Value: Figure(c.target.ReferencePoint),
		Unit:  "K",
	}
}

// settle is the remedy for not knowing: dim a room that is far too bright, or
// make the one measurement that would settle it.
func settle(c *Conditions, r *Report) *Remedy {
	measure := c.far
	if measure == "" {
		measure = r.Prediction.Targets.Spread.Measure
	}
	room := c.Get(RoomLight)
	switch {
	case measure == RoomLight && c.far == RoomLight && !room.Assumed && float64(room.Value) > 2*float64(c.target.Room):
		return &Remedy{Text: dimText(float64(c.target.Room)), Value: Figure(c.target.Room), Unit: "lx"}
	case measure == ScreenLuminance || measure == CalibrationAge:
		return &Remedy{Text: measureScreenText, Value: Figure(c.target.ReferenceWhite), Unit: "cd/m²"}
	case measure == SurroundGrey:
		return &Remedy{Text: checkSurroundText(c.target.ReferenceSurround), Value: Figure(c.target.ReferenceSurround), Unit: "of white"}
	default:
		return &Remedy{Text: logLightText(float64(c.target.Room), !room.Assumed), Value: Figure(c.target.Room), Unit: "lx"}
	}
}
