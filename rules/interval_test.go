package rules

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"time"
)

// The interval of a prediction is said to hold the print two times in three. These tests
// draw the desk and the person anew, in their own words and not with the sampler's, and
// count.

// doubtful is a desk whose interval is put to the test.
type doubtful struct {
	name    string
	changes []func(*Profile)
}

func shareUnsaid(p *Profile) { p.Surround.Share = Assume(0.6) }

// newProfile is a desk with the references that a new profile gets, everything at them.
func newProfile(p *Profile) {
	p.Target.ReferenceWhite, p.Target.ReferenceRoom = Luminance(p.Target.White.Middle()), Lux(RoomRange(p.Target.Room).Middle())
	white(p.Target.ReferenceWhite)(p)
	lux(p.Target.ReferenceRoom)(p)
}

// plainScreen is one whose reflection nobody has measured.
func plainScreen(p *Profile) {
	p.Displays[0].Screen, p.Displays[0].Hood = Stated(ScreenFinish{"matt", 0.0045}), Stated(false)
}

func neverMeasured(p *Profile) {
	p.Displays[0].White, p.Displays[0].Measured = Assume[Luminance](160), Assume(time.Time{})
	p.Readings = nil
}

var elevenDesks = []doubtful{
	{"everything at its reference", nil},
	{"120 cd/m², 60 lx: the bright end of the targets", []func(*Profile){white(120), lux(60)}},
	{"130 cd/m², 30 lx", []func(*Profile){white(130), lux(30)}},
	{"160 cd/m², 48 lx", []func(*Profile){white(160), lux(48)}},
	{"200 cd/m², 32 lx, measured 60 days ago", []func(*Profile){white(200), lux(32), measured(60)}},
	{"95 cd/m², 8 lx", []func(*Profile){white(95), lux(8)}},
	{"95 cd/m², 400 lx on a screen without a hood", []func(*Profile){white(95), lux(400), plainScreen}},
	{"a laptop that nobody holds, 110 cd/m², 600 lx on the desk", []func(*Profile){
		white(110), room(Reading{At: noon, Light: 600, Place: OnDesk}), plainScreen, notHeld, measured(90)}},
	{"a black surround, 110 cd/m², 40 lx", []func(*Profile){white(110), lux(40), around(0.003)}},
	{"a white surround, 104 cd/m², 32 lx", []func(*Profile){around(0.95)}},
	{"nothing ever measured", []func(*Profile){plainScreen, neverMeasured, notHeld}},
}

// way is how somebody judges, with the median of beta and the deviation of its logarithm:
// what evidence there is, see EVIDENCE.md.
type way struct {
	judging     Judging
	name        string
	beta, sigma float64
}

var threeWays = [3]way{
	{ByItself, "by itself", 0.08, 0.6},
	{Beside, "beside the screen", 0.60, 0.2},
	{JudgedUnsaid, "left out", 0.22, 1.0},
}

// publishedStrengths are how strongly the room acts over CIECAM16's own effect: Bartleson
// 1975, CIE 248:2022, Baek and others 2014, Liu and Fairchild 2007 (EVIDENCE.md).
var publishedStrengths = [4]float64{1.5, 1, 0.68, 0.49}

// strengthOf draws how strongly the room acts on one person.
type strengthOf func(r *rand.Rand) float64

func published(r *rand.Rand) float64 { return publishedStrengths[r.IntN(len(publishedStrengths))] }
func lognormal(r *rand.Rand) float64 { return 0.84 * math.Exp(0.45*r.NormFloat64()) }

// trueShift draws a desk and a person as they may truly be, and says how many stops
// darker the whole picture and its shadows come out.
func trueShift(r *rand.Rand, c *Conditions, pic *Picture, w way, u strengthOf) (whole, shadows float64) {
	off := func(sigma Figure) float64 { return math.Exp(float64(sigma) * r.NormFloat64()) }
	now, should := c.now(), c.reference()
	room := c.room.value * off(c.Get(RoomLight).Sigma)
	screen := c.white.value * off(c.Get(ScreenLuminance).Sigma)
	if !c.held && room > float64(c.target.ReferenceRoom) {
		turned := screen * math.Pow(room/float64(c.target.ReferenceRoom), 0.3+0.15*r.NormFloat64())
		screen = math.Min(turned, math.Max(screen, float64(c.most)))
	}
	now.screen.White, now.room, now.screen.On = Luminance(screen), Lux(room), Lux(room)
	now.surround = math.Min(1, now.surround*off(c.Get(SurroundGrey).Sigma))
	contrast, diffuse := now.screen.Contrast*off(c.Get(ScreenContrast).Sigma), now.screen.Diffuse*off(Figure(c.diffuse.sigma))
	who := observer{unabsorbed: math.Min(1, w.beta*math.Exp(w.sigma*r.NormFloat64())), surround: u(r)}
	share := math.Min(1, math.Max(0.05, 0.6+0.15*r.NormFloat64()))
	for _, d := range []*desk{&now, &should} {
		d.screen.Contrast, d.screen.Diffuse, d.eye, d.share = contrast, diffuse, who, share
	}
	a, b := now.at(pic.MeanY), should.at(pic.MeanY)
	s := summarise(&a, &b, pic.Tones)
	return s.wholeShift(), s.of(s.shadows)
}

// held is how often, of n draws, an interval held the truth; in shares of 1.
type held struct {
	whole, shadows float64 // the intervals that are told
	single         float64 // that of the whole, of one print that one person has judged once
	inputsOnly     float64 // what it would be if the model were certain
	first          float64 // the first version's: certain, with a beta of 0.35 and CIECAM16's own surround
}

func (h held) plus(g held, times float64) held {
	return held{h.whole + times*g.whole, h.shadows + times*g.shadows, h.single + times*g.single,
		h.inputsOnly + times*g.inputsOnly, h.first + times*g.first}
}

// matchScatter is how far apart single matches of a screen with a print lie, in stops:
// between the 0.12 and 0.26 of EVIDENCE.md.
const matchScatter = 0.2

// certain is the conditions with a model that is right about everybody.
func (c Conditions) certain(unabsorbed, surround float64) *Conditions {
	c.how.unabsorbed, c.how.strength = estimate{unabsorbed, 0}, estimate{surround, 0}
	c.eye = observer{unabsorbed, surround}
	c.share.sigma = 0
	return &c
}

// firstUnabsorbed was the first version's beta, for everybody: a guess.
const firstUnabsorbed = 0.35

// conditionsOf are the conditions at the desk for somebody who judges in that way.
func (d doubtful) conditionsOf(w way) (*Profile, Conditions) {
	p := tidemark(append([]func(*Profile){newProfile, shareUnsaid}, d.changes...)...)
	p.Judged = w.judging
	return p, Resolve(p, noon)
}

// hold counts for one desk and one way of judging, and gives the interval of the whole.
func (d doubtful) hold(r *rand.Rand, w way, u strengthOf, n int) (h held, stated Interval) {
	p, c := d.conditionsOf(w)
	pic := quay()
	told := spread(&c, p.Quiet, &pic)
	narrow := spread(c.certain(c.how.unabsorbed.value, c.how.strength.value), p.Quiet, &pic)
	first := spread(c.certain(firstUnabsorbed, 1), p.Quiet, &pic)
	count := func(i Interval, v float64) float64 {
		if float64(i.Low) <= v && v <= float64(i.High) {
			return 1 / float64(n)
		}
		return 0
	}
	for range n {
		whole, shadows := trueShift(r, &c, &pic, w, u)
		h.whole += count(told.Whole, whole)
		h.shadows += count(told.Shadows, shadows)
		h.single += count(told.Whole, whole+matchScatter*r.NormFloat64())
		h.inputsOnly += count(narrow.Whole, whole)
		h.first += count(first.Whole, whole)
	}
	return h, told.Whole
}

// coverage is what the intervals of all desks hold.
type coverage struct {
	mean  [len(threeWays)]held
	desks [][len(threeWays)]held
	told  [][len(threeWays)]Interval
}

func cover(u strengthOf, n int) coverage {
	all := coverage{desks: make([][len(threeWays)]held, len(elevenDesks)), told: make([][len(threeWays)]Interval, len(elevenDesks))}
	for i, d := range elevenDesks {
		for k, w := range threeWays {
			r := seeded(uint64(len(threeWays)*i + k))
			all.desks[i][k], all.told[i][k] = d.hold(r, w, u, n)
			all.mean[k] = all.mean[k].plus(all.desks[i][k], 1/float64(len(elevenDesks)))
		}
	}
	return all
}

// intervalDraws are enough for ±1.6 % at one desk, and ±0.5 % over eleven.
const intervalDraws = 800

// coveredAsPublished is what the intervals hold of people whose rooms act as strongly as
// the publications found.
var coveredAsPublished = sync.OnceValue(func() coverage { return cover(published, intervalDraws) })

// TestIntervalHoldsTwoInThree: the interval that is told holds what comes out two times
// in three, over eleven desks and three ways of judging, and at none of them much less or
// more; nor would it if the model were taken for certain.
func TestIntervalHoldsTwoInThree(t *testing.T) {
	seen := coveredAsPublished()
	t.Log("\n" + seen.table())
	for k, w := range threeWays {
		m := seen.mean[k]
		inPercent(t, w.name+", whole", m.whole, 60, 72)
		inPercent(t, w.name+", shadows", m.shadows, 60, 72)
		inPercent(t, w.name+", with a model taken for certain", m.inputsOnly, 25, 55)
		inPercent(t, w.name+", as the first version had it", m.first, 15, 50)
		for i, d := range elevenDesks {
			inPercent(t, d.name+", "+w.name+", whole", seen.desks[i][k].whole, 50, 82)
			inPercent(t, d.name+", "+w.name+", shadows", seen.desks[i][k].shadows, 48, 85)
		}
	}
}

// TestIntervalIsOfItsOwnModel: were the rooms' strengths spread as the model has them, no
// desk would be far from two in three.
func TestIntervalIsOfItsOwnModel(t *testing.T) {
	seen := cover(lognormal, intervalDraws)
	for k, w := range threeWays {
		inPercent(t, w.name, seen.mean[k].whole, 64, 72)
		for i, d := range elevenDesks {
			inPercent(t, d.name+", "+w.name, seen.desks[i][k].whole, 58, 80)
		}
	}
}

func inPercent(t *testing.T, what string, share, low, high float64) {
	t.Helper()
	if !(100*share >= low && 100*share <= high) {
		t.Errorf("%s: the interval holds %.1f %%, want %g to %g", what, 100*share, low, high)
	}
}

// signedTo2 is a shift with its sign, to a hundredth.
func signedTo2(v float64) string {
	text := minus(fmt.Sprintf("%+.2f", v))
	if text == "−0.00" || text == "+0.00" {
		return "0.00"
	}
	return text
}

// table is the figures for the page: a row a desk, and their means.
func (c coverage) table() string {
	var b strings.Builder
	b.WriteString("| desk | by itself | | beside the screen | | left out | |\n| --- | --- | --- | --- | --- | --- | --- |\n")
	for i, d := range elevenDesks {
		fmt.Fprintf(&b, "| %s |", d.name)
		for k := range threeWays {
			told := c.told[i][k]
			fmt.Fprintf(&b, " %s ± %.2f | %.0f %% |", signedTo2(float64(told.Median)), (told.High-told.Low)/2, 100*c.desks[i][k].whole)
		}
		b.WriteString("\n")
	}
	for _, row := range []struct {
		name string
		of   func(held) float64
	}{
		{"**all eleven**", func(h held) float64 { return h.whole }},
		{"the shadows' interval", func(h held) float64 { return h.shadows }},
		{"had the model been taken for certain", func(h held) float64 { return h.inputsOnly }},
		{"and with the first version's 0.35 and CIECAM16's own surround", func(h held) float64 { return h.first }},
		{"one print, judged once (scatter 0.2 stop)", func(h held) float64 { return h.single }},
	} {
		fmt.Fprintf(&b, "| %s |", row.name)
		for _, m := range c.mean {
			fmt.Fprintf(&b, " | %.0f %% |", 100*row.of(m))
		}
		b.WriteString("\n")
	}
	return b.String()
}
