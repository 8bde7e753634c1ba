package rules

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// seenAt is the quay's report at a desk at its targets, to be seen at a place that the
// profile or a standard names.
func seenAt(place string, changes ...func(*Profile)) *Report {
	e := exportOf(quay())
	e.Folder.Viewing = place
	return Evaluate(tidemark(changes...), e, noon)
}

// TestNamedViewings: ISO 3664 P1 has 2000 lx, P2 500 lx of D50 on grey (read in
// secondary sources); a folder can name them, and a place of the profile comes
// before a standard of the same name.
func TestNamedViewings(t *testing.T) {
	for name, want := range map[string]Lux{PrintCritical: 2000, PrintPractical: 500} {
		v, ok := StandardViewing(name)
		if !ok || v.Name != name || v.Light.Value != want || v.Mat.Value != GreyMat || v.Glazing.Value != NoGlazing {
			t.Errorf("%s: %+v", name, v)
		}
		near(t, "temperature of D50", float64(v.Lamps.Value), 5003, 0.5)
		r := seenAt(name)
		if r.Viewing != name || slices.ContainsFunc(r.Notes, func(n string) bool { return strings.Contains(n, "viewing") }) || float64(r.Prediction.Match.There) != float64(want) {
			t.Errorf("%s: seen at %q in %v lx, notes %q", name, r.Viewing, r.Prediction.Match.There, r.Notes)
		}
	}
	if _, ok := StandardViewing("ISO 3664 P3"); ok {
		t.Error("a standard that does not exist")
	}
	if _, ok := StandardViewing(""); ok {
		t.Error("a standard without a name")
	}
	own := seenAt(PrintCritical, func(p *Profile) { p.Viewings[1].Name = PrintCritical })
	if own.Prediction.Match.There != 500 {
		t.Errorf("the profile's own place of that name has 500 lx, not %v", own.Prediction.Match.There)
	}
}

// TestP1AgainstP2: four times the light is two stops, of which adaptation leaves
// 0.22 where nobody has said how prints are judged; the print of one file looks lighter under P1, in every zone.
func TestP1AgainstP2(t *testing.T) {
	p1, p2 := seenAt(PrintCritical).Prediction.Viewing, seenAt(PrintPractical).Prediction.Viewing
	near(t, "P2 - P1", float64(p2.Shift.Whole-p1.Shift.Whole), 2*0.22, 0.06)
	for name, zone := range map[string][2]Figure{
		"shadows":    {p1.Shift.Shadows, p2.Shift.Shadows},
		"midtones":   {p1.Shift.Midtones, p2.Shift.Midtones},
		"highlights": {p1.Shift.Highlights, p2.Shift.Highlights},
	} {
		if !(zone[0] < zone[1]) {
			t.Errorf("%s: %+.2f under P1, %+.2f under P2", name, float64(zone[0]), float64(zone[1]))
		}
	}
	// A proof booth is far above what 95 cd/m² matches: the print looks light.
	if p1.Shift.Whole > -0.5 || p2.Shift.Whole > -0.2 {
		t.Errorf("P1 %+.2f, P2 %+.2f: want both lighter than a screen of 95 cd/m²", float64(p1.Shift.Whole), float64(p2.Shift.Whole))
	}
}

// TestMatchReported: the light that matches is E = π·L/R: 339 lx for 95 cd/m² on
// R 0.88, 713 lx for 200.
func TestMatchReported(t *testing.T) {
	r := evaluated(white(200), func(p *Profile) { p.Papers[0].White = Stated(0.88) })
	m := r.Prediction.Match
	near(t, "at the targets", float64(m.Targets), 339.1, 0.1)
	near(t, "now", float64(m.Now), 714.0, 0.1)
	near(t, "there", float64(m.There), 200, 0)
	drifted := evaluated(notHeld, lux(180), func(p *Profile) { p.Papers[0].White = Stated(0.88) })
	near(t, "of a screen turned up", float64(drifted.Prediction.Match.Now)*0.88/math.Pi, float64(drifted.Conditions[0].Value), 1e-9)
}

// TestMatchingLightMatches: in light that matches, the print's white is the
// screen's, and what is left of the shift is paper, mat and surround: little in
// the highlights.
func TestMatchingLightMatches(t *testing.T) {
	match := Lux(evaluated().Prediction.Match.Now)
	r := evaluated(func(p *Profile) {
		p.Viewings[0] = Viewing{"hall wall", Stated(match), Stated(d50), Stated(GreyMat), Stated(NoGlazing)}
		p.Papers[0].DMax = Stated(2.4)
	})
	near(t, "highlights", float64(r.Prediction.Viewing.Shift.Highlights), 0, 0.1)
}

// TestPrintsInEveryLight: from 50 to 2000 lx the same print looks ever lighter, by
// about beta a stop of light and never more than a stop a stop, and nothing jumps.
func TestPrintsInEveryLight(t *testing.T) {
	pic := quay()
	for _, lamps := range []Kelvin{2700, 5000} {
		p := tidemark(func(p *Profile) { p.Viewings[0].Lamps = Stated(lamps) })
		before := atWall(p, &pic, 50)
		for on := Lux(50 * 1.01); on <= 2000; on *= 1.01 {
			got := atWall(p, &pic, on)
			if got >= before || before-got > math.Log2(1.01) {
				t.Fatalf("%g K, %.1f lx: shift %+.4f after %+.4f", float64(lamps), float64(on), got, before)
			}
			before = got
		}
		near(t, "from 50 to 2000 lx", atWall(p, &pic, 50)-atWall(p, &pic, 2000), 0.22*math.Log2(40), 0.25)
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

// TestViewingRemedy: the only light that is asked for is the one in which the paper is as
// bright as the screen, where it helps, and where a lamp may be asked for it.
func TestViewingRemedy(t *testing.T) {
	hangingAt := func(on Lux) func(*Profile) {
		return func(p *Profile) { p.Viewings[0].Light, p.Viewings[0].Mat = Stated(on), Stated(GreyMat) }
	}
	beside := func(p *Profile) { p.Judged = Beside }
	dim := func(p *Profile) { p.Target.ReferenceWhite, p.Target.White.Low = 78, 70 }
	pic := quay()
	for _, c := range []struct {
		name    string
		proof   string
		changes []func(*Profile)
		says    string // empty: nothing is asked for
	}{
		{"a dim wall and a screen to match", "", []func(*Profile){hangingAt(70), beside, dim, white(78)},
			"Light the print at hall wall with about 270 lx, in which the paper is as bright as the screen."},
		{"more than a lamp may be asked for", "", []func(*Profile){hangingAt(70), beside}, ""},
		{"where prints are judged, too", "hall wall", []func(*Profile){hangingAt(70), beside},
			"Light the print at hall wall with about 330 lx, in which the paper is as bright as the screen."},
		{"a screen of 400 cd/m²", "hall wall", []func(*Profile){hangingAt(70), beside, white(400)}, ""},
		{"as bright as the screen already", "", []func(*Profile){hangingAt(280), beside, dim, white(78)}, ""},
		{"judged by itself, light makes up for nothing", "hall wall", []func(*Profile){hangingAt(70), func(p *Profile) { p.Judged = ByItself }}, ""},
	} {
		p, e := tidemark(c.changes...), exportOf(pic)
		e.Folder.Proof = c.proof
		p.Target.WhiteStated = true
		m := Evaluate(p, e, noon).offered(ViewingLight)
		if c.says == "" {
			if m.Value.Known() {
				t.Errorf("%s: %+v", c.name, m)
			}
			continue
		}
		near(t, c.name+", left", atWall(p, &pic, Lux(m.Value)), float64(m.Left), 1e-9)
		if !m.Caution {
			t.Errorf("%s: no caution about the lamp", c.name)
		}
		for _, says := range []string{c.says, "Light fades prints: displayed prints are kept at 50 to 200 lx"} {
			if !strings.Contains(m.Text, says) {
				t.Errorf("%s: %q doesn't say %q", c.name, m.Text, says)
			}
		}
	}
}

// TestMatsDim: the lighter the mat, the darker the print looks (simultaneous
// contrast, common practice), through the whole line; a wall of 0.5 lies between
// grey and cream.
func TestMatsDim(t *testing.T) {
	before := Figure(math.Inf(-1))
	for _, mat := range []Mat{BlackMat, GreyMat, NoMat, CreamMat, WhiteMat} {
		got := evaluated(func(p *Profile) { p.Viewings[0].Mat = Stated(mat) }).Prediction.Viewing.Shift.Midtones
		if got <= before {
			t.Errorf("%s mat: midtones %+.3f after %+.3f", mat, float64(got), float64(before))
		}
		before = got
	}
}

// TestGlazingVeils: glass takes light from the print, most seen in the highlights,
// and adds a veil: fewer shadow steps, and more of the picture lost; coated glass
// does less of each.
func TestGlazingVeils(t *testing.T) {
	var steps, lost, highlights []float64
	for _, g := range []Glazing{NoGlazing, CoatedGlazing, GlassGlazing} {
		r := evaluated(func(p *Profile) { p.Viewings[0].Glazing, p.Papers[0].DMax = Stated(g), Stated(2.3) })
		steps = append(steps, float64(r.Prediction.Steps.Print))
		lost = append(lost, float64(r.Prediction.Viewing.LostShare))
		highlights = append(highlights, float64(r.Prediction.Viewing.Shift.Highlights))
	}
	for i := range 2 {
		if !(steps[i+1] < steps[i]) || !(lost[i+1] >= lost[i]) || !(highlights[i+1] > highlights[i]) {
			t.Errorf("none, coated, plain glass: steps %.0f, lost %.3f, highlights %+.3f", steps, lost, highlights)
		}
	}
}

// TestPapers: the deeper the black, the more steps the print holds and the less of
// the picture is lost.
func TestPapers(t *testing.T) {
	steps, lost := 0.0, 1.0
	for _, d := range []float64{1.4, 1.65, 2.0, 2.4} {
		r := evaluated(func(p *Profile) { p.Papers[0].DMax = Stated(d) })
		s, l := float64(r.Prediction.Steps.Print), float64(r.Prediction.Viewing.LostShare)
		if s <= steps || l > lost {
			t.Errorf("density %.2f: %.0f steps after %.0f, %.3f lost after %.3f", d, s, steps, l, lost)
		}
		steps, lost = s, l
	}
}

// TestCurveEnds: a tone darker than the paper's black comes out lighter, by at least two
// stops as far as the curve tells, and every tone has a figure.
func TestCurveEnds(t *testing.T) {
	r := evaluated(func(p *Profile) { p.Papers[0].DMax = Stated(1.2) })
	viewing := r.Prediction.Viewing
	below := 0
	for _, point := range viewing.Curve {
		if !(point.Shift >= -2+viewing.Unabsorbed-1e-12) {
			t.Errorf("Y %.4f: %+.3f stops", point.Y, float64(point.Shift))
		}
		if point.Shift == -2+viewing.Unabsorbed {
			below++
		}
	}
	if below == 0 || below == len(viewing.Curve) {
		t.Errorf("%d of %d points lie below the paper's black", below, len(viewing.Curve))
	}
	if black := viewing.Curve[0]; black.Shift != -2+viewing.Unabsorbed {
		t.Errorf("the darkest tone: %+.3f stops", float64(black.Shift))
	}
}
