package rules

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
)

// Properties of the remedies on random desks, each checked by an independent way: what a
// remedy says is done to the profile, and the desk resolved anew.

const (
	remedyDesks = 5000
	remedyParts = 8
)

// anyDesk is a random desk with what random desks of other tests don't vary.
func anyDesk(r *rand.Rand) (*Profile, Export) {
	p := randomDesk(r)
	if r.IntN(2) == 0 { // as a profile has it that states no references
		p.Target.ReferenceWhite, p.Target.ReferenceRoom = 104, 32
	}
	if r.IntN(3) == 0 { // everything measured just now
		measured(1)(p)
		p.Readings[0].At = noon
	}
	for _, near := range []func(*Profile){white(Luminance(between(r, 70, 160))), lux(Lux(between(r, 8, 150))), around(between(r, 0.1, 0.5))} {
		if r.IntN(2) == 0 {
			near(p)
		}
	}
	if r.IntN(12) == 0 {
		unmeasured(p)
	}
	if r.IntN(12) == 0 {
		p.Readings = nil
	}
	if r.IntN(6) == 0 {
		taught(Stops(0.6*r.Float64()-0.3), 3+r.IntN(6))(p)
	}
	p.Judged = []Judging{JudgedUnsaid, ByItself, Beside}[r.IntN(3)]
	p.Displays[0].Most = Luminance(between(r, 85, 600))
	mat := slices.Sorted(func(yield func(Mat) bool) {
		for m := range mats {
			if !yield(m) {
				return
			}
		}
	})[r.IntN(len(mats))]
	p.Viewings[0].Mat, p.Viewings[0].Light = Stated(mat), Stated(Lux(between(r, 30, 1500)))
	e := exportOf(coloured(graded(10+80*r.Float64(), 5+30*r.Float64(), 14), 4))
	if r.IntN(3) == 0 {
		e.Folder.Proof = []string{"hall wall", PrintPractical}[r.IntN(2)]
	}
	return p, e
}

// done is the profile after a remedy of the desk was followed.
func done(p *Profile, names []string, values []Figure) *Profile {
	after := *p
	after.Displays, after.Readings = slices.Clone(p.Displays), slices.Clone(p.Readings)
	for i, name := range names {
		switch v := float64(values[i]); name {
		case ScreenLuminance:
			white(Luminance(v))(&after)
			after.Displays[0].Held = Stated(true)
		case RoomLight:
			lux(Lux(v))(&after)
		case SurroundGrey:
			around(v)(&after)
		case WhitePoint:
			whitePointOf(Kelvin(v))(&after)
		default:
			panic("nobody can set the " + name)
		}
	}
	return &after
}

// trouble is what is wrong with a print at a desk.
type trouble struct{ whole, shadows, wholeOfDesk, shadowsOfDesk, colour, contrast, steps float64 }

// troubleAt is what is wrong with a picture judged at the desk p, against what the desk's
// own targets were.
func troubleAt(p *Profile, e Export, should desk) (t trouble) {
	c, pic := ResolveFor(p, e.Folder, noon), &e.Picture
	now := c.now()
	a, r := now.at(pic.MeanY), should.at(pic.MeanY)
	s := summarise(&a, &r, pic.Tones)
	beta := c.how.unabsorbed.value * s.white
	t.whole, t.wholeOfDesk = c.how.found(s.whole.mean(), beta)
	if shareBelow(pic.Tones, shadowL) >= leastZone {
		t.shadows, t.shadowsOfDesk = c.how.found(s.shadows.mean(), beta)
	}
	l := subjectOf(pic).lossesAt(now, should, p.Quiet)
	t.colour, t.contrast, t.steps = l[lossOfColour], l[lossOfContrast], l[lossOfSteps]
	return t
}

// worse tells that there is more to put up with after something was done: a worse worst,
// or something past its step that was not so before, or not as far.
func (t trouble) worse(after trouble, q Quiet) bool {
	all := func(t trouble) []float64 {
		whole, shadows := t.whole/float64(q.Noticeable), t.shadows/float64(q.Clear)
		return []float64{whole, -whole, shadows, -shadows, t.colour, t.contrast, t.steps}
	}
	was, is := all(t), all(after)
	for i := range is {
		if is[i] > math.Max(1, was[i])+1e-6 {
			return true
		}
	}
	return slices.Max(is) > slices.Max(was)+1e-6
}

// halves tells that of what passed its step under this verdict at most half is left.
func (t trouble) halves(after trouble, v Verdict, q Quiet) bool {
	const rounding = 1e-6
	half := func(before, after float64) bool { return math.Abs(after) <= math.Abs(before)/2+rounding }
	if v == Drab {
		worst := max(t.colour, t.contrast, t.steps)
		for _, l := range [][2]float64{{t.colour, after.colour}, {t.contrast, after.contrast}, {t.steps, after.steps}} {
			if (l[0] >= 1 || l[0] == worst) && l[1] > worst/2+rounding {
				return false
			}
		}
		return true
	}
	sign := 1.0
	if v == Lighter {
		sign = -1
	}
	whole, shadows := sign*t.wholeOfDesk/float64(q.Noticeable), sign*t.shadowsOfDesk/float64(q.Clear)
	if whole <= 1 && shadows > whole {
		return half(t.shadowsOfDesk, after.shadowsOfDesk)
	}
	return half(t.wholeOfDesk, after.wholeOfDesk)
}

// census counts what the random desks were, so that the test shows something.
type census struct {
	sync.Mutex
	of map[string]int
}

func (n *census) add(what string) {
	n.Lock()
	defer n.Unlock()
	n.of[what]++
}

func TestRemediesOfRandomDesks(t *testing.T) {
	n := &census{of: map[string]int{}}
	t.Run("desks", func(t *testing.T) {
		for part := range remedyParts {
			t.Run(fmt.Sprint(part), func(t *testing.T) {
				t.Parallel()
				r := seeded(uint64(3300 + part))
				for i := range remedyDesks / remedyParts {
					p, e := anyDesk(r)
					if !checkRemedies(t, n, p, e, i%16 == 0) {
						t.Fatalf("desk %d of part %d", i, part)
					}
				}
			})
		}
	})
	t.Log(n.of)
	for _, what := range []string{string(Holds), string(Darker), string(Lighter), string(Drab), string(Unsure), RaiseFile, ViewingLight, ScreenLuminance,
		RoomLight, SurroundGrey, "a pair", ReportPrints, Measure, "in its target"} {
		if n.of[what] < 5 {
			t.Errorf("%s: only %d; the test shows nothing", what, n.of[what])
		}
	}
}

// checkRemedies checks one desk; thorough: also what the verdict is once the remedy was
// followed.
func checkRemedies(t *testing.T, n *census, p *Profile, e Export, thorough bool) (ok bool) {
	t.Helper()
	r := Evaluate(p, e, noon)
	c := ResolveFor(p, e.Folder, noon)
	v := r.Verdict
	n.add(string(v))
	if v == Unsure {
		v = r.Prediction.Targets.Spread.leaning()
	}
	ok = true
	fail := func(format string, args ...any) {
		t.Helper()
		t.Errorf("%s (%s) about %q: "+format, append([]any{r.Verdict, v, r.About()}, args...)...)
		ok = false
	}
	checkCauses(fail, r)
	before := troubleAt(p, e, c.reference())
	all := slices.Clone(r.Remedies)
	if r.Remedy != nil {
		all = append(all, *r.Remedy)
	}
	atDesk := 0
	for _, m := range all {
		if len(m.Values) != len(m.Units) || m.Values == nil || m.Units == nil || m.Text == "" || strings.Join(m.Steps, " ") != m.Text {
			fail("%+v", m)
		}
		n.add(m.Name)
		switch m.Name {
		case Measure, ReportPrints:
		case RaiseFile:
			checkRaiseFile(fail, r, m)
		case ViewingLight:
			checkViewingLight(fail, r, e, m)
		default:
			if !m.Left.Known() { // the room is to be dimmed before anything can be told
				continue
			}
			atDesk++
			checkSetting(fail, n, &c, p, e, v, m, before)
		}
	}
	checkVerdict(fail, &c, r)
	if v != Holds && r.Verdict != Unsure && r.Verdict != Holds && atDesk == 0 {
		n.add("nothing at the desk")
		if better := gridSearch(&c, p, e, v, before); better != "" {
			fail("nothing is offered, but %s would do", better)
		}
	}
	if thorough && atDesk > 0 && r.Remedy != nil && r.Remedy.Left.Known() && r.Remedy.Name != RaiseFile {
		after := Evaluate(done(p, namesOf(&c, *r.Remedy), r.Remedy.Values), e, noon)
		if opposite := map[Verdict]Verdict{Darker: Lighter, Lighter: Darker}[r.Verdict]; opposite != "" && after.Verdict == opposite {
			fail("obeyed, it is %s: %+v", after.Verdict, *r.Remedy)
		}
	}
	return ok
}

// namesOf are the conditions that a remedy of the desk sets, by their units.
func namesOf(c *Conditions, m Remedy) (names []string) {
	for _, unit := range m.Units {
		for _, k := range c.List {
			if d, _ := Describe(k.Name); d.Unit.Symbol == unit {
				names = append(names, k.Name)
			}
		}
	}
	return names
}

// checkCauses: the causes add up.
func checkCauses(fail failing, r *Report) {
	var sum Figure
	for _, cause := range r.Causes {
		sum += cause.Stops
	}
	if whole := r.Prediction.Targets.Shift.Whole; math.Abs(float64(sum-whole)) > 1e-9 {
		fail("the causes make up %v of %v", sum, whole)
	}
}

// failing says what is wrong at a desk.
type failing func(format string, args ...any)

// checkSetting: a remedy at the desk leaves what it says, at most half, makes nothing
// worse, and is within targets and equipment.
func checkSetting(fail failing, n *census, c *Conditions, p *Profile, e Export, v Verdict, m Remedy, before trouble) {
	names := namesOf(c, m)
	after := troubleAt(done(p, names, m.Values), e, c.reference())
	if math.Abs(after.whole-float64(m.Left)) > 1e-6 || m.Shadows.Known() && math.Abs(after.shadows-float64(m.Shadows)) > 1e-6 {
		fail("%+v leaves %+v", m, after)
	}
	if !before.halves(after, v, p.Quiet) {
		fail("%+v leaves more than half: %+v of %+v", m, after, before)
	}
	if before.worse(after, p.Quiet) {
		fail("%+v is worse than nothing: %+v after %+v", m, after, before)
	}
	if len(names) == 2 {
		n.add("a pair")
	}
	outside := false
	for _, k := range c.List {
		kind, _ := kindOf(k.Name)
		outside = outside || !k.InTarget && kind.set != nil && (kind.read != nil || v == Drab)
	}
	inside := false
	for i, name := range names {
		k, value := c.Get(name), float64(m.Values[i])
		kind, _ := kindOf(name)
		reference := kind.reference(c.target)
		most := p.Displays[0].most()
		low, high := math.Min(float64(k.Target[0]), reference), math.Max(float64(k.Target[1]), reference)
		beyond := value < low || value > high
		if name == ScreenLuminance {
			beyond = value > high || value > float64(most) || value < math.Min(low, float64(most))
		}
		if beyond {
			fail("%+v is outside of %v to %v, or beyond the %v that the panel can do", m, low, high, most)
		}
		inside = inside || k.InTarget
	}
	if says := strings.Contains(m.Text, "It is in its target at"); outside && len(names) < 3 && says != inside {
		fail("%q and its targets", m.Text)
	}
	if outside && inside {
		n.add("in its target")
	}
}

// checkRaiseFile: a raise is the way the verdict has it, no more than a stop, and at least
// halves the whole.
func checkRaiseFile(fail failing, r *Report, m Remedy) {
	stops, whole := math.Abs(float64(m.Value)), math.Abs(float64(r.Whole()))
	switch {
	case r.Verdict == Unsure || r.Verdict == Drab:
		fail("%+v", m)
	case !(stops >= leastChange && stops <= mostAdvised):
		fail("a raise of %v stop", m.Value)
	case r.Verdict == Darker && m.Value < 0 || r.Verdict == Lighter && m.Value > 0:
		fail("%q", m.Text)
	case !(math.Abs(float64(m.Left)) <= whole/2+1e-6) && r.Learnt.Prints == 0:
		fail("%+v leaves more than half of %v", m, whole)
	}
}

// checkViewingLight: it is the matching light, no more than a lamp may be asked for, and
// at least halves what is off there.
func checkViewingLight(fail failing, r *Report, e Export, m Remedy) {
	most := Figure(300.0)
	if e.Folder.Proof == r.Viewing {
		most = 1000
	}
	off := math.Abs(float64(r.Prediction.Viewing.Shift.Whole))
	if m.Value != r.Prediction.Match.Now || m.Value > most || !(math.Abs(float64(m.Left)) <= off/2) || r.Verdict == Unsure {
		fail("%+v for %+v", m, r.Prediction.Match)
	}
	if strings.Contains(m.Text, "fades") != (m.Value > 200) || !m.Caution {
		fail("%q", m.Text)
	}
}

// checkVerdict: a verdict and its remedy don't contradict each other.
func checkVerdict(fail failing, c *Conditions, r *Report) {
	switch {
	case r.Verdict == Holds && r.Remedy != nil, r.Verdict == Unsure && r.Remedy == nil:
		fail("remedy %+v", r.Remedy)
	case r.Remedy == nil:
	case r.Verdict == Unsure && r.Unsettled == "" && r.Remedy.Name == Measure:
		fail("%+v, but the doubt is the model's", r.Remedy)
	case r.Remedy.Left.Known() && r.Remedy.Name != RaiseFile && !slices.Contains(namesOf(c, *r.Remedy), r.About()):
		fail("the remedy is %+v", r.Remedy)
	case r.Verdict == Darker && strings.Contains(r.Remedy.Text, "ower this file"), r.Verdict == Lighter && strings.Contains(r.Remedy.Text, "aise this file"):
		fail("%q", r.Remedy.Text)
	}
}

// gridSearch looks on a grid for one thing, or two, that would do; empty when there is
// none.
func gridSearch(c *Conditions, p *Profile, e Export, v Verdict, before trouble) string {
	names := []string{ScreenLuminance, RoomLight, SurroundGrey}
	grid := func(name string) (values []Figure) {
		k, _ := kindOf(name)
		r := k.allowed(c.target)
		for i := range 5 {
			value := r.Low * math.Pow(r.High/r.Low, float64(i)/4)
			if name != ScreenLuminance || value <= float64(p.Displays[0].most()) {
				values = append(values, Figure(value))
			}
		}
		return values
	}
	would := func(names []string, values []Figure) bool {
		after := troubleAt(done(p, names, values), e, c.reference())
		change := math.Max(math.Abs(before.wholeOfDesk-after.wholeOfDesk), math.Abs(before.shadowsOfDesk-after.shadowsOfDesk))
		return before.halves(after, v, p.Quiet) && !before.worse(after, p.Quiet) && change >= leastChange
	}
	for i, one := range names {
		for _, a := range grid(one) {
			if would([]string{one}, []Figure{a}) {
				return fmt.Sprintf("%s at %v", one, a)
			}
			for _, other := range names[i+1:] {
				for _, b := range grid(other) {
					if would([]string{one, other}, []Figure{a, b}) {
						return fmt.Sprintf("%s at %v and %s at %v", one, a, other, b)
					}
				}
			}
		}
	}
	return ""
}
