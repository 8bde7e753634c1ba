package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// curveDesk is a desk of the comparison as the profile states it.
type curveDesk struct {
	name                                 string
	white, lux, diffuse, surround, lamps float64
	kelvin                               float64
}

// curveDesks are the conditions whose directions are common practice, no
// source: screens too bright, rooms too bright and too dark, surrounds at both
// ends, and white points besides.
var curveDesks = []curveDesk{
	{"bright screen, dim room", 200, 32, 0.0025, 0.20, 4000, 6000},
	{"upper end of the target in ordinary light", 120, 150, 0.0025, 0.20, 4000, 6500},
	{"bright screen and room, black surround", 200, 250, 0.0025, 0, 3000, 6500},
	{"bright room, reflecting screen", 95, 400, 0.01, 0.20, 6500, 6000},
	{"nearly no room light", 95, 2, 0.0025, 0.20, 2700, 5600},
	{"white surround", 95, 32, 0.0025, 0.95, 4000, 5000},
	{"a very bright screen in the dark", 450, 0.5, 0.003, 0.05, 4000, 6900},
}

// TestSketch holds `explain --tones` against a computation of its own (sketch_test.go)
// to a two-hundredth of a stop, at the desk's targets and on the wall, in all three ways
// of judging prints.
func TestSketch(t *testing.T) {
	for _, d := range curveDesks {
		for _, mean := range []float64{0.06, 0.18, 0.45} {
			for judged := range sketchBeta {
				t.Run(fmt.Sprintf("%s, mean %g, judged %q", d.name, mean, judged), func(t *testing.T) {
					d.compare(t, mean, judged)
				})
			}
		}
	}
}

func (d curveDesk) compare(t *testing.T, mean float64, judged string) {
	tones := []float64{0.5, 0.001, 0.0042, 0.01, 0.05, 0.18, 0.7, 0.18, 1, 0.0003, 0.022, 0.0025, 0.35} // thirteen: no percentile lies between two
	got := explainTones(t, d.profile(judged), tones, mean)
	if got.Judged != judged {
		t.Errorf("prints_judged is %q, want %q", got.Judged, judged)
	}
	if got.Picture.MeanY != mean {
		t.Errorf("mean_Y is %v, want %v", got.Picture.MeanY, mean)
	}
	now := d.desk()
	should := now
	should.white, should.lux, should.surround, should.point = 95, 48, 0.20, sketchDaylight(6000)
	wall := sketchWall{
		lux: 200, paper: math.Pow((96.5+16)/116, 3), black: math.Pow(10, -1.65),
		mat: 0.85, share: 0.6, lamps: sketchLamp(2900),
	}
	a, beta := now.view(mean), sketchBeta[judged]
	for _, c := range []struct {
		against string
		got     sketched
		r       sketchView
	}{
		{"targets", got.Prediction.Targets, should.view(mean)}, {"viewing", got.Prediction.Viewing, wall.view(mean)},
	} {
		compareCurve(t, c.against, c.got.Curve, tones, func(y float64) float64 { return sketchShift(a, c.r, beta, y) })
		comparePicture(t, c.against, c.got, a, c.r, beta, tones)
	}
	compareSteps(t, got.Prediction.Steps, tones, a, should.view(mean), wall.view(mean))
}

const sketchTolerance = 0.005 // stops, ratios and shares

// near compares one figure; NaN is null.
func near(t *testing.T, what string, got *float64, want, tolerance float64) {
	t.Helper()
	switch {
	case (got == nil) != math.IsNaN(want):
		t.Errorf("%s is %s, want %v", what, figure(got), want)
	case got != nil && !(math.Abs(*got-want) <= tolerance):
		t.Errorf("%s is %+.5f, want %+.5f", what, *got, want)
	}
}

// comparePicture holds what the picture as a whole comes to.
func comparePicture(t *testing.T, against string, got sketched, a, r sketchView, beta float64, tones []float64) {
	t.Helper()
	means := sketchMeans(a, r, beta, tones)
	for i, shift := range []*float64{got.Shift.Shadows, got.Shift.Midtones, got.Shift.Highlights, got.Shift.Whole} {
		near(t, fmt.Sprintf("%s: the shift of zone %d", against, i), shift, means[i], sketchTolerance)
	}
	change := math.Log2(a.luminance(1) / r.luminance(1))
	near(t, against+": white_change_stops", got.WhiteChange, change, sketchTolerance)
	near(t, against+": unabsorbed_stops", got.Unabsorbed, beta*change, sketchTolerance)
	near(t, against+": contrast_ratio", got.Contrast, sketchContrast(a, r, beta, tones), sketchTolerance)
	near(t, against+": lost_share", got.Lost, sketchLost(a, r, tones), sketchTolerance)
}

// compareSteps holds the shadow steps, to a hundredth of a step.
func compareSteps(t *testing.T, got map[string]*float64, tones []float64, a, should, wall sketchView) {
	t.Helper()
	low, high := sketchPart(tones, 0.005), sketchPart(tones, 0.25)
	screen := a.sketchSteps(low, high)
	for name, want := range map[string]float64{
		"screen": screen, "screen_at_targets": should.sketchSteps(low, high), "print": math.Min(screen, wall.sketchSteps(low, high)),
	} {
		near(t, "shadow_steps."+name, got[name], want, 0.01)
	}
}

func compareCurve(t *testing.T, against string, got []curvePoint, tones []float64, shift func(float64) float64) {
	t.Helper()
	if len(got) != len(tones) {
		t.Fatalf("the curve against the %s has %d tones, want the %d given", against, len(got), len(tones))
	}
	for i, y := range tones {
		if got[i].Y != y {
			t.Errorf("%s: tone %d is %v, want %v as given", against, i, got[i].Y, y)
		}
		near(t, fmt.Sprintf("%s, Y %g: the shift", against, y), got[i].Shift, shift(y), sketchTolerance)
	}
}

func figure(v *float64) string {
	if v == nil {
		return "null"
	}
	return fmt.Sprint(*v)
}

// desk is the same desk for the sketch.
func (d curveDesk) desk() sketchDesk {
	lamps := sketchLamp
	if d.lamps > 4000 {
		lamps = sketchDaylight
	}
	return sketchDesk{
		white: d.white, point: sketchDaylight(d.kelvin), contrast: 900, diffuse: d.diffuse,
		lux: d.lux, lamps: lamps(d.lamps), surround: d.surround, share: 0.6,
	}
}

// profile is the desk as a user would write it.
func (d curveDesk) profile(judged string) string {
	desk := "[desk]\n"
	if judged != "" {
		desk += fmt.Sprintf("prints_judged = %q\n", judged)
	}
	return desk + fmt.Sprintf(`
[[display]]
name = "north bench"
white_cd_m2 = %g
white_k = %g
contrast = 900
measured = 2026-02-14
diffuse_cd_m2_lx = %g
hood = false
held = true

[target]
reference_cd_m2 = 95.0
reference_k = 6000
reference_lx = 48.0
reference_surround = 0.20

[surround]
relative_Y = %g
picture_share = 0.6

[room]
lamps_k = %g

[[reading]]
at = 2026-03-01T09:10:00Z
lx = %g
place = "screen"

[[paper]]
name = "harbour rag"
white_L = 96.5
dmax = 1.65

[[viewing]]
name = "hall wall"
lx = 200.0
k = 2900
mat = "white"
glazing = "none"
`, d.white, d.kelvin, d.diffuse, d.surround, d.lamps, d.lux)
}

// What the comparison reads of the result, in types of its own.
type (
	curvePoint struct {
		Y     float64
		Shift *float64 `json:"shift"`
	}
	sketched struct {
		Curve       []curvePoint
		Shift       struct{ Shadows, Midtones, Highlights, Whole *float64 } `json:"shift_stops"`
		WhiteChange *float64                                                `json:"white_change_stops"`
		Unabsorbed  *float64                                                `json:"unabsorbed_stops"`
		Contrast    *float64                                                `json:"contrast_ratio"`
		Lost        *float64                                                `json:"lost_share"`
	}
	curveReport struct {
		Judged  string `json:"prints_judged"`
		Picture struct {
			MeanY float64 `json:"mean_Y"`
		}
		Prediction struct {
			Targets, Viewing sketched
			Steps            map[string]*float64 `json:"shadow_steps"`
		}
	}
)

// explainTones runs `explain --json --tones` on a profile, in this process.
func explainTones(t *testing.T, profile string, tones []float64, mean float64) curveReport {
	t.Helper()
	path := filepath.Join(t.TempDir(), "profile.toml")
	if err := os.WriteFile(path, []byte(profile), 0o600); err != nil {
		t.Fatal(err)
	}
	list := ""
	for i, y := range tones {
		if i > 0 {
			list += ","
		}
		list += fmt.Sprint(y)
	}
	var stdout, stderr bytes.Buffer
	code := run(t.Context(), []string{"explain", "--profile", path, "--at", "2026-03-01T10:00:00Z",
		"--json", "--tones", list, "--mean", fmt.Sprint(mean)}, os.Stdin, &stdout, &stderr)
	if code != ok || stderr.Len() > 0 {
		t.Fatalf("exit status %d, stderr %q", code, stderr.String())
	}
	var r curveReport
	if err := json.Unmarshal(stdout.Bytes(), &r); err != nil {
		t.Fatal(err)
	}
	return r
}
