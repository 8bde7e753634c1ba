package rules

import (
	"math"
	"slices"
	"testing"
)

// TestShapleyPublished: the glove game, in every textbook of cooperative games
// (its value by L. S. Shapley's formula of 1953): player 0 has a left glove, 1
// and 2 a right one each, and a pair is worth 1. The values are 2/3, 1/6, 1/6.
func TestShapleyPublished(t *testing.T) {
	value := make([]float64, 8)
	for set := range value {
		if set&1 != 0 && set&6 != 0 {
			value[set] = 1
		}
	}
	for i, want := range []float64{2.0 / 3, 1.0 / 6, 1.0 / 6} {
		near(t, "share", shapley(value, 3, i), want, 1e-12)
	}
}

// TestShapleyByHand: games whose shares one can see.
func TestShapleyByHand(t *testing.T) {
	for _, c := range []struct {
		name  string
		value []float64 // by set: none, a, b, ab
		want  [2]float64
	}{
		{"symmetric", []float64{0, 1, 1, 5}, [2]float64{2.5, 2.5}},
		{"additive", []float64{0, 1, 3, 4}, [2]float64{1, 3}},
		{"dummy", []float64{0, 2, 0, 2}, [2]float64{2, 0}},
		{"against each other", []float64{0, 2, -3, -1}, [2]float64{2, -3}},
		{"a start that is not nothing", []float64{7, 8, 10, 11}, [2]float64{1, 3}},
	} {
		for i, want := range c.want {
			if got := shapley(c.value, 2, i); math.Abs(got-want) > 1e-12 {
				t.Errorf("%s: share %d is %g, want %g", c.name, i, got, want)
			}
		}
	}
}

// TestCausesAddUp: the shares of all six make up the whole shift, whatever the desk.
func TestCausesAddUp(t *testing.T) {
	r := seeded(3)
	for range 100 {
		p, pic := randomDesk(r), randomPicture(r)
		c := Resolve(p, noon)
		want := float64(Predict(&c, p.Papers[0], p.Viewings[0], &pic).Targets.Shift.Whole)
		var sum float64
		var names []string
		for _, cause := range causes(&c, &pic) {
			sum += float64(cause.Stops)
			names = append(names, cause.Name)
		}
		near(t, "sum of the causes", sum, want, 1e-9)
		slices.Sort(names)
		six := []string{CalibrationAge, Glare, RoomLight, ScreenLuminance, SurroundGrey, WhitePoint}
		if !slices.Equal(names, six) {
			t.Fatalf("causes %q, want %q", names, six)
		}
	}
}

// TestOneDeparture: where one condition departs, the whole share is its. The
// room's light departs in two ways, as surround and as glare.
func TestOneDeparture(t *testing.T) {
	pic := quay()
	for name, change := range map[string]func(*Profile){
		ScreenLuminance: white(200),
		WhitePoint:      whitePointOf(5000),
		RoomLight:       lux(4),
		SurroundGrey:    around(0.003),
	} {
		p := tidemark(change)
		c := Resolve(p, noon)
		want := float64(Predict(&c, p.Papers[0], p.Viewings[0], &pic).Targets.Shift.Whole)
		got := causes(&c, &pic)
		near(t, name, float64(ofCondition(name, got).Stops), want, 1e-9)
		for _, cause := range got {
			if conditionOf(cause.Name) != name {
				near(t, cause.Name+" beside "+name, float64(cause.Stops), 0, 1e-9)
			}
		}
	}
}

// TestGlare: the shares of one room's light as glare and as surround are those of
// a game of two, worked by hand: the mean of being first and of being second.
func TestGlare(t *testing.T) {
	pic := quay()
	c := Resolve(tidemark(lux(300), mirror), noon)
	now, target := c.now(), c.reference()
	with := func(room, on Lux) float64 {
		d := target
		d.room, d.screen.On = room, on
		return wholeShift(d, target, &pic)
	}
	none, both := with(target.room, target.screen.On), with(now.room, now.screen.On)
	glare, surround := with(target.room, now.screen.On), with(now.room, target.screen.On)
	got := causes(&c, &pic)
	for name, want := range map[string]float64{
		Glare:     (glare - none + both - surround) / 2,
		RoomLight: (surround - none + both - glare) / 2,
	} {
		for _, cause := range got {
			if cause.Name == name {
				near(t, name, float64(cause.Stops), want, 1e-9)
			}
		}
	}
	if glare <= none || surround >= none {
		t.Errorf("a bright room: its veil moves the print by %+.2f, want darker; its surround by %+.2f, want lighter", glare-none, surround-none)
	}
}

// TestDriftIsTheScreens: when a bright room makes people turn up the screen,
// the screen takes that share, and the room the share of its glare.
func TestDriftIsTheScreens(t *testing.T) {
	pic := quay()
	share := func(changes ...func(*Profile)) map[string]float64 {
		c := Resolve(tidemark(changes...), noon)
		shares := map[string]float64{}
		for _, cause := range causes(&c, &pic) {
			shares[cause.Name] = float64(cause.Stops)
		}
		return shares
	}
	held, drifted := share(lux(400)), share(lux(400), notHeld)
	near(t, "screen that is held", held[ScreenLuminance], 0, 1e-9)
	if drifted[ScreenLuminance] < 0.2 {
		t.Errorf("screen that is turned up: %+.2f", drifted[ScreenLuminance])
	}
}

func TestCausesOrder(t *testing.T) {
	c := Resolve(offTarget(), noon)
	pic := quay()
	got := causes(&c, &pic)
	if len(got) != len(departures) {
		t.Fatalf("%d causes: %v", len(got), got)
	}
	for i := 1; i < len(got); i++ {
		if math.Abs(float64(got[i].Stops)) > math.Abs(float64(got[i-1].Stops)) {
			t.Errorf("cause %d is larger than the one before: %v", i, got)
		}
	}
}

func TestMainCause(t *testing.T) {
	shares := []Cause{{RoomLight, -0.4}, {ScreenLuminance, 0.3}, {SurroundGrey, 0.1}}
	veiled := []Cause{{Glare, 0.3}, {RoomLight, -0.25}, {ScreenLuminance, 0.1}}
	room := []Cause{{ScreenLuminance, 0.3}, {Glare, 0.2}, {RoomLight, 0.15}}
	for _, c := range []struct {
		verdict Verdict
		causes  []Cause
		want    string
	}{
		{Darker, shares, ScreenLuminance},
		{Drab, shares, ScreenLuminance},
		{Lighter, shares, RoomLight},
		{Darker, shares[:1], ""},
		{Darker, veiled, ScreenLuminance}, // a dimmer room would win 0.05
		{Lighter, veiled, ""},
		{Darker, room, RoomLight},
		{Darker, nil, ""},
		{Darker, []Cause{{RoomLight, Unknown}}, ""},
	} {
		got, ok := mainCause(c.verdict, c.causes)
		if got.Name != c.want || ok != (c.want != "") {
			t.Errorf("%s of %v: %q, %v; want %q", c.verdict, c.causes, got.Name, ok, c.want)
		}
	}
}
