package rules

import (
	"math"
	"strings"
	"testing"
)

// settled is the shift that remains at a desk after its setting was put to v, as it
// would really be: the profile changed, and the desk resolved anew.
func settled(p *Profile, pic *Picture, name string, v float64) float64 {
	should := Resolve(p, noon)
	return troubleAt(done(p, []string{name}, []Figure{Figure(v)}), exportOf(*pic), should.reference()).whole
}

// mirror is a screen that reflects a lot.
func mirror(p *Profile) { p.Displays[0].Screen = Stated(ScreenFinish{"measured", 0.06}) }

// TestRemedyPutBack: what a remedy says is done to the profile; then hardly anything
// remains, or the sentence owns up to what does.
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
		{"bright screen, rather dark room", []func(*Profile){white(240), lux(16)}, ScreenLuminance, false},
		{"hardly any light", []func(*Profile){lux(2)}, RoomLight, true},
		{"black surround", []func(*Profile){around(0.003)}, SurroundGrey, true},
		{"white surround", []func(*Profile){around(0.95)}, SurroundGrey, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, pic := tidemark(c.changes...), quay()
			r := Evaluate(p, exportOf(pic), noon)
			if r.Remedy == nil || r.About() != c.about || r.Remedy.Name != c.about {
				t.Fatalf("%s about %s, remedy %+v; want one about %s", r.Verdict, r.About(), r.Remedy, c.about)
			}
			v := float64(r.Remedy.Value)
			k, _ := kindOf(c.about)
			if allowed := k.allowed(targets); !allowed.Holds(v) {
				t.Errorf("sends %s to %g, outside %v", c.about, v, allowed)
			}
			left := settled(p, &pic, c.about, v)
			owns := strings.Contains(r.Remedy.Text, "still print") || strings.Contains(r.Remedy.Text, "then print")
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
	pic := quay()
	of := func(name string, changes ...func(*Profile)) string {
		c := Resolve(tidemark(changes...), noon)
		f := faultOf(&c, Darker, &pic, tidemark().Quiet)
		k, _ := kindOf(name)
		_, reference := c.settable(k)
		return f.setting(f.option([]change{{k, reference}}), nil).Text
	}
	for name, told := range map[string]string{
		ScreenLuminance: "Set the screen's white to about 200 cd/m². That is outside your target of 90–120, where your reference is.",
		RoomLight:       "Dim the room light to about 300 lx at the screen. That is outside your target of 16–64, where your reference is.",
		SurroundGrey:    "L* 76). That is outside your target of 15–30 %, where your reference is.",
		WhitePoint:      "Set the white point to about 5000 K. That is outside your target of 5600–6500, where your reference is.",
	} {
		if text := of(name, beyond, white(400), lux(500)); !strings.Contains(text, told) {
			t.Errorf("%q doesn't say %q", text, told)
		}
		if text := of(name, white(400), lux(500)); strings.Contains(text, "outside") {
			t.Errorf("%q is inside", text)
		}
	}
}

// TestNoMoreThanThePanelCan: nobody is sent to a white that the display doesn't reach.
func TestNoMoreThanThePanelCan(t *testing.T) {
	weak := func(p *Profile) { p.Displays[0].Most = 92; p.Target.ReferenceWhite = 104; p.Target.WhiteStated = true }
	r := evaluated(weak, white(50), func(p *Profile) { p.Judged = Beside })
	if m := r.offered(ScreenLuminance); m.Value != 92 || m.Left > -0.05 || r.Verdict != Lighter {
		t.Errorf("%s: %+v", r.Verdict, m)
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

// TestNightScene: what was sampled coarsely is solved on the whole picture.
func TestNightScene(t *testing.T) {
	p, pic := tidemark(white(200)), graded(12, 8, 200)
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

// TestDrabRemedy: against drabness the desk is put right, and what would still be lost is
// told; no raise is offered, for none brings back steps or colours.
func TestDrabRemedy(t *testing.T) {
	c, pic := Resolve(tidemark(white(200)), noon), quay()
	q := tidemark().Quiet
	r := &Report{Verdict: Drab, Main: ScreenLuminance, Picture: pic}
	f := faultOf(&c, Drab, &pic, q)
	options := f.atDesk(r)
	r.Remedies = remedies(r, f, options, hung{&c, tidemark().Papers[0], tidemark().Viewings[0], false})
	r.advise(&c, f, options)
	if got := r.Remedy; got == nil || got.Name != ScreenLuminance || got.Value != 95 || got.Text != "Set the screen's white to about 95 cd/m²." || r.offered(RaiseFile).Value.Known() {
		t.Errorf("%+v", got)
	}
	k, _ := kindOf(ScreenLuminance)
	half := f.setting(f.option([]change{{k, 150}}), nil).Text
	if !strings.Contains(half, "% of the fine detail in the shadows would still be lost.") {
		t.Errorf("%q doesn't own up", half)
	}
}

// TestWhitePointRemedy: a white point that makes a print drab is set to its reference.
func TestWhitePointRemedy(t *testing.T) {
	c, pic := Resolve(tidemark(whitePointOf(9000)), noon), quay()
	f := faultOf(&c, Drab, &pic, tidemark().Quiet)
	k, _ := kindOf(WhitePoint)
	got := f.setting(f.single(k), nil)
	if got.Unit != "K" || got.Value != 6000 || got.Text != "Set the white point to about 6000 K." {
		t.Errorf("remedy: %+v", got)
	}
}

// TestWithDrift: light that is dimmed takes the drift of a screen that nobody holds with
// it, and a white that is set is held.
func TestWithDrift(t *testing.T) {
	c := Resolve(tidemark(white(100), lux(300), notHeld), noon)
	room, _ := kindOf(RoomLight)
	screen, _ := kindOf(ScreenLuminance)
	near(t, "now", float64(c.now().screen.White), 100*math.Pow(300.0/48, driftExponent), 1e-9)
	near(t, "dimmed", float64(c.with(change{room, 96}).screen.White), 100*math.Pow(96.0/48, driftExponent), 1e-9)
	near(t, "set", float64(c.with(change{screen, 110}).screen.White), 110, 1e-9)
	both := c.with(change{room, 96}, change{screen, 110})
	near(t, "both", float64(both.screen.White), 110, 1e-9)
	near(t, "both, room", float64(both.room), 96, 1e-9)
	near(t, "and nothing has changed", float64(c.now().room), 300, 1e-9)
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
