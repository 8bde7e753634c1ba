package rules

import (
	"fmt"
	"math"
	"testing"
	"time"

	"lampblack/rules/colour"
)

// pcsOf is a colour of linear sRGB as pictures come, relative to D50.
func pcsOf(r, g, b float64) colour.XYZ {
	toD50 := colour.Bradford(colour.D65.XYZ(1), colour.D50.XYZ(1))
	return toD50.Mul(colour.SRGB.ToXYZ()).Apply(colour.XYZ{X: r, Y: g, Z: b})
}

// shownLightness is the L* of what is shown.
func shownLightness(l *Likeness, pcs colour.XYZ) float64 {
	c := l.Show(pcs).InGamut()
	return colour.Lightness(colour.SRGB.ToXYZ().Apply(colour.XYZ{X: c.R, Y: c.G, Z: c.B}).Y)
}

func sightOf(p *Profile) Sight { return SightOf(p, Evaluate(p, exportOf(quay()), noon), noon) }

// TestSameConditionsSamePicture: where a picture was judged as it is shown, on
// the same grey, it is shown as it is, but for what both pictures are dimmed.
func TestSameConditionsSamePicture(t *testing.T) {
	for _, p := range []*Profile{tidemark(), tidemark(white(180), lux(150)), tidemark(white(60), lux(2), notHeld)} {
		s := sightOf(p)
		for _, v := range [][3]float64{{0, 0, 0}, {0.004, 0.004, 0.004}, {0.18, 0.18, 0.18}, {1, 1, 1}, {0.7, 0.1, 0.02}, {0, 0, 1}, {0.1, 0.6, 0.3}} {
			c, dim := s.Screen.Show(pcsOf(v[0], v[1], v[2])), s.Screen.brightest()
			for i, got := range []float64{c.R, c.G, c.B} {
				near(t, fmt.Sprintf("channel %d of %v", i, v), got, dim*v[i], 2e-4)
			}
		}
	}
}

// TestSameLookSamePicture: a medium that looks like the screen shows the same, be
// it a print or a desk.
func TestSameLookSamePicture(t *testing.T) {
	p := tidemark()
	for _, v := range p.Viewings {
		print := hanging(p.Papers[1], v, 0.6).at(0.2)
		l := likeness(print, print)
		for _, y := range []float64{0.001, 0.02, 0.18, 0.9} {
			// The print's white is the screen's here, and so neutral.
			c := l.Show(colour.D50.XYZ(y))
			near(t, "red", c.R, y, 1e-6)
			near(t, "green", c.G, y, 1e-6)
			near(t, "blue", c.B, y, 1e-6)
		}
	}
}

// TestDarkerPlaceDarkerPrint: the less light on the print, the darker it is
// shown, beside the same picture on the screen.
func TestDarkerPlaceDarkerPrint(t *testing.T) {
	grey := colour.D50.XYZ(0.18)
	before := math.Inf(1)
	for _, on := range []Lux{400, 200, 100, 50, 20} {
		p := tidemark()
		p.Viewings[0].Light = Stated(on)
		s := sightOf(p)
		got := shownLightness(&s.Print, grey)
		if !(got < before) {
			t.Errorf("at %g lx the grey is shown at L* %.2f, after %.2f in more light", float64(on), got, before)
		}
		before = got
	}
}

// TestBrighterJudgedDarkerPrint: the brighter the screen was on which a picture
// was judged, the further the print falls behind it.
func TestBrighterJudgedDarkerPrint(t *testing.T) {
	grey := colour.D50.XYZ(0.18)
	before := 0.0
	for _, w := range []Luminance{70, 95, 140, 220} {
		judged, now := tidemark(white(w)), tidemark()
		s := SightOf(now, Evaluate(judged, exportOf(quay()), noon), noon)
		gap := shownLightness(&s.Screen, grey) - shownLightness(&s.Print, grey)
		if !(gap > before) {
			t.Errorf("judged at %g cd/m² the print is %.2f L* darker, after %.2f", float64(w), gap, before)
		}
		before = gap
	}
}

// TestNothingIsClippedInWhite: neither picture's white is too bright to be shown,
// and one of them is as bright as can be unless both are dimmer than the screen.
func TestNothingIsClippedInWhite(t *testing.T) {
	r := seeded(3)
	for range 200 {
		p, pic := randomDesk(r), randomPicture(r)
		s := SightOf(p, Evaluate(p, exportOf(pic), noon), noon)
		brightest := max(s.Screen.brightest(), s.Print.brightest())
		if brightest > 1+1e-9 {
			t.Errorf("a white is shown at %.4f", brightest)
		}
	}
}

// TestInGamut: a colour that sRGB has stays; any other ends inside and keeps its
// luminance as far as there is such a grey.
func TestInGamut(t *testing.T) {
	random, w := seeded(5), colour.SRGB.ToXYZ()[1]
	y := func(c RGB) float64 { return w[0]*c.R + w[1]*c.G + w[2]*c.B }
	for range 2000 {
		c := RGB{3*random.Float64() - 1, 3*random.Float64() - 1, 3*random.Float64() - 1}
		got := c.InGamut()
		if min(got.R, got.G, got.B) < 0 || max(got.R, got.G, got.B) > 1 {
			t.Fatalf("%g became %g", c, got)
		}
		near(t, "luminance", y(got), min(1, max(0, y(c))), 1e-9)
		moved := math.Abs(got.R-c.R) + math.Abs(got.G-c.G) + math.Abs(got.B-c.B)
		if min(c.R, c.G, c.B) >= 0 && max(c.R, c.G, c.B) <= 1 && moved > 1e-12 {
			t.Fatalf("%g, which there is, became %g", c, got)
		}
	}
}

// TestToneCurve: it rises, starts above black where the paper's black is lighter
// than the screen's, and says of greys what the pictures show of them.
func TestToneCurve(t *testing.T) {
	// In light of the screen's own colour: nothing has to be dimmed to show it.
	s := sightOf(tidemark(func(p *Profile) { p.Viewings[0].Lamps = Stated[Kelvin](6000) }))
	if s.Tones.Lost < 3 || s.Tones.Lost > 25 {
		t.Errorf("tones below L* %.1f are lost on a matt paper", s.Tones.Lost)
	}
	before := -1.0
	for _, p := range s.Tones.Points {
		if !(p.Print > before) {
			t.Errorf("at L* %g the curve falls from %.2f to %.2f", p.File, before, p.Print)
		}
		before = p.Print
		near(t, "shown", shownLightness(&s.Print, colour.D50.XYZ(colour.FromLightness(p.File))), p.Print, 1.5)
	}
	glossy := tidemark(func(p *Profile) { p.Papers[0].DMax = Stated(2.4) })
	if deeper := sightOf(glossy).Tones.Lost; deeper >= s.Tones.Lost {
		t.Errorf("a paper of deeper black loses tones up to L* %.1f, a matt one up to %.1f", deeper, s.Tones.Lost)
	}
}

// TestEdgeOfTheCurve: below the curve's edge a prediction has the least shift there is.
func TestEdgeOfTheCurve(t *testing.T) {
	p := tidemark()
	r := Evaluate(p, exportOf(quay()), noon)
	lost := SightOf(p, r, noon).Tones.Lost
	for _, c := range r.Prediction.Viewing.Curve {
		least := float64(r.Prediction.Viewing.Unabsorbed) - 2
		if l := colour.Lightness(c.Y); l < lost && math.Abs(float64(c.Shift)-least) > 1e-12 {
			t.Errorf("L* %.1f is below %.1f and shifted by %.2f, not %.2f", l, lost, float64(c.Shift), least)
		}
	}
}

// TestSightKeepsTheConditionsOfTheExport: what the desk is now moves neither the
// curve nor how the two pictures differ.
func TestSightKeepsTheConditionsOfTheExport(t *testing.T) {
	r := Evaluate(tidemark(white(180), around(0.003), lux(90), notHeld), exportOf(quay()), noon)
	then := SightOf(tidemark(white(180), around(0.003), lux(90), notHeld), r, noon).Tones
	for _, p := range []*Profile{tidemark(white(95)), tidemark(around(0.9), readAgo(10, time.Hour))} {
		now := SightOf(p, r, noon).Tones
		for i := range now.Points {
			near(t, "a tone", now.Points[i].Print, then.Points[i].Print, 0.05)
		}
	}
}

// TestSightOfADamagedReport: a report that was edited by hand gives some picture.
func TestSightOfADamagedReport(t *testing.T) {
	nan := Unknown
	for _, v := range []Figure{nan, Figure(math.Inf(1)), -5, 0, 1e300} {
		r := Evaluate(tidemark(), exportOf(quay()), noon)
		for i := range r.Conditions {
			r.Conditions[i].Value = v
		}
		r.Picture.MeanY = float64(v)
		if math.IsNaN(r.Picture.MeanY) {
			r.Picture.MeanY = -1
		}
		s := SightOf(tidemark(), r, noon)
		if got := shownLightness(&s.Print, colour.D50.XYZ(0.18)); !(got >= 0 && got <= 100) {
			t.Errorf("with %g everywhere a grey is shown at L* %g", float64(v), got)
		}
	}
}

func TestRoomLight(t *testing.T) {
	p := tidemark(room(
		Reading{At: noon.Add(-50 * time.Hour), Light: 11, Place: AtScreen},
		Reading{At: noon.Add(-3 * time.Hour), Light: 80, Place: OnDesk},
		Reading{At: noon.Add(-2 * time.Hour), Light: 300, Place: AtPrint},
		Reading{At: noon.Add(-time.Hour), Light: 40, Place: AtScreen},
		Reading{At: noon.Add(time.Hour), Light: 12, Place: AtScreen},
	))
	var got []Lux
	for _, r := range p.RoomLight(noon.Add(-48*time.Hour), noon) {
		got = append(got, r.Light)
	}
	if fmt.Sprint(got) != "[40 40]" {
		t.Errorf("the light was %v, want what was read at the screen, and half of what was read on the desk", got)
	}
}

// BenchmarkShow: one pixel.
func BenchmarkShow(b *testing.B) {
	s := sightOf(tidemark())
	grey := pcsOf(0.3, 0.2, 0.1)
	for b.Loop() {
		s.Print.Show(grey)
	}
}
