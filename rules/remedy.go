package rules

import "math"

// solution is the value of a setting that brings the whole picture's shift
// against the targets nearest to nothing, and the shift that then remains.
type solution struct{ value, left float64 }

// solvable tells a condition that can be set to the value at which the whole
// picture's shift is nothing.
func (k *kind) solvable() bool { return k.set != nil && k.read != nil }

// solve finds the value of k, within its allowed range, at which the shift of
// the whole picture, as this person finds it, is nothing; where no value reaches
// that, the nearest.
func solve(c *Conditions, k *kind, pic *Picture) solution {
	target := c.reference()
	should := target.at(pic.MeanY)
	shift := func(v float64) float64 {
		a := k.put(c.now(), v).at(pic.MeanY)
		return c.how.expected(summarise(&a, &should, pic.Tones))
	}
	return nearestToZero(shift, k.allowed(c.target), k.reference(c.target))
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
	k, _ := kindOf(r.Main)
	if k.set == nil {
		return liftAlone(r, lift)
	}
	m := r.offered(r.Main)
	if r.Verdict == Drab || !k.solvable() { // what is solved for is the lightness
		m = settingRemedy(c, k, solution{k.reference(c.target), math.NaN()})
	}
	m.Text = settingText(c, k, solution{float64(m.Value), float64(m.Left)}) + liftText(lift) + "."
	return &m
}

// liftAlone is the remedy for a condition that nobody can set: the exposure of this
// file, where one helps.
func liftAlone(r *Report, lift float64) *Remedy {
	if !(math.Abs(lift) >= leastLift) {
		return nil
	}
	m := r.offered(Lift)
	return &m
}

// offered is the remedy of that name among all.
func (r *Report) offered(name string) Remedy {
	for _, m := range r.Remedies {
		if m.Name == name {
			return m
		}
	}
	return Remedy{Name: name, Value: Unknown, Left: Unknown}
}

// settingRemedy is a setting with its value.
func settingRemedy(c *Conditions, k *kind, s solution) Remedy {
	return Remedy{
		Name:    k.name,
		Text:    settingText(c, k, s) + ".",
		Value:   Figure(s.value),
		Unit:    k.unit.Symbol,
		Left:    Figure(s.left),
		Caution: k.set.lamp,
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
	for _, k := range catalogue {
		if k.solvable() {
			all = append(all, settingRemedy(c, k, solve(c, k, pic)))
		}
	}
	all = append(all, liftRemedy(Lift, lift(c, pic, math.Inf(1))))
	if shift.Shadows.Known() {
		all = append(all, liftRemedy(LiftShadows, lift(c, pic, shadowY)))
	}
	return append(all, viewingRemedy(c, pic, paper, viewing))
}

// lift is the exposure, in stops, that compensates the shift of the tones below
// upTo as this person finds it. A lift of x moves their shift by -x, and a little
// back: the lifted picture is a brighter background to its own tones.
func lift(c *Conditions, pic *Picture, upTo float64) solution {
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
		return c.how.expected(summarise(&now, &should, tones))
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
		there := hanging(paper, viewing, c.share.value).at(pic.MeanY)
		return summarise(&now, &there, pic.Tones).wholeShift()
	}, viewingRange, 500)
	return Remedy{
		Name:    ViewingLight,
		Text:    viewingText(viewing.Name, found),
		Value:   Figure(found.value),
		Unit:    "lx",
		Left:    Figure(found.left),
		Caution: true,
	}
}

// settle is the remedy for not knowing: put right what is far out, or make the one
// measurement that would settle it.
func settle(c *Conditions, r *Report) *Remedy {
	k, _ := kindOf(r.Unsettled)
	if k.settle == nil {
		return nil
	}
	m := k.settle(c, r)
	return &m
}
