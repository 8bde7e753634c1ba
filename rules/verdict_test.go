package rules

import "testing"

func TestJudge(t *testing.T) {
	q := tidemark().Quiet // sure at 0.6
	for _, c := range []struct {
		name                  string
		darker, lighter, drab float64
		far                   string
		want                  Verdict
	}{
		{"nothing at all", 0, 0, 0, "", Holds},
		{"a little of everything", 0.2, 0.2, 0.3, "", Holds},
		{"dark or light, together too likely", 0.3, 0.3, 0, "", Unsure},
		{"just sure that it is not dark", 0.4, 0, 0, "", Holds},
		{"neither dark nor not dark", 0.41, 0, 0, "", Unsure},
		{"nearly sure", 0.59, 0, 0, "", Unsure},
		{"sure of dark", 0.6, 0, 0, "", Darker},
		{"sure of light", 0, 0.6, 0, "", Lighter},
		{"neither light nor not light", 0, 0.5, 0, "", Unsure},
		{"sure of drab", 0, 0, 0.6, "", Drab},
		{"neither drab nor not drab", 0, 0, 0.5, "", Unsure},
		{"dark before drab", 0.7, 0, 0.9, "", Darker},
		{"drab before light", 0, 0.9, 0.7, "", Drab},
		{"dark or light, and no telling which", 0.5, 0.5, 0, "", Unsure},
		{"far out, and nothing expected", 0, 0, 0, RoomLight, Unsure},
		{"far out, and sure of dark all the same", 0.8, 0, 0, RoomLight, Darker},
		{"far out, and sure of drab all the same", 0, 0, 0.8, RoomLight, Drab},
		{"far out, and sure of light", 0, 0.8, 0, CalibrationAge, Unsure},
	} {
		if got := judge(Spread{Darker: c.darker, Lighter: c.lighter, Drab: c.drab}, c.far, q); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestWarns(t *testing.T) {
	for v, want := range map[Verdict]bool{Holds: false, Darker: true, Lighter: false, Drab: true, Unsure: true, Unread: false} {
		if v.Warns() != want {
			t.Errorf("%s warns: %v", v, !want)
		}
	}
}

// TestVerdicts is the way from a desk to a verdict.
func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		name    string
		changes []func(*Profile)
		want    Verdict
	}{
		{"everything right", nil, Holds},
		{"middle of the target", []func(*Profile){white(105)}, Holds},
		{"bright screen", []func(*Profile){white(200)}, Darker},
		{"black surround", []func(*Profile){around(0.003)}, Darker},
		{"hardly any light", []func(*Profile){lux(2)}, Darker},
		{"white surround, which flattens what it lightens", []func(*Profile){around(0.95)}, Drab},
		{"light surround", []func(*Profile){around(0.5)}, Lighter},
		{"dim screen", []func(*Profile){white(50)}, Lighter},
		{"no reading", []func(*Profile){room()}, Unsure},
		{"screen of unknown age", []func(*Profile){measured(400)}, Unsure},
		{"bright room, screen held", []func(*Profile){lux(150)}, Unsure},
		{"bright room, screen turned up", []func(*Profile){white(110), lux(600), notHeld}, Darker},
	} {
		r := evaluated(c.changes...)
		if r.Verdict != c.want {
			t.Errorf("%s: %s (%+v), want %s", c.name, r.Verdict, *r.Prediction.Targets.Spread, c.want)
		}
	}
}
