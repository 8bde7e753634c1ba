package agent

import (
	"context"
	"errors"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/tray"
	"lampblack/config"
	"lampblack/rules"
)

// fakeSensor is a sensor that takes its time.
type fakeSensor struct {
	light  atomic.Int64 // mlx; below 0 it fails
	looked atomic.Int64
}

const sensorTime = 400 * time.Millisecond

func (f *fakeSensor) Read(ctx context.Context) (rules.Lux, error) {
	f.looked.Add(1)
	select {
	case <-time.After(sensorTime):
	case <-ctx.Done():
		return 0, ctx.Err()
	}
	if v := f.light.Load(); v >= 0 {
		return rules.Lux(v) / 1000, nil
	}
	return 0, errors.New("this machine has none: take out sensor under [room]")
}

func TestSensorIsOffByDefault(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		f := &fakeSensor{}
		s.sensor = f
		s.begin()
		s.export("to-print/fog.tif")
		s.wait(time.Hour)
		s.end()
		if f.looked.Load() != 0 || len(s.readings()) != 0 {
			t.Errorf("looked at %d times, logged %+v", f.looked.Load(), s.readings())
		}
	})
}

func TestSensor(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		s.lightDesk("sensor = true")
		f := &fakeSensor{}
		f.light.Store(40_000)
		s.sensor = f
		s.begin()
		s.wait(time.Second)
		if rs := s.readings(); len(rs) != 1 || rs[0].Light != 40 || rs[0].Note != "light sensor" || rs[0].Sigma != sigmaSensor || rs[0].Place != rules.AtScreen {
			t.Fatalf("logged %+v", rs)
		}

		// The light has changed a little: the export that arrives knows, the log needn't.
		f.light.Store(45_000)
		s.wait(2 * time.Minute)
		s.export("to-print/fog.tif")
		s.export("to-print/quay.tif")
		s.wait(2 * time.Second)
		if len(s.journal) != 2 || len(s.readings()) != 1 || f.looked.Load() != 2 {
			t.Fatalf("%d exports, %d readings, looked at %d times", len(s.journal), len(s.readings()), f.looked.Load())
		}
		for _, e := range s.journal {
			if c := e.Report.Condition(rules.RoomLight); c.Value != 45 || float64(c.Sigma) != sigmaSensor || !strings.Contains(c.Source, "light sensor") {
				t.Errorf("the room was %+v", c)
			}
		}

		// What was read by hand counts from then on, until the sensor is read again.
		s.wait(time.Minute)
		s.click(tray.Command{Kind: tray.LogLight, Lux: 60})
		s.wait(time.Second)
		if !s.inMenu(" 60 lx, read at the screen ") {
			t.Errorf("the menu shows %q", s.menu())
		}

		// More than a third is worth a line, and so is an hour.
		f.light.Store(80_000)
		s.wait(10 * time.Minute)
		if rs := s.readings(); len(rs) != 3 || rs[2].Light != 80 {
			t.Fatalf("logged %+v", rs)
		}
		before := f.looked.Load()
		s.wait(time.Hour + 5*time.Minute)
		if rs := s.readings(); len(rs) != 4 || rs[3].Light != 80 {
			t.Errorf("logged %+v", rs)
		}
		if n := f.looked.Load() - before; n > int64((time.Hour+5*time.Minute)/(5*time.Minute))+1 {
			t.Errorf("in an hour it was looked at %d times", n)
		}

		// A sensor that has gone is one sentence, and its last reading ages.
		f.light.Store(-1)
		s.wait(10 * time.Minute)
		if got := s.troubles(); len(got) != 1 || !strings.HasPrefix(got[0], "Light sensor: this machine has none") {
			t.Errorf("troubles %q", got)
		}
		s.newProfile()
		s.edited()
		s.wait(time.Second)
		if got := s.troubles(); len(got) != 0 {
			t.Errorf("troubles of a sensor that isn't asked for: %q", got)
		}
		s.end()
	})
}

func TestWorthLogging(t *testing.T) {
	at := func(minutes int, lux rules.Lux) rules.Reading {
		return rules.Reading{At: morning.Add(time.Duration(minutes) * time.Minute), Light: lux, Note: sensorNote}
	}
	byHand := rules.Reading{At: morning.Add(50 * time.Minute), Light: 400}
	for name, c := range map[string]struct {
		logged []rules.Reading
		next   rules.Reading
		want   bool
	}{
		"the first":        {nil, at(0, 48), true},
		"none of its own":  {[]rules.Reading{byHand}, at(60, 48), true},
		"the same":         {[]rules.Reading{at(0, 48), byHand}, at(59, 48), false},
		"an hour later":    {[]rules.Reading{at(0, 48)}, at(60, 48), true},
		"a third brighter": {[]rules.Reading{at(0, 48)}, at(5, 66), true},
		"a quarter darker": {[]rules.Reading{at(0, 48)}, at(5, 35), true},
		"a little":         {[]rules.Reading{at(0, 48)}, at(5, 60), false},
		"in the dark":      {[]rules.Reading{at(0, 0)}, at(5, 0.2), false},
	} {
		if got := worthLogging(c.logged, c.next); got != c.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// TestSenseByWallClock: while a laptop sleeps the monotonic clock stands still, and
// with it the age of what was read by it.
func TestSenseByWallClock(t *testing.T) {
	p := config.Default()
	p.Room.Sensor = true
	d := &desk{profile: p}
	asked := func(now time.Time) (at time.Time, ok bool) {
		d.sensing.asked = false
		return d.askSensor(now, senseEvery)
	}
	now := time.Now()
	at, ok := asked(now)
	if !ok || at != now.Round(0) {
		t.Errorf("asked at %v, %v", at, ok)
	}
	if _, ok = asked(now.Add(150 * time.Second)); ok {
		t.Error("asked again at once")
	}
	if _, ok = asked(now.Add(-time.Hour)); !ok {
		t.Error("not asked after the clock was set back")
	}
}

// TestWithSensor: a command asks the sensor once, for itself, and only where the
// profile wants it; without an answer the profile stays as it is.
func TestWithSensor(t *testing.T) {
	for _, tt := range []struct {
		name    string
		wanted  bool
		mlx     int64
		want    rules.Figure // the room, lx
		trouble string
	}{
		{"wanted", true, 130_000, 130, ""},
		{"not wanted", false, 130_000, 41, ""},
		{"without an answer", true, -1, 41, "Light sensor: this machine has none: take out sensor under [room]"},
	} {
		synctest.Test(t, func(t *testing.T) {
			f, now, p := &fakeSensor{}, time.Now(), config.Default()
			f.light.Store(tt.mlx)
			p.Room.Sensor = tt.wanted
			p.Readings = []rules.Reading{{At: now.Add(-time.Hour), Light: 41, Place: rules.AtScreen}}
			q, trouble := WithSensor(t.Context(), p, f, now)
			c := rules.Resolve(q, now)
			if got := c.Get(rules.RoomLight).Value; got != tt.want || trouble != tt.trouble || len(p.Readings) != 1 {
				t.Errorf("%s: the room is %v lx, %q", tt.name, got, trouble)
			}
		})
	}
}
