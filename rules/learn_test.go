package rules

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestLearnRecovers learns a simulated person, biased by -0.3 stop with a gain
// of 1.4, from 12 prints, and must come within 0.1 of both, and of the shift
// that this person would find, on average over 200 such persons.
func TestLearnRecovers(t *testing.T) {
	const bias, gain, persons = -0.3, 1.4, 200
	rng := rand.New(rand.NewPCG(12, 14))
	var sumBias, sumGain float64
	for range persons {
		var prints []Judged
		for i := range 12 {
			x := -0.4 + 2.0*float64(i)/11
			prints = append(prints, Judged{noon, Stops(x), Stops(bias + gain*x + 0.1*rng.NormFloat64())})
		}
		l := Learn(prints)
		sumBias += l.Bias / persons
		sumGain += l.Gain / persons
		for _, x := range []float64{0, 0.5, 1} {
			if got, want := l.Correct(x), bias+gain*x; math.Abs(got-want) > 0.2 {
				t.Errorf("a predicted %.1f is corrected to %.2f, this person finds %.2f", x, got, want)
			}
		}
	}
	if math.Abs(sumBias-bias) > 0.1 || math.Abs(sumGain-gain) > 0.1 {
		t.Errorf("learnt bias %.3f and gain %.3f on average, want %.1f and %.1f within 0.1", sumBias, sumGain, bias, gain)
	}
}

// TestLearnByHand holds the posterior against the matrix form worked by hand
// for one print: precision diag(1/0.25², 1/0.3²) + [1 x; x x²]/0.25².
func TestLearnByHand(t *testing.T) {
	l := Learn([]Judged{{Predicted: 1, Found: 0.5}})
	// Precision [[32, 16], [16, 27.111]], right side [8, 19.111].
	const det = 32*27.1111111111 - 16*16
	wantBias := (27.1111111111*8 - 16*19.1111111111) / det
	wantGain := (32*19.1111111111 - 16*8) / det
	if math.Abs(l.Bias-wantBias) > 1e-9 || math.Abs(l.Gain-wantGain) > 1e-9 || l.Prints != 1 {
		t.Errorf("learnt %+v, want bias %.6f, gain %.6f", l, wantBias, wantGain)
	}
}

func TestLearnNothing(t *testing.T) {
	nan, inf := Stops(math.NaN()), Stops(math.Inf(1))
	for name, prints := range map[string][]Judged{
		"none":         nil,
		"not numbers":  {{noon, nan, 0}, {noon, 0, nan}, {noon, inf, 0}, {noon, 0, -inf}},
		"out of reach": {{noon, 50, 0}, {noon, 0, -5}},
	} {
		if l := Learn(prints); l.Prints != 0 || l.Correct(0.4) != 0.4 || l.Uncertainty(0.4) != 0 {
			t.Errorf("%s: learnt %+v", name, l)
		}
	}
}

// TestLearnDoubt checks that prints take doubt away, most where they were seen.
func TestLearnDoubt(t *testing.T) {
	few := Learn([]Judged{{noon, 0.5, 0.5}, {noon, 0.6, 0.5}})
	many := Learn([]Judged{{noon, 0.5, 0.5}, {noon, 0.6, 0.5}, {noon, 0.4, 0.5}, {noon, 0.5, 0.4}, {noon, 0.6, 0.7}})
	if !(many.Uncertainty(0.5) < few.Uncertainty(0.5)) {
		t.Errorf("five prints leave a doubt of %.3f, two of %.3f", many.Uncertainty(0.5), few.Uncertainty(0.5))
	}
	if !(many.Uncertainty(2) > many.Uncertainty(0.5)) {
		t.Error("there is no more doubt far from every print than among them")
	}
}
