package rules

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // a machine may lack it
)

// week is a reading at this hour of each of the days before noon, the newest an
// age before noon and of 48 lx.
func week(age time.Duration, lights ...Lux) []Reading {
	var rs []Reading
	for i, v := range lights {
		rs = append(rs, Reading{At: noon.AddDate(0, 0, i-len(lights)), Light: v, Place: AtScreen})
	}
	return append(rs, Reading{At: noon.Add(-age), Light: 48, Place: AtScreen})
}

func roomAt(now time.Time, rs []Reading) Condition {
	c := Resolve(tidemark(room(rs...)), now)
	return c.Get(RoomLight)
}

func TestTheWeekAtThisHour(t *testing.T) {
	const age = 4 * time.Hour // a life of a reading
	alone := float64(roomAt(noon, week(age)).Sigma)
	for name, c := range map[string]struct {
		before []Lux
		rate   float64 // in one life
		word   string
	}{
		"nothing":         {nil, 0.20, ""},
		"one day":         {[]Lux{48}, 0.20 * math.Sqrt(2.0/3), ""},
		"steady":          {[]Lux{48, 48, 48, 48, 48, 48, 48}, 0.20 * math.Sqrt(2.0/9), "steady at this hour"},
		"swings":          {[]Lux{20, 110, 30, 200}, 0.80, "changing at this hour"},
		"usually another": {[]Lux{200, 200, 200, 200, 200}, 1.21, "changing at this hour"},
		"as any room":     {[]Lux{40, 57, 40, 57}, 0.19, ""},
	} {
		got := roomAt(noon, week(age, c.before...))
		h := hourOf(week(age, c.before...), len(c.before), noon)
		near(t, name+": rate", h.rate(), c.rate, 0.01)
		near(t, name+": uncertainty", float64(got.Sigma), math.Hypot(0.15, math.Min(c.rate, sigmaAgedLimit)), 0.01)
		if got.Value != 48 || strings.Contains(got.Source, "at this hour") != (c.word != "") || !strings.Contains(got.Source, c.word) {
			t.Errorf("%s: %v lx, %q", name, got.Value, got.Source)
		}
	}
	near(t, "alone", alone, math.Hypot(0.15, 0.20), 1e-12)
	fresh := roomAt(noon, week(0, 20, 110, 30, 200))
	near(t, "a reading made just now is as good as its meter, in any room", float64(fresh.Sigma), 0.15, 1e-12)
}

func TestWhatTheHourIsNot(t *testing.T) {
	const age = 3 * time.Hour
	for name, rs := range map[string][]Reading{
		"another hour of the day": {{At: noon.Add(-27 * time.Hour), Light: 500, Place: AtScreen}},
		"more than a week ago":    {{At: noon.AddDate(0, 0, -8), Light: 500, Place: AtScreen}},
		"at a print":              {{At: noon.AddDate(0, 0, -1), Light: 500, Place: AtPrint}},
		"today, before the newest": {
			{At: noon.Add(-age - time.Minute), Light: 500, Place: AtScreen}},
	} {
		h := hourOf(append(rs, week(age)...), len(rs), noon)
		if h != (hour{}) {
			t.Errorf("%s: %+v", name, h)
		}
	}
	today := []Reading{{At: noon.Add(-20 * time.Minute), Light: 500, Place: AtScreen}, {At: noon.Add(-10 * time.Minute), Light: 48, Place: AtScreen}}
	if h := hourOf(today, 1, noon); h != (hour{}) {
		t.Errorf("the last minutes are no evidence about other days: %+v", h)
	}
}

// The hour is that of the clock on the wall, also when the clocks were changed
// meanwhile: at ten in the morning, ten of last week counts.
func TestTheHourIsOfTheWall(t *testing.T) {
	winter, summer := time.FixedZone("winter", 3600), time.FixedZone("summer", 7200)
	now := time.Date(2026, 3, 30, 10, 0, 0, 0, summer)
	// A fixed zone stands for the place; what it shows of a reading's moment is
	// what time.Location of a real place does by itself.
	place, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		t.Fatal(err)
	}
	before := Reading{At: time.Date(2026, 3, 28, 10, 0, 0, 0, winter), Light: 48, Place: AtScreen}
	newest := Reading{At: now.Add(-2 * time.Hour), Light: 48, Place: AtScreen}
	if h := hourOf([]Reading{before, newest}, 1, now.In(place)); h.days != 1 {
		t.Errorf("ten o'clock before the change of clocks: %+v", h)
	}
	if h := hourOf([]Reading{before, newest}, 1, now); h.days != 0 {
		t.Errorf("an hour apart by a clock that is never changed: %+v", h)
	}
}

// As time goes by nothing jumps, and no reading is ever better than its meter.
func TestRoomUncertaintyIsContinuous(t *testing.T) {
	r := rand.New(rand.NewPCG(48, 7))
	for range 30 {
		var rs []Reading
		for range 1 + r.IntN(40) {
			ago := time.Duration(r.Int64N(int64(9 * 24 * time.Hour)))
			place := [...]Place{AtScreen, OnDesk, AtPrint}[r.IntN(3)]
			rs = append(rs, Reading{At: noon.Add(-ago), Light: Lux(math.Exp(between(r, 0, 7))), Place: place})
		}
		rs = inOrder(append(rs, Reading{At: noon, Light: 48, Place: AtScreen, Sigma: 0.1 * float64(r.IntN(3))}))
		p := tidemark(room(rs...))
		meter := p.Room.meter(rs[len(rs)-1])
		const step = time.Minute
		before := math.NaN()
		for age := time.Duration(0); age < 30*time.Hour; age += step {
			room := Resolve(p, noon.Add(age))
			c := room.Get(RoomLight)
			sigma := float64(c.Sigma)
			if sigma < meter-1e-12 || sigma > math.Hypot(meter, sigmaAgedLimit)+1e-12 {
				t.Fatalf("%v after it was read: ± %v by a meter of ± %v", age, sigma, meter)
			}
			if math.Abs(sigma-before) > 0.06 {
				t.Fatalf("%v after it was read: ± %v, a minute before ± %v", age, sigma, before)
			}
			before = sigma
		}
	}
}

// Another day of the same light never makes a reading worse, and a day of a light
// that is further off never makes it better.
func TestMoreDaysTellMore(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for range 500 {
		var lights []Lux
		for range 1 + r.IntN(6) {
			lights = append(lights, Lux(48*math.Exp(between(r, -1, 1))))
		}
		rate := func(of []Lux) float64 {
			rs := week(2*time.Hour, of...)
			return hourOf(rs, len(rs)-1, noon).rate()
		}
		with := rate(append([]Lux{48}, lights...))
		if without := rate(lights); with > without+1e-12 {
			t.Fatalf("%v: the rate is %v, with a steady day more %v", lights, without, with)
		}
		further := append([]Lux(nil), lights...)
		further[0] *= Lux(math.Exp(math.Copysign(0.3, math.Log(float64(further[0])/48))))
		if rate(further) < rate(lights) {
			t.Fatalf("%v: a day further off makes the rate smaller", lights)
		}
	}
}

func inOrder(rs []Reading) []Reading {
	for i := range rs {
		for j := i; j > 0 && rs[j].At.Before(rs[j-1].At); j-- {
			rs[j], rs[j-1] = rs[j-1], rs[j]
		}
	}
	return rs
}

func TestKelvinAndNote(t *testing.T) {
	warm := Reading{At: noon.Add(-time.Hour), Light: 40, Place: OnDesk, Kelvin: 2700}
	later := Reading{At: noon, Light: 48, Place: AtScreen, Note: "blind half down"}
	for name, c := range map[string]struct {
		readings []Reading
		now      time.Time
		k        Kelvin
		source   string
	}{
		"none":              {[]Reading{later}, noon, 4000, "read at the screen (blind half down)"},
		"read":              {[]Reading{warm}, noon, 2700, "estimated: half of what was read on the desk (light of 2700 K as read)"},
		"by the one before": {[]Reading{warm, later}, noon, 2700, "read at the screen (light of 2700 K as read; blind half down)"},
		"at its life's end": {[]Reading{warm, later}, noon.Add(3 * time.Hour), 2700, "read at the screen (light of 2700 K as read; blind half down)"},
		"fading":            {[]Reading{warm, later}, noon.Add(5 * time.Hour), 1e6 / ((1e6/2700.0 + 1e6/4000.0) / 2), "read at the screen (light of about 3200 K by an old reading; blind half down)"},
		"past two lives":    {[]Reading{warm, later}, noon.Add(7 * time.Hour), 4000, "read at the screen (blind half down)"},
		"not yet read":      {[]Reading{warm}, noon.Add(-2 * time.Hour), 4000, "assumed: no reading yet"},
		"at a print":        {[]Reading{{At: noon, Light: 300, Place: AtPrint, Kelvin: 2700}}, noon, 4000, "assumed: no reading yet"},
	} {
		p := tidemark(room(c.readings...))
		got := Resolve(p, c.now)
		if want := lampColour(c.k); math.Abs(got.lamps.X-want.X) > 1e-12 || math.Abs(got.lamps.Y-want.Y) > 1e-12 || got.Get(RoomLight).Source != c.source {
			t.Errorf("%s: lamps %v, want those of %v K; %q", name, got.lamps, c.k, got.Get(RoomLight).Source)
		}
	}
}

// TestKelvinFades: where the colour of a reading's light runs out, no hundredth of its
// age moves the colours of the picture by more than can be seen.
func TestKelvinFades(t *testing.T) {
	pic := coloured(quay(), 6)
	for _, k := range []Kelvin{2000, 9000} {
		p := tidemark(room(Reading{At: noon, Light: 300, Place: AtScreen, Kelvin: k}), around(0.95))
		at := func(age time.Duration) Against {
			c := Resolve(p, noon.Add(age))
			return Predict(&c, p.Papers[0], p.Viewings[0], &pic).Targets
		}
		before := at(0)
		for age := time.Minute; age < 12*time.Hour; age += max(time.Second, age/100) {
			got := at(age)
			near(t, "colourfulness beside that of a moment before", float64(got.Colourfulness-before.Colourfulness), 0, 0.01)
			near(t, "cast beside that of a moment before", math.Hypot(float64(got.Cast.A-before.Cast.A), float64(got.Cast.B-before.Cast.B)), 0, 0.3)
			before = got
		}
		if moved := float64(before.Cast.B - at(0).Cast.B); math.Abs(moved) < 1 {
			t.Errorf("%v K: the cast moves by %.2f in all; the test shows nothing", k, moved)
		}
	}
}

// What took a reading decides how good it is.
func TestReadingsOfALesserMeter(t *testing.T) {
	got := roomAt(noon, []Reading{{At: noon, Light: 48, Place: AtScreen, Sigma: 0.35}})
	near(t, "of a sensor", float64(got.Sigma), 0.35, 1e-12)
	p := tidemark()
	p.Displays[0].WhiteSigma = 0.3
	c := Resolve(p, noon)
	white := c.Get(ScreenLuminance)
	near(t, "a white by a camera", float64(white.Sigma), math.Hypot(0.3, sigmaWhiteAged/p.Target.RecalibrateDays), 1e-9)
	if !strings.Contains(white.Source, "camera") {
		t.Errorf("source is %q", white.Source)
	}
}

// A white that was read or set since the calibration is as old as that; what somebody
// has set is no measurement. The calibration is as old as it was.
func TestWhiteSinceTheCalibration(t *testing.T) {
	p := tidemark()
	calibrated := Resolve(p, noon)
	before := calibrated.Get(CalibrationAge)
	p.Displays[0].WhiteAt = noon.Add(-3 * time.Hour)
	aged := sigmaWhiteAged * 3 / 24 / p.Target.RecalibrateDays
	for _, c := range []struct {
		sigma, want float64
		source      string
		measured    bool
	}{
		{0.3, 0.3, "camera", true},
		{0, sigmaWhiteSaid, "set from the menu", false},
	} {
		p.Displays[0].WhiteSigma = c.sigma
		got := Resolve(p, noon)
		white := got.Get(ScreenLuminance)
		near(t, c.source, float64(white.Sigma), math.Hypot(c.want, aged), 1e-9)
		near(t, c.source+", age", float64(white.AgeHours), 3, 1e-9)
		if !strings.Contains(white.Source, c.source) || got.aged == c.measured {
			t.Errorf("source is %q, to be measured: %v", white.Source, got.aged)
		}
		if age := got.Get(CalibrationAge); age.Value != before.Value || age.AgeHours != before.AgeHours {
			t.Errorf("the calibration became %+v, it was %+v", age, before)
		}
	}
	p.Displays[0].Held = Stated(false)
	p.Readings = []Reading{{At: noon, Light: 400, Place: AtScreen}}
	bright := Resolve(p, noon)
	if got := bright.Get(ScreenLuminance).Source; !strings.Contains(got, "you said 95 cd/m²") {
		t.Errorf("in a bright room the source is %q", got)
	}
}
