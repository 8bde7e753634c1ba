package rules

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestLearnRecovers learns simulated persons, biased by -0.3 stop with a gain of 1.4
// who feel half of a change of the white, from 40 prints, and must come within 0.1 of
// all three on average over 100 such persons.
func TestLearnRecovers(t *testing.T) {
	const bias, gain, felt, persons = -0.3, 1.4, 0.5, 100
	rng := rand.New(rand.NewPCG(12, 14))
	var sum [3]float64
	for range persons {
		var prints []Judged
		for i := range 40 {
			tone, white := -0.2+0.9*float64(i%8)/7, -0.3+1.2*float64(i%5)/4
			prints = append(prints, Judged{noon, Stops(tone), Stops(white), Stops(bias + gain*tone + felt*white + 0.1*rng.NormFloat64())})
		}
		l := Learn(prints, JudgedUnsaid)
		for i, v := range []float64{l.Bias, l.Gain, l.Unabsorbed} {
			sum[i] += v / persons
		}
	}
	for i, want := range []float64{bias, gain, felt} {
		if math.Abs(sum[i]-want) > 0.1 {
			t.Errorf("learnt %.3f on average, want %v[%d] within 0.1", sum, want, i)
		}
	}
}

// TestLearnIsTheMode: no step in any direction makes the posterior greater, held
// against its own formula written down once more, with the densities of gonum's kind.
func TestLearnIsTheMode(t *testing.T) {
	prints := []Judged{{noon, 0.3, 0.5, 0.8}, {noon, 0.1, 0.1, 0}, {noon, 0.5, 1, 1.4}, {noon, 0, 0, 4}, {noon, 0.2, -0.4, -0.1}}
	for _, way := range []Judging{JudgedUnsaid, ByItself, Beside} {
		l := Learn(prints, way)
		posterior := func(a, g, b float64) float64 {
			beta := way.unabsorbed()
			p := math.Pow(a/0.2, 2)/2 + math.Pow(math.Log(g)/0.45, 2)/2 + math.Pow(math.Log(b/beta.value)/math.Max(1, beta.sigma), 2)/2
			for _, j := range prints {
				r := math.Min(1.5, float64(j.Found)) - a - g*float64(j.Tone) - b*float64(j.White)
				p += 2.5 * math.Log(1+r*r/(4*0.0625))
			}
			return p
		}
		best := posterior(l.Bias, l.Gain, l.Unabsorbed)
		for _, off := range []float64{-0.2, -0.01, 0.01, 0.2} {
			for _, other := range [][3]float64{{l.Bias + off, l.Gain, l.Unabsorbed}, {l.Bias, l.Gain * (1 + off), l.Unabsorbed}, {l.Bias, l.Gain, l.Unabsorbed * (1 + off)}} {
				if posterior(other[0], other[1], other[2]) < best {
					t.Errorf("judged %q: %v is likelier than what was learnt, %+v", way, other, l)
				}
			}
		}
	}
}

// TestOneSlip: a single "+4" at a perfect desk says no more than 1.5, and moves the
// bias by 0.13.
func TestOneSlip(t *testing.T) {
	l := Learn([]Judged{{noon, 0, 0, 4}}, JudgedUnsaid)
	near(t, "bias", l.Bias, 0.13, 0.005)
	near(t, "gain", l.Gain, 1, 1e-9)
	near(t, "unabsorbed", l.Unabsorbed, 0.22, 1e-9)
}

// TestEightOutcomes: eight prints of which a straight line through found and predicted
// falls can't turn the sign of the gain, or of what is felt of the white; both
// stay within what people are.
func TestEightOutcomes(t *testing.T) {
	tones := []float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7}
	found := []float64{0.25, 0, 0.25, 0.25, 0, 0.25, 0, 0}
	slope := 0.0
	var prints []Judged
	for i, tone := range tones {
		slope += (tone - 0.35) * found[i] / 0.42
		prints = append(prints, Judged{noon, Stops(tone / 2), Stops(tone), Stops(found[i])})
	}
	if !(slope < -0.2) {
		t.Fatalf("the line falls by %.2f: this is not what was seen", slope)
	}
	for _, way := range []Judging{JudgedUnsaid, ByItself, Beside} {
		l := Learn(prints, way)
		if !(l.Gain > 0.3 && l.Gain < 1.2 && l.Unabsorbed > 0.02 && l.Unabsorbed <= 0.6) {
			t.Errorf("judged %q, learnt %+v", way, l)
		}
	}
}

func TestLearnNothing(t *testing.T) {
	nan, inf := Stops(math.NaN()), Stops(math.Inf(1))
	for name, prints := range map[string][]Judged{
		"none":         nil,
		"not numbers":  {{noon, nan, 0, 0}, {noon, 0, nan, 0}, {noon, 0, 0, nan}, {noon, inf, 0, 0}, {noon, 0, 0, -inf}},
		"out of reach": {{noon, 50, 0, 0}, {noon, 0, 7, 0}, {noon, 0, 0, -5}},
	} {
		if l := Learn(prints, Beside); l.Prints != 0 || l.Correct(0.4, 0.5) != 0.7 || l.Uncertainty(0.4, 0.5) != 0 {
			t.Errorf("%s: learnt %+v", name, l)
		}
	}
}

// TestLearnDoubt checks that prints take doubt away, most where they were seen.
func TestLearnDoubt(t *testing.T) {
	few := Learn([]Judged{{noon, 0.5, 0.2, 0.5}, {noon, 0.6, 0.2, 0.5}}, JudgedUnsaid)
	many := Learn([]Judged{{noon, 0.5, 0.2, 0.5}, {noon, 0.6, 0.2, 0.5}, {noon, 0.4, 0.2, 0.5}, {noon, 0.5, 0.2, 0.4}, {noon, 0.6, 0.2, 0.7}}, JudgedUnsaid)
	if !(many.Uncertainty(0.5, 0.2) < few.Uncertainty(0.5, 0.2)) {
		t.Errorf("five prints leave a doubt of %.3f, two of %.3f", many.Uncertainty(0.5, 0.2), few.Uncertainty(0.5, 0.2))
	}
	if !(many.Uncertainty(2, 0.2) > many.Uncertainty(0.5, 0.2)) {
		t.Error("there is no more doubt far from every print than among them")
	}
}

// TestTwoOutcomesFlipNothing: a verdict goes by what prints teach from the third on,
// the figures that are shown from the first.
func TestTwoOutcomesFlipNothing(t *testing.T) {
	lighter := func(n int) Learnt {
		var prints []Judged
		for range n {
			prints = append(prints, Judged{noon, 0.3, 0.3, -0.7})
		}
		return Learn(prints, JudgedUnsaid)
	}
	untaught := Learnt{}.judged(JudgedUnsaid)
	if untaught.gain != 1 || untaught.bias != 0 || untaught.unabsorbed != JudgedUnsaid.unabsorbed() || untaught.strength != strength {
		t.Errorf("untaught: %+v", untaught)
	}
	for n := 1; n <= 2; n++ {
		if got := lighter(n).judged(JudgedUnsaid); got != untaught {
			t.Errorf("%d outcomes: %+v", n, got)
		}
		if got := lighter(n); got.Correct(0.3, 0.3) > 0.3 {
			t.Errorf("%d outcomes are not shown: %+v", n, got)
		}
	}
	three := lighter(3).judged(JudgedUnsaid)
	if !(three.gain < 1 && three.bias < 0) || three.unabsorbed.sigma > JudgedUnsaid.unabsorbed().sigma || !(three.strength.sigma < strength.sigma) {
		t.Errorf("three outcomes: %+v", three)
	}
}

// TestFoundOfTheDesk: what prints always do takes a verdict away, and makes none.
func TestFoundOfTheDesk(t *testing.T) {
	for _, c := range []struct{ bias, tone, white, found, ofDesk float64 }{
		{0, 0.3, 0.1, 0.4, 0.4},
		{0.5, 0.3, 0.1, 0.9, 0.4},   // always darker: only what the desk adds
		{-0.3, 0.3, 0.1, 0.1, 0.1},  // always lighter: it counts for the desk
		{-0.5, 0.3, 0.1, -0.1, 0},   // lighter on the whole: nothing is dark
		{0.5, -0.3, -0.1, 0.1, 0},   // dark on the whole, and not by the desk
		{-0.2, -0.3, 0, -0.5, -0.3}, // light, and by the desk
	} {
		found, ofDesk := judgement{bias: c.bias, gain: 1}.found(c.tone, c.white)
		near(t, "found", found, c.found, 1e-12)
		near(t, "of the desk", ofDesk, c.ofDesk, 1e-12)
	}
}
