package rules

import (
	"math"
	"strings"
	"testing"

	"lampblack/rules/colour"
)

// TestJudgeOfLosses: what is not drab must be probable enough, too.
func TestJudgeOfLosses(t *testing.T) {
	q := Quiet{Probability: 0.6}
	for drab, want := range map[float64]Verdict{0: Holds, 0.39: Holds, 0.41: Unsure, 0.59: Unsure, 0.6: Drab} {
		if got := judge(Spread{Drab: drab}, "", q); got != want {
			t.Errorf("drab with %.2f: %s, want %s", drab, got, want)
		}
	}
}

// TestSurpriseByHandOfWhiter works one case in which the white is off, too: what is known
// of the line at those prints is less,
//
//	σ² = 0.2² + (0.45·0.4)² + (1·0.22·0.5)² = 0.0845,  s = √(σ² + 0.125/3) = 0.3552,
//	P = Φ((0.4 − 0.15)/0.3552) = Φ(0.7038) = 0.7592
func TestSurpriseByHandOfWhiter(t *testing.T) {
	var prints []Judged
	for days := range 3 {
		prints = append(prints, Judged{noon.AddDate(0, 0, -1-days), 0.4, 0.5, 0.4 + 0.22*0.5 + 0.4})
	}
	l, measured := Learn(prints, JudgedUnsaid), noon.AddDate(0, 0, -20)
	for p, want := range map[float64]int{0.7585: 3, 0.76: 0} {
		s := l.surprise(measured, noon, Quiet{Noticeable: 0.15, Probability: p})
		if s.prints != want || want != 0 && math.Abs(s.darker-0.4) > 1e-12 {
			t.Errorf("at a probability of %.4f: %+v, want %d prints", p, s, want)
		}
	}
}

// TestOnePrintByHand: one print a stop darker than a prediction of nothing. The mode of
//
//	a²/(2·0.2²) + 5/2·ln(1 + (1−a)²/(4·0.25²))
//
// is where 25·a = 5·(1−a)/(0.25 + (1−a)²), which is 0.1777, with the weight
// w = 5/(0.25 + 0.8223²) = 5.399 and so the uncertainty 1/√(25 + w) = 0.1814.
func TestOnePrintByHand(t *testing.T) {
	l := Learn([]Judged{{At: noon, Found: 1}}, JudgedUnsaid)
	near(t, "bias", l.Bias, 0.1777, 0.0002)
	near(t, "uncertainty", l.Uncertainty(0, 0), 0.1814, 0.0002)
	near(t, "gain", l.Gain, 1, 1e-9)
	near(t, "unabsorbed", l.Unabsorbed, 0.22, 1e-9)
}

// TestNothingLearnt: without a print the line is the model's: the tone, and 0.22 of the
// white for somebody who hasn't said how prints are judged.
func TestNothingLearnt(t *testing.T) {
	near(t, "unsaid", Learn(nil, JudgedUnsaid).Correct(0.3, 0.5), 0.3+0.11, 1e-12)
	near(t, "beside", Learn(nil, Beside).Correct(0.3, 0.5), 0.3+0.3, 1e-12)
	l := Learn([]Judged{{At: noon, Tone: 0.3, Found: 0.3}}, JudgedUnsaid)
	near(t, "one print as predicted", l.Correct(0.3, 0), 0.3, 1e-6)
}

// TestCoarseKeepsAll: no tone that counts is missing from the picture that is sampled,
// up to the lightest and down to where black begins, Y 0.00055.
func TestCoarseKeepsAll(t *testing.T) {
	pic := Picture{Tones: []Tone{{0.0001, 0.1}, {0.0006, 0.2}, {0.001, 0.1}, {0.0012, 0.1}, {0.1, 0.1}, {0.3, 0.1}, {0.9, 0.1}, {1, 0.2}}}
	var share, light float64
	for _, tone := range coarse(&pic).Tones {
		share += tone.Share
		light += tone.Share * tone.Y
	}
	near(t, "share", share, 0.9, 1e-12)
	near(t, "light", light, 0.00012+0.0001+0.00012+0.01+0.03+0.09+0.2, 1e-12)
}

// TestColoursOf: a colour of the file is told by its XYZ with white at 1, and is grey up
// to a chroma of 6.
func TestColoursOf(t *testing.T) {
	cs := coloursOf(&Picture{Colours: []Colour{
		{colour.Lab{L: 100}, 0.5}, {colour.Lab{L: 50, A: 5.9}, 0.25}, {colour.Lab{L: 50, B: -6.1}, 0.25},
	}})
	near(t, "Y of white", cs[0].xyz.Y, 1, 1e-9)
	near(t, "Y of L* 50", cs[1].xyz.Y, 0.1842, 0.0001)
	if !cs[0].grey || !cs[1].grey || cs[2].grey || cs[0].share != 0.5 {
		t.Errorf("%+v", cs)
	}
}

// TestAtWall: the light where a print hangs is worth a line from 0.15 stop, for prints
// only, where somebody can tell, and where no standard has set it.
func TestAtWall(t *testing.T) {
	for _, c := range []struct {
		name    string
		shift   Figure
		verdict Verdict
		purpose Purpose
		viewing string
		want    bool
	}{
		{"dark there", 0.15, Holds, ForPrint, "hall wall", true},
		{"light there", -0.15, Darker, ForPrint, "hall wall", true},
		{"hardly dark there", 0.14, Holds, ForPrint, "hall wall", false},
		{"nobody knows", Unknown, Holds, ForPrint, "hall wall", false},
		{"can't tell", 0.4, Unsure, ForPrint, "hall wall", false},
		{"for the screen", 0.4, Holds, ForScreen, "hall wall", false},
		{"in a booth", 0.4, Holds, ForPrint, PrintCritical, false},
	} {
		r := &Report{Verdict: c.verdict, Purpose: c.purpose, Viewing: c.viewing, Remedies: []Remedy{
			{Name: ScreenLuminance, Text: "set"}, {Name: ViewingLight, Text: "light it", Value: 300},
		}}
		r.Prediction.Viewing.Shift.Whole = c.shift
		m, is := r.atWall()
		if is != c.want || is && m.Value != 300 || !is && m.Text != "" {
			t.Errorf("%s: %+v, %v", c.name, m, is)
		}
		if lines := strings.Join(advice(r), "\n"); strings.Contains(lines, "For the place where it hangs: light it") != c.want {
			t.Errorf("%s: advice\n%s", c.name, lines)
		}
	}
}

// TestAgrees: a surround out of its target agrees with a mat that is within 10 L* of it;
// on a sheet of 0.90 a white mat of 0.85 has L* 97.7, and a cream one of 0.75 has 92.9.
func TestAgrees(t *testing.T) {
	around := func(l float64) float64 { return colour.FromLightness(l) }
	for _, c := range []struct {
		name     string
		mat      Mat
		y        float64
		inTarget bool
		want     bool
	}{
		{"white on white", WhiteMat, around(97.7), false, true},
		{"a little less white", WhiteMat, around(88), false, true},
		{"not so white", WhiteMat, around(87.2), false, false},
		{"light grey on cream", CreamMat, around(83.2), false, true},
		{"lighter than cream, a little", CreamMat, around(100), false, true},
		{"in its target", WhiteMat, around(97.7), true, false},
		{"no mat", NoMat, around(80), false, false},
		{"a mat that nobody knows", Mat("felt"), around(80), false, false},
	} {
		cs := &Conditions{List: []Condition{{Name: SurroundGrey, InTarget: c.inTarget}}, around: estimate{value: c.y}}
		h := hung{c: cs, paper: Paper{White: Stated(0.9)}, viewing: Viewing{Mat: Stated(c.mat)}}
		if got := h.agrees(); got != c.want {
			t.Errorf("%s: agrees: %v", c.name, got)
		}
	}
}

// TestNoMatch: without a white, or a light to match it, nothing is said of one.
func TestNoMatch(t *testing.T) {
	for _, c := range []struct {
		white, now Figure
		lines      int
	}{{0, 300, 0}, {95, 0, 0}, {95, Unknown, 0}, {Unknown, 300, 0}, {95, 300, 2}} {
		r := &Report{Conditions: []Condition{{Name: ScreenLuminance, Value: c.white}}}
		r.Prediction.Match = Match{Targets: 300, Now: c.now, There: 200}
		if got := matchText(r); len(got) != c.lines {
			t.Errorf("%v cd/m², %v lx: %q", c.white, c.now, got)
		}
	}
}
