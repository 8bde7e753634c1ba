package rules

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
)

// taught is a person whose prints have always come out so many stops off what was
// predicted, positive darker.
func taught(off Stops, prints int) func(*Profile) {
	var judged []Judged
	for i := range prints {
		x := Stops(0.1 * float64(i%6))
		judged = append(judged, Judged{noon, x, 0, x + off})
	}
	return func(p *Profile) { p.Learnt = Learn(judged, p.Judged) }
}

// TestCorrectedVerdict: at a desk that predicts dark prints, somebody whose prints
// have always come out lighter than predicted is told that this one holds; at one
// that holds, somebody whose prints always come out darker isn't warned at every
// export.
func TestCorrectedVerdict(t *testing.T) {
	for _, c := range []struct {
		name    string
		changes []func(*Profile)
		want    Verdict
	}{
		{"a bright screen, nothing learnt", []func(*Profile){white(135)}, Darker},
		{"a bright screen, prints always as predicted", []func(*Profile){white(135), taught(0, 12)}, Darker},
		{"a bright screen, prints always lighter", []func(*Profile){white(135), taught(-0.35, 12)}, Holds},
		{"a bright screen, prints always much lighter", []func(*Profile){white(135), taught(-0.9, 12)}, Holds},
		{"at the targets, prints always much darker", []func(*Profile){taught(0.9, 12)}, Holds},
		{"at the targets, prints a little darker: the person's own choice", []func(*Profile){taught(0.25, 12)}, Holds},
	} {
		if r := evaluated(c.changes...); r.Verdict != c.want {
			t.Errorf("%s: %s (%+v), want %s", c.name, r.Verdict, *r.Prediction.Targets.Spread, c.want)
		}
	}
}

// TestCorrectedStops: the corrected shift is the learnt line of every zone, stands
// beside the model's own, and is what the words go by; without outcomes there is
// none.
func TestCorrectedStops(t *testing.T) {
	if got := evaluated(white(200)).Prediction.Targets; got.Corrected != nil || got.Expected() != got.Shift {
		t.Errorf("nothing learnt: corrected to %+v", got.Corrected)
	}
	plain, r := evaluated(white(200)), evaluated(white(200), taught(-0.3, 12))
	got, line := r.Prediction.Targets, r.Learnt
	if got.Corrected == nil || got.Shift != plain.Prediction.Targets.Shift || r.Learnt.Prints != 12 {
		t.Fatalf("corrected %+v, model %+v, from %d prints", got.Corrected, got.Shift, r.Learnt.Prints)
	}
	for name, pair := range map[string][2]Figure{
		"shadows": {got.Shift.Shadows, got.Corrected.Shadows}, "midtones": {got.Shift.Midtones, got.Corrected.Midtones},
		"highlights": {got.Shift.Highlights, got.Corrected.Highlights}, "whole": {got.Shift.Whole, got.Corrected.Whole},
	} {
		want := line.Bias + line.Gain*float64(pair[0]-got.Unabsorbed) + line.Unabsorbed*float64(got.WhiteChange)
		near(t, name, float64(pair[1]), want, 1e-12)
	}
	near(t, "median", float64(got.Spread.Whole.Median), float64(got.Corrected.Whole), 0.03)
	if got.Expected() != *got.Corrected || r.Prediction.Viewing.Corrected != nil {
		t.Error("the words go by the model's own shift, or the viewing is corrected too")
	}
	if Headline(r) == Headline(plain) {
		t.Errorf("the headline is still %q", Headline(r))
	}
	none := Evaluate(tidemark(taught(0, 3)), exportOf(extremePictures["all black"]), noon)
	if none.Prediction.Targets.Corrected.Whole.Known() {
		t.Errorf("nothing to correct is corrected to %v", none.Prediction.Targets.Corrected.Whole)
	}
}

// TestCorrectedJSON: the key is there once something was learnt, and only then.
func TestCorrectedJSON(t *testing.T) {
	for learnt, want := range map[int]bool{0: false, 1: true, 12: true} {
		text, err := json.Marshal(evaluated(taught(-0.2, learnt)))
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(string(text), `"corrected_stops":{"shadows":`); got != want {
			t.Errorf("%d prints: corrected_stops is there: %v", learnt, got)
		}
	}
}

// TestDoubtNarrows: too few prints leave the answer as unsure as the model alone is; from
// then on what prints teach of the person makes it surer, the more of them the surer, but
// never surer than the desk is known.
func TestDoubtNarrows(t *testing.T) {
	of := func(changes ...func(*Profile)) float64 {
		return width(*evaluated(changes...).Prediction.Targets.Spread)
	}
	alone := of(white(150))
	for n := 1; n < leastTaught; n++ {
		if got := of(white(150), taught(0, n)); got != alone {
			t.Errorf("%d prints: width %.3f, of the model alone %.3f", n, got, alone)
		}
	}
	three, many, most := of(white(150), taught(0, 3)), of(white(150), taught(0, 20)), of(white(150), taught(0, 200))
	sure := func(p *Profile) { p.Learnt = Learn(nil, p.Judged) }
	desk := evaluated(white(150), sure).Prediction.Targets.Spread.DeskShare
	if !(alone > three && three > many && many > most && most > alone*math.Sqrt(desk)*0.8) {
		t.Errorf("width: alone %.3f, three prints %.3f, twenty %.3f, two hundred %.3f; the desk's share is %.2f", alone, three, many, most, desk)
	}
}

// TestCorrectedRemedies: remedies put right what this person will find: put back
// into the model and corrected, what is left is what they say.
func TestCorrectedRemedies(t *testing.T) {
	p, pic := tidemark(white(160), taught(0.2, 12)), quay()
	r := Evaluate(p, exportOf(pic), noon)
	screen := r.offered(ScreenLuminance)
	near(t, "left", float64(screen.Left), settled(p, &pic, ScreenLuminance, float64(screen.Value)), 1e-9)
	if plain := evaluated(white(160)).offered(ScreenLuminance); !(screen.Value < plain.Value) {
		t.Errorf("somebody whose prints come out dark is sent to %.0f cd/m², others to %.0f", float64(screen.Value), float64(plain.Value))
	}
	if plain := evaluated(white(160)).offered(RaiseFile); !(r.offered(RaiseFile).Value > plain.Value) {
		t.Errorf("somebody whose prints come out dark is told to raise by %v, others by %v", r.offered(RaiseFile).Value, plain.Value)
	}
}

// TestOnlyThePerson: where nothing at the desk explains what the person always
// finds, the raise that would change it is offered, but there is nothing to do now.
func TestOnlyThePerson(t *testing.T) {
	for off, want := range map[Stops]string{0.9: "take mid grey from 118 to 154 in a curve", -0.9: "take mid grey from 118 to 91 in a curve"} {
		r := evaluated(taught(off, 12))
		if got := r.offered(RaiseFile).Text; r.Verdict != Holds || r.Remedy != nil || !strings.Contains(got, want) {
			t.Errorf("always %+.1f: %s, %+v, %q, want %q", float64(off), r.Verdict, r.Remedy, got, want)
		}
		if off := float64(r.offered(RaiseFile).Value) * float64(off); off < 0 {
			t.Errorf("the wrong way: %+v", r.offered(RaiseFile))
		}
	}
	if r := evaluated(white(119)); r.Verdict != Holds || r.offered(RaiseFile).Value.Known() {
		t.Errorf("%s, and %+v for what the person allows", r.Verdict, r.offered(RaiseFile))
	}
}

// TestCorrectionDoesNotJump: the chance of each verdict moves gently as outcomes
// come in one after another that say nothing new.
func TestCorrectionDoesNotJump(t *testing.T) {
	before := *evaluated(white(150), taught(-0.1, 1)).Prediction.Targets.Spread
	for n := 2; n <= 24; n++ {
		got := *evaluated(white(150), taught(-0.1, n)).Prediction.Targets.Spread
		if step := math.Abs(float64(got.Whole.Median - before.Whole.Median)); step > 0.1 {
			t.Errorf("print %d moves the median by %.3f", n, step)
		}
		before = got
	}
}

// TestOneJoke: somebody at a perfect desk once says that a print came out four stops
// darker. The first version expected 2.6 stops of every print from then on.
func TestOneJoke(t *testing.T) {
	plain := evaluated()
	r := evaluated(func(p *Profile) { p.Learnt = Learn([]Judged{{noon, 0, 0, 4}}, p.Judged) })
	near(t, "shown", float64(r.Whole()-plain.Whole()), 0.13, 0.01)
	if r.Verdict != Holds || *r.Prediction.Targets.Spread != *plain.Prediction.Targets.Spread || r.Remedy != nil {
		t.Errorf("%s, %+v", r.Verdict, r.Prediction.Targets.Spread)
	}
}

// TestFewOutcomesFlipNothing: whatever one person says of one or two prints, no verdict
// at any desk and no chance of one is another for it; the figures that are shown are.
// One "a bit lighter" turned two files of the first version from dark to fit to print.
func TestFewOutcomesFlipNothing(t *testing.T) {
	for _, desk := range [][]func(*Profile){
		{white(110)}, {white(125)}, {white(135)}, {white(160)}, {white(200), lux(32)}, {lux(8)}, {around(0.003)}, {around(0.95)}, {white(70)},
	} {
		plain := evaluated(desk...)
		for _, word := range Outcomes {
			if !word.Found().Known() {
				continue
			}
			one := Judged{noon, Stops(plain.Prediction.Targets.Shift.Whole - plain.Prediction.Targets.Unabsorbed), Stops(plain.Prediction.Targets.WhiteChange), Stops(word.Found())}
			for n := 1; n < leastTaught; n++ {
				prints := slices.Repeat([]Judged{one}, n)
				r := evaluated(append(desk, func(p *Profile) { p.Learnt = Learn(prints, p.Judged) })...)
				if r.Verdict != plain.Verdict || *r.Prediction.Targets.Spread != *plain.Prediction.Targets.Spread {
					t.Errorf("%d × %s: %s, without %s", n, word, r.Verdict, plain.Verdict)
				}
				if r.Prediction.Targets.Corrected == nil || r.Whole() == plain.Whole() {
					t.Errorf("%d × %s: nothing of it is shown", n, word)
				}
			}
		}
	}
}
