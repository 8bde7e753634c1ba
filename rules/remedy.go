package rules

import "math"

// setting is a thing at the desk that can be set, the range in which the
// profile wants it, and the desk with it set to v.
type setting struct {
	allowed Range
	target  float64
	set     func(d *desk, v float64)
}

// setRoom sets the room light, which is on the screen as well as around it.
func setRoom(d *desk, v float64) { d.room, d.screen.On = Lux(v), Lux(v) }

// settings are the remedies that can be solved for.
func settings(t Target) map[string]setting {
	return map[string]setting{
		ScreenLuminance: {t.White, float64(t.ReferenceWhite), func(d *desk, v float64) { d.screen.White = Luminance(v) }},
		RoomLight:       {t.room(), float64(t.ReferenceRoom), setRoom},
		SurroundGrey:    {t.Surround, t.ReferenceSurround, func(d *desk, v float64) { d.surround = v }},
	}
}

// solution is the value of a setting that brings the whole picture's shift
// against the targets nearest to nothing, and the shift that then remains.
type solution struct{ value, left float64 }

// solve finds the value of s, within its allowed range, at which the shift of
// the whole picture, as this person finds it, is nothing; where no value reaches
// that, the nearest.
func solve(c *Conditions, l Learnt, s setting, pic *Picture) solution {
	target := c.reference()
	should := target.at(pic.MeanY)
	shift := func(v float64) float64 {
		d := c.now()
		s.set(&d, v)
		a := d.at(pic.MeanY)
		return summarise(&a, &should, pic.Tones).expected(l)
	}
	return nearestToZero(shift, s.allowed, s.target)
}

// nearestToZero looks for a zero of f in the range: from the preferred value
// outwards over a grid, then between the two neighbours where the sign changes.
// Without a zero it gives the best of the grid.
func nearestToZero(f func(float64) float64, r Range, preferred float64) solution {
	const cells = 8
	start := solution{preferred, f(preferred)}
	best := start
	for _, end := range []float64{r.Low, r.High} {
		from := start
		for i := 1; i <= cells; i++ {
			v := preferred + (end-preferred)*float64(i)/cells
			next := solution{v, f(v)}
			if next.left*from.left < 0 {
				return closeIn(f, from, next)
			}
			if math.Abs(next.left) < math.Abs(best.left) {
				best = next
			}
			from = next
		}
	}
	return best
}

// closeIn finds the zero of f between a and b, where its sign differs, by false
// position with the Illinois rule: an end that stays twice running counts half.
func closeIn(f func(float64) float64, a, b solution) solution {
	const enough = 1e-6
	for range 60 {
		v := b.value - b.left*(b.value-a.value)/(b.left-a.left)
		m := solution{v, f(v)}
		switch {
		case !(math.Abs(m.left) >= enough):
			return m
		case math.Signbit(m.left) != math.Signbit(b.left):
			a = b
		default:
			a.left /= 2
		}
		b = m
	}
	return b
}

// remedy is one thing to do now about the verdict: for a cause, the solved
// setting and the lift that would compensate in this file; when unsure, the
// measurement that would settle it. Nil when there is nothing to do.
func remedy(c *Conditions, r *Report) *Remedy {
	switch {
	case r.Verdict == Holds:
		return nil
	case r.Main == "":
		return settle(c, r)
	}
	lift := float64(r.offered(Lift).Value)
	if r.Verdict == Drab {
		lift = 0 // no exposure brings back steps or colours: only the desk does
	}
	if r.Main == WhitePoint {
		return &Remedy{Name: WhitePoint, Text: whitePointText(c, lift), Value: Figure(c.target.ReferencePoint), Unit: "K", Left: unknown}
	}
	m := r.offered(r.Main)
	if r.Verdict == Drab { // what was solved for is the lightness
		m = settingRemedy(c, r.Main, solution{settings(c.target)[r.Main].target, math.NaN()})
	}
	m.Text = settingText(c, m.Name, solution{float64(m.Value), float64(m.Left)}) + liftText(lift) + "." + cautionFor(m.Name)
	return &m
}

var unknown = Figure(math.NaN())

// offered is the remedy of that name among all.
func (r *Report) offered(name string) Remedy {
	for _, m := range r.Remedies {
		if m.Name == name {
			return m
		}
	}
	return Remedy{Name: name, Value: unknown, Left: unknown}
}

// settingRemedy is a setting with its value.
func settingRemedy(c *Conditions, name string, s solution) Remedy {
	return Remedy{
		Name:  name,
		Text:  settingText(c, name, s) + "." + cautionFor(name),
		Value: Figure(s.value),
		Unit:  c.Get(name).Unit,
		Left:  Figure(s.left),
	}
}

// remedies are all that could be done about the shift against the targets, or
// about the print where it hangs, each solved by itself and with what it leaves.
func remedies(c *Conditions, r *Report, pic *Picture, paper Paper, viewing Viewing) []Remedy {
	shift := r.Prediction.Targets.Shift
	all := []Remedy{}
	if !shift.Whole.Known() {
		return all // nothing but black: there is nothing to put right
	}
	for _, name := range []string{ScreenLuminance, RoomLight, SurroundGrey} {
		all = append(all, settingRemedy(c, name, solve(c, r.Learnt, settings(c.target)[name], pic)))
	}
	all = append(all, liftRemedy(Lift, lift(c, r.Learnt, pic, math.Inf(1))))
	if shift.Shadows.Known() {
		all = append(all, liftRemedy(LiftShadows, lift(c, r.Learnt, pic, shadowY)))
	}
	return append(all, viewingRemedy(c, pic, paper, viewing))
}

// lift is the exposure, in stops, that compensates the shift of the tones below
// upTo as this person finds it. A lift of x moves their shift by -x, and a little
// back: the lifted picture is a brighter background to its own tones.
func lift(c *Conditions, l Learnt, pic *Picture, upTo float64) solution {
	now := c.now().at(pic.MeanY)
	dark := 0.0 // what the tones below upTo add to the mean
	var tones []Tone
	for _, t := range pic.Tones {
		if t.Y < upTo {
			tones = append(tones, t)
			dark += t.Y * t.Share
		}
	}
	found := func(x float64) float64 {
		should := c.reference().at(math.Min(1, pic.MeanY+dark*(math.Exp2(x)-1)))
		return summarise(&now, &should, tones).expected(l)
	}
	x := found(0)
	for range 20 { // each step is some fifth of the one before
		next := found(x)
		if !(math.Abs(next-x) >= 1e-3) {
			return solution{x, next - x}
		}
		x = next
	}
	return solution{x, found(x) - x}
}

// liftRemedy is the exposure that compensates a shift.
func liftRemedy(name string, s solution) Remedy {
	return Remedy{Name: name, Text: liftSentence(name, s.value), Value: Figure(s.value), Unit: "stop", Left: Figure(s.left)}
}

// The light at which prints are looked at: from a dim corridor to ISO 3664 P1.
var viewingRange = Range{50, 2000}

// viewingRemedy is the light at the viewing place in which the print looks as
// light as the picture did on the screen.
func viewingRemedy(c *Conditions, pic *Picture, paper Paper, viewing Viewing) Remedy {
	now := c.now().at(pic.MeanY)
	found := nearestToZero(func(lux float64) float64 {
		viewing.Light.Value = Lux(lux)
		there := hanging(paper, viewing, c.share).at(pic.MeanY)
		return summarise(&now, &there, pic.Tones).wholeShift()
	}, viewingRange, 500)
	return Remedy{
		Name:  ViewingLight,
		Text:  viewingText(viewing.Name, found) + cautionFor(RoomLight),
		Value: Figure(found.value),
		Unit:  "lx",
		Left:  Figure(found.left),
	}
}

// settle is the remedy for not knowing: put right a room that is far out, or
// make the one measurement that would settle it.
func settle(c *Conditions, r *Report) *Remedy {
	m := &Remedy{Name: Measure, Left: unknown}
	room := c.Get(RoomLight)
	switch {
	case r.Unsettled == "":
		return nil
	case r.tooBright():
		m.Name, m.Text = RoomLight, dimText(float64(c.target.Room))+cautionFor(RoomLight)
		m.Value, m.Unit = Figure(c.target.Room), "lx"
	case r.Unsettled == ScreenLuminance || r.Unsettled == CalibrationAge:
		m.Text, m.Value, m.Unit = measureScreenText, Figure(c.target.ReferenceWhite), "cd/m²"
	case r.Unsettled == SurroundGrey:
		m.Text, m.Value, m.Unit = checkSurroundText(c.target.ReferenceSurround), Figure(c.target.ReferenceSurround), "of white"
	default:
		m.Text, m.Value, m.Unit = logLightText(float64(c.target.Room), !room.Assumed), Figure(c.target.Room), "lx"
	}
	return m
}
