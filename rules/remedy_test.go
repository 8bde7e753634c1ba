package rules

import (
	"math"
	"strings"
	"testing"
)

// settled is the shift that remains at a desk after its setting was put to v.
func settled(p *Profile, pic *Picture, name string, v float64) float64 {
	c := Resolve(p, noon)
	k, _ := kindOf(name)
	a, r := k.put(c.now(), v).at(pic.MeanY), c.reference().at(pic.MeanY)
	return c.how.expected(summarise(&a, &r, pic.Tones))
}

// mirror is a screen that reflects a lot.
func mirror(p *Profile) { p.Displays[0].Screen = Stated(ScreenFinish{"measured", 0.06}) }

// TestRemedyPutBack: what a remedy says is put back into the model; then less
// than 0.02 stop remains, or the sentence owns up to what does.
func TestRemedyPutBack(t *testing.T) {
	targets := tidemark().Target
	for _, c := range []struct {
		name    string
		changes []func(*Profile)
		about   string
		reaches bool
	}{
		{"bright screen", []func(*Profile){white(200)}, ScreenLuminance, true},
		{"dim screen", []func(*Profile){white(50)}, ScreenLuminance, true},
		{"bright screen in a bright room", []func(*Profile){white(200), lux(120)}, ScreenLuminance, true},
		{"screen turned up in a bright room", []func(*Profile){lux(400), notHeld}, ScreenLuminance, false},
		{"bright screen, rather dark room", []func(*Profile){white(220), lux(14)}, ScreenLuminance, false},
		{"hardly any light", []func(*Profile){lux(2)}, RoomLight, true},
		{"glare in a bright room", []func(*Profile){lux(120), mirror}, RoomLight, true},
		{"black surround", []func(*Profile){around(0.003)}, SurroundGrey, true},
		{"white surround", []func(*Profile){around(0.95)}, SurroundGrey, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, pic := tidemark(c.changes...), quay()
			r := Evaluate(p, exportOf(pic), noon)
			if r.Remedy == nil || r.About() != c.about {
				t.Fatalf("%s about %s, remedy %v; want one about %s", r.Verdict, r.About(), r.Remedy, c.about)
			}
			v := float64(r.Remedy.Value)
			k, _ := kindOf(c.about)
			if allowed := k.allowed(targets); !allowed.Holds(v) {
				t.Errorf("sends %s to %g, outside %v", c.about, v, allowed)
			}
			left := settled(p, &pic, c.about, v)
			owns := strings.Contains(r.Remedy.Text, "which leaves")
			if reached := math.Abs(left) < 0.02; reached != c.reaches || owns == c.reaches {
				t.Errorf("%q leaves %+.3f stop", r.Remedy.Text, left)
			}
		})
	}
}

// TestReferenceBeyondTarget: a profile whose references lie outside its own targets
// gets what it asks for, and is told.
func TestReferenceBeyondTarget(t *testing.T) {
	beyond := func(p *Profile) {
		p.Target.ReferenceWhite, p.Target.ReferenceSurround, p.Target.ReferencePoint = 200, 0.5, 5000
		p.Target.ReferenceRoom = 300
	}
	c := Resolve(tidemark(beyond, white(400), lux(500)), noon)
	within := Resolve(tidemark(white(400)), noon)
	for name, told := range map[string]string{
		ScreenLuminance: "200 cd/m², outside your target of 90–120",
		RoomLight:       "Dim the room light to about 300 lx at the screen, outside your target of 21–64.",
		SurroundGrey:    "L* 76), outside your target of 15–30 %",
	} {
		k, _ := kindOf(name)
		if m := settingRemedy(&c, k, solution{k.reference(c.target), 0}); !strings.Contains(m.Text, told) {
			t.Errorf("%q doesn't say %q", m.Text, told)
		}
		for _, v := range []float64{k.allowed(within.target).Low, k.allowed(within.target).High} {
			if m := settingRemedy(&within, k, solution{v, 0}); strings.Contains(m.Text, "outside") {
				t.Errorf("%q is inside", m.Text)
			}
		}
	}
	if got := remedy(&c, &Report{Verdict: Darker, Main: WhitePoint, Remedies: []Remedy{{Name: Lift, Value: 0.2}}}); got == nil ||
		got.Text != "Set the white point to about 5000 K, outside your target of 5600–6500, or lift this file by +0.2." {
		t.Errorf("%+v", got)
	}
	pic := quay()
	bright := func(p *Profile) { p.Target.ReferenceWhite = 200 }
	if r := Evaluate(tidemark(bright, white(400)), exportOf(pic), noon); r.Remedy == nil || !strings.Contains(r.Remedy.Text, "outside your target") {
		t.Errorf("%+v", r.Remedy)
	}
}

// TestLampRemedies: light is turned down where it veils, up where it lacks, and
// never below what one needs to find the keyboard.
func TestLampRemedies(t *testing.T) {
	for _, c := range []struct {
		changes []func(*Profile)
		code    Code
	}{
		{[]func(*Profile){lux(120), mirror}, RemedyDim},
		{[]func(*Profile){lux(2)}, RemedyBrighten},
		{[]func(*Profile){lux(0)}, RemedyBrighten},
	} {
		r := evaluated(c.changes...)
		if r.Remedy.Unit != "lx" || r.Remedy.Code != c.code || float64(r.Remedy.Value) < tidemark().Target.room().Low {
			t.Errorf("%s: %+v, want %q", r.Verdict, *r.Remedy, c.code)
		}
	}
}

// lifted is the shift that remains of the tones below upTo after a lift of the file
// by x stops: every tone is 2^x times as light, and so is the background they make.
func lifted(p *Profile, pic *Picture, x, upTo float64) float64 {
	c := Resolve(p, noon)
	now := c.now().at(pic.MeanY)
	mean := 0.0
	for _, tone := range pic.Tones {
		y := tone.Y
		if y < upTo {
			y *= math.Exp2(x)
		}
		mean += y * tone.Share
	}
	should := c.reference().at(math.Min(1, mean))
	var tones []Tone
	for _, tone := range pic.Tones {
		if tone.Y < upTo {
			tones = append(tones, tone)
		}
	}
	return c.how.expected(summarise(&now, &should, tones)) - x
}

// TestLift: put back into the model, a lift leaves nothing, of the whole picture or
// of its shadows; and its number is in the sentence.
func TestLift(t *testing.T) {
	random := seeded(32)
	for i := range 60 {
		p, pic := randomDesk(random), randomPicture(random)
		if i == 0 {
			p, pic = tidemark(white(200)), quay()
		}
		r := Evaluate(p, exportOf(pic), noon)
		for name, upTo := range map[string]float64{Lift: math.Inf(1), LiftShadows: shadowY} {
			m := r.offered(name)
			if name == LiftShadows && !r.Prediction.Targets.Shift.Shadows.Known() {
				continue
			}
			left := lifted(p, &pic, float64(m.Value), upTo)
			near(t, name+" leaves", left, 0, 0.02)
			near(t, name+" says it leaves", float64(m.Left), left, 0.002)
			if !strings.Contains(m.Text, strings.TrimPrefix(signed(math.Abs(float64(m.Value))), "+")+" stop") {
				t.Errorf("%s by %v: %q", name, m.Value, m.Text)
			}
		}
	}
	r := evaluated(white(200))
	lift := float64(r.offered(Lift).Value)
	if !strings.Contains(r.Remedy.Text, "lift this file by "+signed(lift)) {
		t.Errorf("%q does not lift by %s", r.Remedy.Text, signed(lift))
	}
	for lift, want := range map[float64]string{0.4: ", or lift this file by +0.4", -0.4: ", or lower this file by 0.4", 0.04: "", -0.04: "", math.NaN(): ""} {
		if got := liftText(lift); got != want {
			t.Errorf("lift of %g: %q, want %q", lift, got, want)
		}
	}
}

// TestAllRemedies: whatever the desk, every remedy is there, each has a number in
// its range, and leaves what it says it leaves; a sentence without "leaves" has
// reached its end.
func TestAllRemedies(t *testing.T) {
	random := seeded(33)
	reached := map[string]int{}
	for range 60 {
		p, pic := randomDesk(random), randomPicture(random)
		r := Evaluate(p, exportOf(pic), noon)
		ranges := map[string]Range{ViewingLight: viewingRange, Lift: {-MostStops, MostStops}, LiftShadows: {-MostStops, MostStops}}
		for _, k := range catalogue {
			if k.solvable() {
				ranges[k.name] = k.allowed(p.Target)
			}
		}
		for _, m := range r.Remedies {
			left := float64(m.Left)
			switch {
			case m.Name == ViewingLight:
				near(t, m.Name, atWall(p, &pic, Lux(m.Value)), left, 1e-9)
			case m.Unit != "stop":
				near(t, m.Name, settled(p, &pic, m.Name, float64(m.Value)), left, 1e-9)
			}
			if !ranges[m.Name].Holds(float64(m.Value)) {
				t.Errorf("%s: %v is outside %v", m.Name, m.Value, ranges[m.Name])
			}
			owns := strings.Contains(m.Text, "leaves") || strings.Contains(m.Text, "would leave")
			if owns != (math.Abs(left) >= 0.02) {
				t.Errorf("%s leaves %+.3f: %q", m.Name, left, m.Text)
			}
			if !owns {
				reached[m.Name]++
			}
			if lamp := m.Name == RoomLight || m.Name == ViewingLight; lamp != m.Caution {
				t.Errorf("%s and the caution: %q", m.Name, m.Text)
			}
		}
	}
	for _, name := range []string{ScreenLuminance, RoomLight, SurroundGrey, Lift, LiftShadows, ViewingLight} {
		if reached[name] == 0 || reached[name] == 60 && name != Lift && name != LiftShadows {
			t.Errorf("%s: reaches its end in %d of 60; the test shows nothing", name, reached[name])
		}
	}
}

// atWall is the shift against the print at the hall wall, lit by on.
func atWall(p *Profile, pic *Picture, on Lux) float64 {
	c := Resolve(p, noon)
	v := p.Viewings[0]
	v.Light = Stated(on)
	now, there := c.now().at(pic.MeanY), hanging(p.Papers[0], v, c.share.value).at(pic.MeanY)
	return summarise(&now, &there, pic.Tones).wholeShift()
}

// TestNightScene: what was sampled coarsely is solved on the whole picture.
func TestNightScene(t *testing.T) {
	p, pic := tidemark(white(150)), graded(12, 8, 200)
	r := Evaluate(p, exportOf(pic), noon)
	near(t, "left by the screen", settled(p, &pic, ScreenLuminance, float64(r.offered(ScreenLuminance).Value)), 0, 0.001)
}

// TestNoRemedyForBlack: a picture of nothing but black has nothing to put right.
func TestNoRemedyForBlack(t *testing.T) {
	r := Evaluate(tidemark(white(200)), exportOf(extremePictures["all black"]), noon)
	if r.Remedies == nil || len(r.Remedies) != 0 {
		t.Errorf("remedies %#v, want none, and [] in JSON", r.Remedies)
	}
}

// TestDrabRemedy: against drabness the desk is put right; no exposure is offered,
// for none brings back steps or colours.
func TestDrabRemedy(t *testing.T) {
	r := evaluated(white(200))
	r.Verdict, r.Main = Drab, ScreenLuminance
	c := Resolve(tidemark(white(200)), noon)
	got := remedy(&c, r)
	if got == nil || got.Name != ScreenLuminance || got.Value != 95 || got.Left.Known() || got.Text != "Set the screen's white to about 95 cd/m²." {
		t.Errorf("%+v", got)
	}
}

// TestWhitePointRemedy: a white point is set to its reference.
func TestWhitePointRemedy(t *testing.T) {
	c := Resolve(tidemark(), noon)
	r := &Report{Verdict: Darker, Main: WhitePoint}
	got := remedy(&c, r)
	if got == nil || got.Unit != "K" || got.Value != 6000 || got.Text != "Set the white point to about 6000 K." {
		t.Errorf("remedy: %+v", got)
	}
	if none := remedy(&c, &Report{Verdict: Drab, Unsettled: RoomLight}); none == nil || none.Unit != "lx" {
		t.Errorf("drab without a cause: %+v", none)
	}
}

// TestSolveRandom: on any desk a solution lies in its range, and is at a zero or
// no worse than the ends and the preferred value.
func TestSolveRandom(t *testing.T) {
	r := seeded(31)
	for range 60 {
		p, pic := randomDesk(r), randomPicture(r)
		c := Resolve(p, noon)
		for _, k := range catalogue {
			if !k.solvable() {
				continue
			}
			name, allowed := k.name, k.allowed(c.target)
			got := solve(&c, k, &pic)
			left := settled(p, &pic, name, got.value)
			if !allowed.Holds(got.value) {
				t.Errorf("%s: %g lies outside %v", name, got.value, allowed)
			}
			if math.Abs(left-got.left) > 1e-9 {
				t.Errorf("%s: %g leaves %+.4f, not %+.4f", name, got.value, left, got.left)
			}
			if math.Abs(left) < 1e-5 {
				continue
			}
			for _, v := range []float64{allowed.Low, allowed.High, k.reference(c.target)} {
				if other := settled(p, &pic, name, v); math.Abs(other) < math.Abs(left)-1e-9 {
					t.Errorf("%s: %g leaves %+.4f, but %g only %+.4f", name, got.value, left, v, other)
				}
			}
		}
	}
}

func TestNearestToZero(t *testing.T) {
	r := Range{0, 10}
	for _, c := range []struct {
		name  string
		f     func(float64) float64
		value float64
		left  float64
	}{
		{"a zero below", func(v float64) float64 { return v - 2 }, 2, 0},
		{"a zero above", func(v float64) float64 { return v - 9.9 }, 9.9, 0},
		{"a zero at the preferred value", func(v float64) float64 { return v - 5 }, 5, 0},
		{"a zero at the end", func(v float64) float64 { return 10 - v }, 10, 0},
		{"none: nearest is an end", func(v float64) float64 { return v + 1 }, 0, 1},
		{"none: nearest is within", func(v float64) float64 { return 1 + (v-5)*(v-5) }, 5, 1},
		{"no figures at all", func(float64) float64 { return math.NaN() }, 5, math.NaN()},
	} {
		got := nearestToZero(c.f, r, 5)
		same := math.Abs(got.left-c.left) < 1e-5 || math.IsNaN(got.left) && math.IsNaN(c.left)
		if math.Abs(got.value-c.value) > 1e-5 || !same {
			t.Errorf("%s: %+v, want %g leaving %g", c.name, got, c.value, c.left)
		}
	}
}

func TestSettle(t *testing.T) {
	for _, c := range []struct {
		name    string
		changes []func(*Profile)
		text    string
		value   Figure
		unit    string
	}{
		{"no reading", []func(*Profile){room()}, "Log the room light:", 64, "lx"},
		{"stale reading", []func(*Profile){readAgo(48, 13*3600e9)}, "Log the room light again:", 64, "lx"},
		{"room too bright", []func(*Profile){lux(150)}, "Dim the room light below 64 lx", 64, "lx"},
		{"old calibration", []func(*Profile){measured(300)}, measureScreenText, 95, "cd/m²"},
	} {
		r := evaluated(c.changes...)
		if r.Verdict != Unsure || r.Remedy == nil {
			t.Errorf("%s: %s, %v", c.name, r.Verdict, r.Remedy)
			continue
		}
		if m := *r.Remedy; !strings.HasPrefix(m.Text, c.text) || m.Value != c.value || m.Unit != c.unit {
			t.Errorf("%s: %+v, want %q", c.name, m, c.text)
		}
	}
	surround := settle(&Conditions{target: tidemark().Target}, &Report{Unsettled: SurroundGrey})
	if surround.Unit != "of white" || float64(surround.Value) != 0.2 {
		t.Errorf("surround: %+v", surround)
	}
}

// TestNothingToDo: a picture that should hold needs no remedy.
func TestNothingToDo(t *testing.T) {
	if r := evaluated(); r.Remedy != nil {
		t.Errorf("%s, and still a remedy: %+v", r.Verdict, r.Remedy)
	}
}
