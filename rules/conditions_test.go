package rules

import (
	"math"
	"strings"
	"testing"
	"time"

	"lampblack/rules/colour"
)

func TestResolveRoom(t *testing.T) {
	const life = 4 * time.Hour
	at := func(age time.Duration, v Lux, place Place) Reading {
		return Reading{At: noon.Add(-age), Light: v, Place: place}
	}
	for _, c := range []struct {
		name     string
		readings []Reading
		value    float64
		sigma    float64
		age      float64 // hours; -1: none
		inTarget bool
		assumed  bool
	}{
		{"none", nil, 48, sigmaRoomAssumed, -1, true, true},
		{"at this very moment", []Reading{at(0, 41, AtScreen)}, 41, 0.15, 0, true, false},
		{"the newest counts", []Reading{at(3*time.Hour, 500, AtScreen), at(time.Hour, 41, AtScreen)}, 41, math.Hypot(0.15, 0.05), 1, true, false},
		{"what is read later is not known yet", []Reading{at(2*time.Hour, 41, AtScreen), at(-time.Second, 500, AtScreen)}, 41, math.Hypot(0.15, 0.10), 2, true, false},
		{"only later ones", []Reading{at(-time.Hour, 500, AtScreen)}, 48, sigmaRoomAssumed, -1, true, true},
		{"on the desk", []Reading{at(0, 100, OnDesk)}, 50, math.Hypot(0.15, sigmaFromDesk), 0, true, false},
		{"a newer one at a print says nothing", []Reading{at(life, 41, AtScreen), at(0, 500, AtPrint)}, 41, math.Hypot(0.15, 0.20), 4, true, false},
		{"at a print alone", []Reading{at(0, 500, AtPrint)}, 48, sigmaRoomAssumed, -1, true, true},
		{"stale stands", []Reading{at(5*life, 41, AtScreen)}, 41, math.Hypot(0.15, 1.0*sigmaAgedLimit), 20, true, false},
		{"a year old says little, but no less than nothing", []Reading{at(8760*time.Hour, 41, AtScreen)}, 41, math.Hypot(0.15, sigmaAgedLimit), 8760, true, false},
		{"at its upper end", []Reading{at(0, 64, AtScreen)}, 64, 0.15, 0, true, false},
		{"too bright", []Reading{at(0, 65, AtScreen)}, 65, 0.15, 0, false, false},
		{"at its lower end, a third of the reference", []Reading{at(0, 16, AtScreen)}, 16, 0.15, 0, true, false},
		{"too dark", []Reading{at(0, 15.4, AtScreen)}, 15.4, 0.15, 0, false, false},
		{"no light at all", []Reading{at(0, 0, AtScreen)}, 0, 0.15, 0, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Resolve(tidemark(room(c.readings...)), noon)
			got := r.Get(RoomLight)
			near(t, "light", float64(got.Value), c.value, 1e-9)
			near(t, "uncertainty", float64(got.Sigma), c.sigma, 1e-9)
			if c.age < 0 && got.AgeHours.Known() || c.age >= 0 && float64(got.AgeHours) != c.age {
				t.Errorf("age is %v h, want %v", got.AgeHours, c.age)
			}
			if got.InTarget != c.inTarget || got.Assumed != c.assumed {
				t.Errorf("in target %v, assumed %v; want %v, %v", got.InTarget, got.Assumed, c.inTarget, c.assumed)
			}
			if got.Target != [2]Figure{16, 64} {
				t.Errorf("target %v", got.Target)
			}
			near(t, "light used", r.room.value, math.Max(c.value, leastLight), 1e-9)
			d := r.now()
			near(t, "light around the screen", float64(d.room), r.room.value, 0)
			near(t, "light on the screen", float64(d.screen.On), r.room.value, 0)
		})
	}
}

func TestResolveScreen(t *testing.T) {
	assumed := func(p *Profile) { p.Displays[0].White.Assumed = true }
	undated := func(p *Profile) { p.Displays[0].Measured = Assume(time.Time{}) }
	for _, c := range []struct {
		name     string
		changes  []func(*Profile)
		value    float64
		sigma    float64
		age      float64 // hours; -1: none
		inTarget bool
		assumed  bool
	}{
		{"measured today", []func(*Profile){measured(0)}, 95, sigmaWhiteMeasured, 0, true, false},
		{"measured an interval ago", []func(*Profile){measured(30)}, 95, math.Hypot(sigmaWhiteMeasured, sigmaWhiteAged), 720, true, false},
		{"measured in the future", []func(*Profile){measured(-9)}, 95, sigmaWhiteMeasured, 0, true, false},
		{"measured in another age", []func(*Profile){measured(20000)}, 95, math.Hypot(sigmaWhiteMeasured, sigmaAgedLimit), 480000, true, false},
		{"no day", []func(*Profile){undated}, 95, sigmaWhiteGuessed, -1, true, false},
		{"nobody has measured it", []func(*Profile){assumed, undated}, 95, sigmaWhiteGuessed, -1, true, true},
		{"too bright", []func(*Profile){white(121), measured(0)}, 121, sigmaWhiteMeasured, 0, false, false},
		{"too dark", []func(*Profile){white(80), measured(0)}, 80, sigmaWhiteMeasured, 0, false, false},
		{"not held, at the reference", []func(*Profile){notHeld, measured(0)}, 95, sigmaWhiteMeasured, 0, true, false},
		{"not held, in the dark", []func(*Profile){notHeld, lux(1), measured(0)}, 95, sigmaWhiteMeasured, 0, true, false},
		{"not held, sixteen times the light", []func(*Profile){notHeld, lux(768), measured(0)}, 95 * math.Pow(16, driftExponent), sigmaWhiteMeasured, 0, false, false},
		{"held in the same light", []func(*Profile){lux(768), measured(0)}, 95, sigmaWhiteMeasured, 0, true, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Resolve(tidemark(c.changes...), noon)
			got := r.Get(ScreenLuminance)
			near(t, "white", float64(got.Value), c.value, 1e-9)
			near(t, "white used", float64(r.now().screen.White), c.value, 1e-9)
			near(t, "uncertainty", r.white.sigma, c.sigma, 1e-9)
			if c.age < 0 && got.AgeHours.Known() || c.age >= 0 && float64(got.AgeHours) != c.age {
				t.Errorf("age is %v h, want %v", got.AgeHours, c.age)
			}
			if got.InTarget != c.inTarget || got.Assumed != c.assumed {
				t.Errorf("in target %v, assumed %v; want %v, %v", got.InTarget, got.Assumed, c.inTarget, c.assumed)
			}
		})
	}
}

// TestDriftIsOwnedUpTo: a white that nobody measured is not shown as measured.
func TestDriftIsOwnedUpTo(t *testing.T) {
	c := Resolve(tidemark(notHeld, lux(300)), noon)
	if got := c.Get(ScreenLuminance).Source; !strings.HasPrefix(got, "95 cd/m² was measured") {
		t.Errorf("source is %q", got)
	}
	if c.drift != sigmaDrift {
		t.Errorf("the exponent's uncertainty is %g", c.drift)
	}
	if held := Resolve(tidemark(lux(300)), noon); held.drift != 0 {
		t.Errorf("a screen that is held drifts by %g", held.drift)
	}
}

func TestHood(t *testing.T) {
	for _, c := range []struct {
		finish ScreenFinish
		hood   bool
		want   estimate
	}{
		{ScreenFinish{"matt", 0.0045}, false, estimate{0.0045, sigmaDiffuse}},
		{ScreenFinish{"matt", 0.0045}, true, estimate{0.0045 * hoodFactor, sigmaDiffuse}},
		{ScreenFinish{"measured", 0.01}, false, estimate{0.01, sigmaDiffuseTold}},
	} {
		if got := reflection(Display{Screen: Stated(c.finish), Hood: Stated(c.hood)}); got != c.want {
			t.Errorf("%v, hood %v: %v, want %v", c.finish, c.hood, got, c.want)
		}
	}
}

func TestOtherConditions(t *testing.T) {
	for _, c := range []struct {
		name     string
		change   func(*Profile)
		about    string
		value    float64
		within   float64
		inTarget bool
	}{
		{"6500 K meets a target of 6500 K", whitePointOf(6500), WhitePoint, 6500, 5, true},
		{"7500 K is too cool", whitePointOf(7500), WhitePoint, 7500, 8, false},
		{"5000 K is too warm", whitePointOf(5000), WhitePoint, 5000, 5, false},
		{"a white that is no white", func(p *Profile) { p.Displays[0].WhitePoint = Stated(colour.XY{X: 0.3, Y: 0.5}) }, WhitePoint, math.NaN(), 0, false},
		{"surround at its lower end", around(0.15), SurroundGrey, 0.15, 0, true},
		{"black surround", around(0.003), SurroundGrey, 0.003, 0, false},
		{"white surround", around(0.95), SurroundGrey, 0.95, 0, false},
		{"calibration of yesterday", measured(1), CalibrationAge, 1, 0, true},
		{"calibration just due", measured(30), CalibrationAge, 30, 0, true},
		{"calibration overdue", measured(31), CalibrationAge, 31, 0, false},
		{"calibration of no day", func(p *Profile) { p.Displays[0].Measured = Assume(time.Time{}) }, CalibrationAge, math.NaN(), 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := Resolve(tidemark(c.change), noon)
			got := r.Get(c.about)
			if math.IsNaN(c.value) != !got.Value.Known() {
				t.Fatalf("value is %v, want %v", got.Value, c.value)
			}
			if got.Value.Known() {
				near(t, c.about, float64(got.Value), c.value, c.within)
			}
			if got.InTarget != c.inTarget {
				t.Errorf("in target: %v, want %v", got.InTarget, c.inTarget)
			}
		})
	}
}

// TestAssumedIsSaid: what nobody stated is marked as assumed, and has no age.
func TestAssumedIsSaid(t *testing.T) {
	c := Resolve(tidemark(room(), func(p *Profile) {
		d := &p.Displays[0]
		d.White.Assumed, d.WhitePoint.Assumed, d.Contrast.Assumed, p.Surround.RelativeY.Assumed = true, true, true, true
		d.Measured = Assume(time.Time{})
	}), noon)
	for _, k := range c.List {
		if !k.Assumed || k.AgeHours.Known() || k.Source == "from the profile" {
			t.Errorf("%s: assumed %v, age %v, source %q", k.Name, k.Assumed, k.AgeHours, k.Source)
		}
	}
}

func TestFarOut(t *testing.T) {
	for _, c := range []struct {
		name    string
		changes []func(*Profile)
		want    string
	}{
		{"all well", nil, ""},
		{"twice the room's limit", []func(*Profile){lux(128)}, ""},
		{"above twice the room's limit", []func(*Profile){lux(129)}, RoomLight},
		{"above twice the limit on the desk, half of it at the screen", []func(*Profile){room(Reading{At: noon, Light: 250, Place: OnDesk})}, ""},
		{"no reading", []func(*Profile){room()}, RoomLight},
		{"a reading of three lives", []func(*Profile){readAgo(48, 12*time.Hour)}, ""},
		{"a reading older than that", []func(*Profile){readAgo(48, 12*time.Hour+time.Minute)}, RoomLight},
		{"a calibration of three intervals", []func(*Profile){measured(90)}, ""},
		{"a calibration older than that", []func(*Profile){measured(91)}, CalibrationAge},
		{"a calibration of no day", []func(*Profile){func(p *Profile) { p.Displays[0].Measured = Assume(time.Time{}) }}, ""},
		{"both: the room comes first", []func(*Profile){room(), measured(91)}, RoomLight},
		{"a bright screen is a matter of the shift", []func(*Profile){white(400)}, ""},
	} {
		if got := Resolve(tidemark(c.changes...), noon).far; got != c.want {
			t.Errorf("%s: far out is %q, want %q", c.name, got, c.want)
		}
	}
}

// TestEditingDisplay: the conditions are those of the display that edits.
func TestEditingDisplay(t *testing.T) {
	p := tidemark()
	p.Displays = append([]Display{{Name: "south bench", White: Stated[Luminance](300)}}, p.Displays...)
	c := Resolve(p, noon)
	near(t, "white", c.white.value, 95, 0)
	p.Displays[1].Edits = false
	if got := p.EditingDisplay().Name; got != "south bench" {
		t.Errorf("where none edits, the first does; not %q", got)
	}
	if got := c.Get("weather"); got.Name != "" {
		t.Errorf("a condition that isn't there: %v", got)
	}
}

// TestInTargetAsShown: what is shown as a bound of the target is within it, and
// what is shown as beyond is not.
func TestInTargetAsShown(t *testing.T) {
	for _, c := range []struct {
		name  string
		desk  func(*Profile)
		right bool
	}{
		{ScreenLuminance, white(120.4), true},
		{ScreenLuminance, white(120.6), false},
		{ScreenLuminance, white(89.4), false},
		{RoomLight, lux(64.4), true},
		{RoomLight, lux(65), false},
		{SurroundGrey, around(colour.SRGB.Decode(149. / 255)), true}, // the grey that a remedy names
		{SurroundGrey, around(0.306), false},
		{CalibrationAge, earlier(16 * time.Hour), true},
		{CalibrationAge, measured(31), false},
	} {
		p := tidemark(c.desk)
		conditions := Resolve(p, noon)
		if got := conditions.Get(c.name); got.InTarget != c.right {
			t.Errorf("%s: in target is %v", conditionLine(got), got.InTarget)
		}
	}
}

// earlier is a calibration that is d older than the 30 days of the target.
func earlier(d time.Duration) func(*Profile) {
	return func(p *Profile) { p.Displays[0].Measured = Stated(noon.AddDate(0, 0, -30).Add(-d)) }
}
