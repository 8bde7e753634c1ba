package rules

import (
	"math"
	"strings"
	"testing"

	"lampblack/rules/colour"
)

// bent is a picture whose tones went through the curve that raises Y 0.18 by so many
// stops, worked out anew.
func bent(pic Picture, stops float64) Picture {
	l := func(y float64) float64 { return 116*math.Cbrt(math.Max(y, 0.008856)) - 16 }
	middle := l(0.18)
	d := (l(0.18*math.Exp2(stops)) - middle) / (4 * middle / 100 * (1 - middle/100))
	out := pic
	out.Tones, out.MeanY = nil, 0
	for _, t := range pic.Tones {
		at := colour.Lightness(t.Y)
		t.Y = colour.FromLightness(at + 4*d*at/100*(1-at/100))
		out.Tones = append(out.Tones, t)
		out.MeanY += t.Y * t.Share
	}
	return out
}

// leftOfRaise is what remains of the mean shift of the tones from low to high once the
// picture is raised: each tone as it was judged, against the raised one as it prints.
func leftOfRaise(p *Profile, pic Picture, stops, low, high float64) float64 {
	c, up := Resolve(p, noon), bent(pic, stops)
	a, r := c.now().at(pic.MeanY), c.reference().at(up.MeanY)
	var sum, share float64
	for i, t := range pic.Tones {
		if t.Y < low || t.Y >= high || t.Y < leastTone {
			continue
		}
		sum += t.Share * (counted(toneShift(&a, &r, t.Y)) + unabsorbed(&a, &r) - math.Log2(up.Tones[i].Y/t.Y))
		share += t.Share
	}
	return sum / share
}

// TestRaise: put back into the model, a raise leaves nothing of the midtones' shift, at
// most half of the whole's, and says what it leaves.
func TestRaise(t *testing.T) {
	random := seeded(32)
	offered := 0
	for i := range 150 {
		p, e := anyDesk(random)
		if i == 0 {
			p, e = tidemark(white(200)), exportOf(quay())
		}
		e.Folder.Proof, p.Learnt = "", Learnt{}
		r, pic := Evaluate(p, e, noon), e.Picture
		m := r.offered(RaiseFile)
		if !m.Value.Known() {
			continue
		}
		offered++
		left := leftOfRaise(p, pic, float64(m.Value), 0, 2)
		near(t, "says it leaves", float64(m.Left), left, 1e-6)
		middle := 0.0
		for _, tone := range pic.Tones {
			if tone.Y >= shadowY && tone.Y < highlightY {
				middle += tone.Share
			}
		}
		if middle >= 0.05 {
			near(t, "midtones", leftOfRaise(p, pic, float64(m.Value), shadowY, highlightY), 0, 0.02)
		} else {
			near(t, "the whole of a picture without midtones", left, 0, 0.02)
		}
	}
	if offered < 20 {
		t.Errorf("only %d raises; the test shows nothing", offered)
	}
}

// TestBend: the curve keeps black and white, rises everywhere, and does what it says to
// mid grey: nothing clips, however light the picture is.
func TestBend(t *testing.T) {
	for stops := -1.0; stops <= 1; stops += 0.05 {
		d := bend(stops)
		l := colour.Lightness(midGrey)
		near(t, "mid grey", math.Log2(colour.FromLightness(l+d*bump(l))/midGrey), stops, 1e-9)
		if bump(0) != 0 || bump(100) != 0 {
			t.Fatal("black or white moves")
		}
		for l := 0.0; l < 100; l++ {
			if up, low := l+1+d*bump(l+1), l+d*bump(l); !(up > low) || up > 100+1e-9 {
				t.Errorf("%+.2f stop: L* %g becomes %g, after %g", stops, l+1, up, low)
			}
		}
	}
}

// TestCurveText: what can be dialled is in the values of the file's own encoding.
func TestCurveText(t *testing.T) {
	for _, c := range []struct {
		pic   Picture
		stops float64
		want  string
	}{
		{Picture{Profile: "sRGB IEC61966-2.1"}, 0.414, "from 118 to 134 in a curve;"},
		{Picture{Profile: "sRGB", Assumed: true}, 0.414, "from 118 to 134 (sRGB) in a curve;"},
		{Picture{Profile: "Tidemark wide"}, 0.414, "from 118 to 134 (sRGB) in a curve;"},
		{Picture{Profile: "ROMM RGB"}, 0.5, "from 98 to 119 in a curve;"},
		{Picture{Profile: "Tidemark grey, gamma 2.2"}, 0.5, "from 117 to 137 in a curve;"},
		{Picture{Profile: "sRGB"}, -0.4, "from 118 to 103 in a curve;"},
	} {
		got := curveText(&c.pic, c.stops)
		if !strings.Contains(got, c.want) || !strings.HasPrefix(got, "If it must be printed now: on a copy, take mid grey") || !strings.HasSuffix(got, "black and white stay.") {
			t.Errorf("%s: %q, want %q", c.pic.Profile, got, c.want)
		}
	}
	for stops, want := range map[float64]string{
		0.42: "Or raise this file's midtones by about 0.4 stop (white stays).", -0.42: "Or lower this file's midtones by about 0.4 stop (white stays).",
		0.04: "", -0.04: "", math.NaN(): "",
	} {
		if got := raiseFileText(stops); got != want {
			t.Errorf("raise of %g: %q, want %q", stops, got, want)
		}
	}
}

// TestHighKey: no curve gives a light picture what its highlights lack, and exposure would
// clip them: it is to be judged again.
func TestHighKey(t *testing.T) {
	pic := graded(90, 6, 60)
	r := Evaluate(tidemark(white(160), func(p *Profile) { p.Judged = Beside }), exportOf(pic), noon)
	if m := r.offered(RaiseFile); r.Verdict != Darker || m.Value.Known() || !strings.Contains(r.Remedy.Text, judgeAgainText) {
		t.Errorf("%s, %+v, %q", r.Verdict, m, r.Remedy.Text)
	}
}

// TestBeyondAStop: what would take more than a stop is to be judged again.
func TestBeyondAStop(t *testing.T) {
	r := evaluated(white(400), func(p *Profile) { p.Judged = Beside })
	if m := r.offered(RaiseFile); r.Verdict != Darker || m.Value.Known() || !strings.HasSuffix(r.Remedy.Text, "Set the screen's white to about 95 cd/m². "+judgeAgainText) {
		t.Errorf("%s, %+v, %q", r.Verdict, m, r.Remedy.Text)
	}
}
