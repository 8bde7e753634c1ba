package rules

import (
	"fmt"
	"math"
	"testing"
)

// unstated is Tidemark with a profile that states no references: the middle of each range.
func unstated(p *Profile) {
	t := &p.Target
	t.ReferenceWhite = Luminance(t.White.Middle())
	t.ReferenceRoom = Lux(RoomRange(t.Room).Middle())
}

// TestNoCornerIsAFault: a desk anywhere within its targets, at their corners too, prints
// neither dark nor light by the verdict, however prints are judged, where the profile
// states no references.
func TestNoCornerIsAFault(t *testing.T) {
	pics := map[string]Picture{"the quay": quay(), "an even one": coloured(graded(45, 19, 60), 12), "a hard one": coloured(graded(38, 30, 60), 12)}
	for _, w := range []Luminance{90, 120} {
		for _, room := range []Lux{16, 64} {
			for _, y := range []float64{0.15, 0.30} {
				for _, k := range []Kelvin{5600, 6500} {
					for _, way := range []Judging{ByItself, JudgedUnsaid, Beside} {
						for name, pic := range pics {
							p := tidemark(unstated, white(w), lux(room), around(y), whitePointOf(k))
							p.Judged = way
							if r := Evaluate(p, exportOf(pic), noon); r.Verdict == Darker || r.Verdict == Lighter {
								t.Errorf("%s, %g cd/m², %g lx, surround %g, %g K, judged %q: %s (%+v)",
									name, float64(w), float64(room), y, float64(k), way, r.Verdict, r.Prediction.Targets.Spread.Whole)
							}
						}
					}
				}
			}
		}
	}
}

// TestMiddle: 104 of 90 to 120 cd/m², 32 of 16 to 64 lx.
func TestMiddle(t *testing.T) {
	near(t, "white", Range{90, 120}.Middle(), 103.9, 0.05)
	near(t, "room", RoomRange(64).Middle(), 32, 1e-9)
	if got := (Target{Room: 64, ReferenceRoom: 32}).room(); got != (Range{16, 64}) {
		t.Errorf("a room of up to 64 lx is in target at %v", got)
	}
	if got := (Target{Room: 64, ReferenceRoom: 10}).room(); got != (Range{10, 64}) {
		t.Errorf("a reference of 10 lx is in its own target of %v", got)
	}
}

// TestProofLight: beside the screen, in a proof light of 500 lx on paper of 0.88, the
// white should be 140 cd/m², a quarter of a stop either way; by itself, without the light,
// and where the profile states the white, it is the profile's target.
func TestProofLight(t *testing.T) {
	lamp := func(on Lux) Viewing {
		return Viewing{"bench lamp", Stated(on), Stated[Kelvin](5000), Stated(GreyMat), Stated(NoGlazing)}
	}
	for _, c := range []struct {
		way     Judging
		proof   string
		on      Lux
		stated  bool
		ref     float64
		low, up float64
	}{
		{Beside, "bench lamp", 500, false, 140.1, 117.8, 160},
		{Beside, "bench lamp", 2000, false, 160, 134.5, 160},
		{Beside, "bench lamp", 100, false, 80, 80, 95.1},
		{Beside, PrintPractical, 1, false, 140.1, 117.8, 160},
		{Beside, "bench lamp", 500, true, 95, 90, 120},
		{Beside, "", 500, false, 95, 90, 120},
		{Beside, "no such place", 500, false, 95, 90, 120},
		{ByItself, "bench lamp", 500, false, 95, 90, 120},
		{JudgedUnsaid, "bench lamp", 500, false, 95, 90, 120},
	} {
		p := tidemark(func(p *Profile) {
			p.Viewings = append(p.Viewings, lamp(c.on))
			p.Papers[0].White = Stated(0.88)
			p.Judged, p.Target.WhiteStated = c.way, c.stated
		})
		f := Folder{Purpose: ForPrint, Paper: p.Papers[0].Name, Proof: c.proof}
		what := fmt.Sprintf("judged %q, proof %q of %g lx", c.way, c.proof, float64(c.on))
		got := ResolveFor(p, f, noon).target
		near(t, what+", reference", float64(got.ReferenceWhite), c.ref, 0.1)
		near(t, what+", low", got.White.Low, c.low, 0.1)
		near(t, what+", high", got.White.High, c.up, 0.1)
		p.Folders = []Folder{{Purpose: ForScreen}, f}
		if menu := Resolve(p, noon).target; menu != got {
			t.Errorf("%s: the menu has the target %+v, the folder %+v", what, menu, got)
		}
	}
}

// TestMostWhite: what drifts ends at what the panel can do, stated or usual.
func TestMostWhite(t *testing.T) {
	for _, c := range []struct {
		white, most Luminance
		room        Lux
		want        float64
	}{
		{110, 0, 100_000, 350},
		{110, 250, 100_000, 250},
		{400, 0, 100_000, 400},
		{110, 350, 96, 110 * math.Pow(2, 0.3)},
		{110, 100, 96, 110}, // a panel is what was measured of it, at least
	} {
		p := tidemark(white(c.white), lux(c.room), notHeld, func(p *Profile) { p.Displays[0].Most = c.most })
		r := Resolve(p, noon)
		near(t, "white", float64(r.now().screen.White), c.want, 1e-6)
	}
}
