package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"lampblack/agent/picture"
	"lampblack/config"
	"lampblack/rules"
)

// placed is a desk in the ranges that stand in for a target that the profile leaves out.
type placed struct {
	white, room, surround, kelvin float64
	judged                        rules.Judging
	ends                          int // how many of white, room and surround are at an end of their range
}

// placesInRange are all desks whose white, room and surround are at an end of their range
// or at its reference, and whose white point is at an end, in all three ways of judging.
func placesInRange() (all []placed) {
	target := config.Default().Target
	threeOf := func(r rules.Range, reference float64) []float64 { return []float64{reference, r.Low, r.High} }
	for _, judged := range append(rules.Judgings(), rules.JudgedUnsaid) {
		for i, white := range threeOf(target.White, float64(target.ReferenceWhite)) {
			for j, room := range threeOf(rules.RoomRange(target.Room), float64(target.ReferenceRoom)) {
				for k, surround := range threeOf(target.Surround, target.ReferenceSurround) {
					for _, kelvin := range []float64{target.WhitePoint.Low, target.WhitePoint.High} {
						all = append(all, placed{white, room, surround, kelvin, judged, min(i, 1) + min(j, 1) + min(k, 1)})
					}
				}
			}
		}
	}
	return all
}

// profile is the desk as somebody would write it who has just measured everything and
// has no target of their own.
func (c placed) profile(at time.Time) string {
	desk := "[desk]\n"
	if c.judged != rules.JudgedUnsaid {
		desk += fmt.Sprintf("prints_judged = %q\n", c.judged)
	}
	return desk + fmt.Sprintf(`
[[display]]
name = "north bench"
white_cd_m2 = %g
white_k = %g
contrast = 900
measured = %s
surface = "matt"
hood = true
held = true

[surround]
relative_Y = %g

[room]
lamps_k = 4000

[[reading]]
at = %s
lx = %g
place = "screen"
`, c.white, c.kelvin, at.Format(time.DateOnly), c.surround, at.Format(time.RFC3339), c.room)
}

// inRangeMisses is how many of the desks below were taken for darker or lighter when
// this was written, of so many, and the greatest probability, by how many of their
// conditions are at an end. The design wants none. What is in the way: of a dark picture
// held beside the screen the three ends that lighten come to 0.55 stop even at the
// central values, where it takes three noticeable steps, 0.45.
var inRangeMisses = [4]struct {
	misses    int
	likeliest float64
}{{0, 0.01}, {0, 0.20}, {0, 0.45}, {2, 0.72}}

// TestTargetsLeftOut: where the profile states no target, a desk within the ranges that
// stand in for one is no fault, whatever the picture: never with one condition at an end
// of its range, and with more of them no oftener than it is known of. The tones are those
// of the example exports, the mean a middling one.
func TestTargetsLeftOut(t *testing.T) {
	at := time.Date(2026, 3, 1, 10, 0, 0, 0, time.UTC)
	var desks, misses [4]int
	var likeliest [4]float64
	for _, pic := range exampleExports(t) {
		pic.MeanY = 0.18
		for _, c := range placesInRange() {
			p, _, err := config.Parse("desk.toml", []byte(c.profile(at)), t.TempDir())
			if err != nil {
				t.Fatal(err)
			}
			r := rules.Evaluate(p, rules.Export{Picture: pic}, at)
			s := r.Prediction.Targets.Spread
			desks[c.ends]++
			likeliest[c.ends] = max(likeliest[c.ends], s.Darker, s.Lighter)
			if r.Verdict == rules.Darker || r.Verdict == rules.Lighter {
				misses[c.ends]++
				t.Logf("%+v: %s, whole %+.2f, shadows %+.2f stop", c, r.Verdict,
					float64(r.Prediction.Targets.Shift.Whole), float64(r.Prediction.Targets.Shift.Shadows))
			}
		}
	}
	for ends, known := range inRangeMisses {
		t.Logf("%d at an end: %d of %d desks are darker or lighter; the likeliest has %.2f", ends, misses[ends], desks[ends], likeliest[ends])
		if misses[ends] > known.misses || likeliest[ends] > known.likeliest {
			t.Errorf("%d at an end: %d misses, the likeliest %.2f; known are %+v", ends, misses[ends], likeliest[ends], known)
		}
	}
}

// exampleExports are the pictures that are exported in the demonstrations.
func exampleExports(t *testing.T) (all []rules.Picture) {
	t.Helper()
	for _, name := range []string{"portrait.jpg", "fog.tif", "quay-at-dusk.tif", "boatshed.png", "harbour-noon.jpg"} {
		f, err := os.Open(filepath.Join("../../testdata/exports", name))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		size, err := f.Stat()
		if err != nil {
			t.Fatal(err)
		}
		pic, err := picture.Measure(f, size.Size())
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, pic)
	}
	return all
}
