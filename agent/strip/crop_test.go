package strip

import (
	"bytes"
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"lampblack/agent/rehearse/scenes"
)

// cropOf is the crop of the picture in file for patches of the given size.
func cropOf(t *testing.T, file []byte, size image.Point) crop {
	t.Helper()
	pic := readSamples(t, file)
	ls, err := newLights(pic)
	if err != nil {
		t.Fatal(err)
	}
	c, err := bestCrop(pic, ls, size)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// toned is the Tidemark wide code of an L* above 8.
func toned(l float64) uint16 {
	return uint16(65535 * math.Pow((l+16)/116, 3*256.0/563))
}

// Whatever a flat sky's tone and share of the picture, and however grainy it is,
// textured shadows are what one wants to see.
func TestTexturedShadowsBeatAFlatSky(t *testing.T) {
	const w, h = 360, 240
	for _, sky := range []float64{10, 24, 31, 50, 90} {
		for _, shore := range []int{60, 120} { // height of the textured part
			grain := rand.New(rand.NewPCG(1, 2))
			file := drawn(t, w, h, func(x, y int) uint16 {
				if y < h-shore {
					return toned(sky + 10*float64(y)/h + grain.NormFloat64())
				}
				return toned(20 + 8*math.Sin(float64(x)/5)*math.Cos(float64(y)/7) + grain.NormFloat64())
			})
			got := cropOf(t, file, image.Pt(50, 50))
			if astray := h - shore - got.area.Min.Y; astray > 10 { // of its 50 rows
				t.Errorf("sky of L* %g, shore of %d rows: crop %v", sky, shore, got.area)
			}
		}
	}
}

// Shadows and midtones together say more than either, and black says nothing.
func TestCropSpansTones(t *testing.T) {
	columns := []struct{ from, to float64 }{ // L* by sixth of the width
		{0, 0}, {80, 95}, {40, 60}, {8, 34}, {60, 75}, {98, 100},
	}
	file := drawn(t, 600, 120, func(x, y int) uint16 {
		c := columns[x/100]
		checks := float64((x/6+y/6)%5) / 4
		return toned(c.from + checks*(c.to-c.from))
	})
	if got := cropOf(t, file, image.Pt(100, 100)); got.area.Min.X < 284 || got.area.Min.X > 316 {
		t.Errorf("crop %v", got.area)
	}
	got := cropOf(t, file, image.Pt(200, 100))
	if got.area.Min.X < 190 || got.area.Max.X > 410 {
		t.Errorf("crop %v", got.area)
	}
	if math.Abs(got.shadows-0.5) > 0.1 {
		t.Errorf("%.2f of the crop is in shadows", got.shadows)
	}
}

// In the studio's pictures the crop is where a printer would look: not in sky,
// wall or water without form. Each area was seen to hold what is said of it.
func TestCropsOfTheStudio(t *testing.T) {
	for name, want := range map[string]image.Rectangle{
		"quay-at-dusk.tif": image.Rect(0, 120, 300, 320),   // houses, quay and cobbles
		"boatshed.png":     image.Rect(60, 120, 450, 300),  // the boat and the floor
		"portrait.jpg":     image.Rect(440, 70, 700, 600),  // hair, face, jersey
		"harbour-noon.jpg": image.Rect(0, 150, 900, 350),   // houses and boats
		"fog.tif":          image.Rect(100, 150, 600, 400), // the boat and the jetty
	} {
		if got := cropOf(t, studio(t, name), image.Pt(80, 110)); !got.area.In(want) {
			t.Errorf("%s: crop %v, want it within %v", name, got.area, want)
		}
	}
}

// A picture of one tone has no better place than its middle.
func TestCropOfNothing(t *testing.T) {
	for _, v := range []uint16{0, toned(20), toned(50), 65535} {
		got := cropOf(t, drawn(t, 100, 80, func(int, int) uint16 { return v }), image.Pt(20, 20))
		if got.area != image.Rect(40, 30, 60, 50).Sub(image.Pt(0, 2)) && got.area != image.Rect(40, 30, 60, 50).Add(image.Pt(0, 2)) {
			t.Errorf("%d: crop %v", v, got.area)
		}
	}
}

// The sums over windows are those over their pixels.
func TestWindowSums(t *testing.T) {
	pic := readSamples(t, studio(t, "boatshed.png"))
	ls, err := newLights(pic)
	if err != nil {
		t.Fatal(err)
	}
	g, err := gather(pic, ls)
	if err != nil {
		t.Fatal(err)
	}
	g.compare()
	table := g.summed()
	for _, r := range []image.Rectangle{{Max: image.Pt(g.across, g.down)}, image.Rect(3, 5, 17, 9), image.Rect(1, 1, 2, 2)} {
		var want sums
		for y := r.Min.Y; y < r.Max.Y; y++ {
			for x := r.Min.X; x < r.Max.X; x++ {
				want.add(g.list[y*g.across+x], 1)
			}
		}
		got := g.window(table, r)
		got.add(want, -1)
		for _, v := range []float64{got.n, got.all, got.shadows, got.dark, got.darkSq, got.midtones, got.contrast, got.share} {
			if math.Abs(v) > 1e-6*want.all {
				t.Errorf("%v: off by %+v", r, got)
			}
		}
	}
}

// The crop of a picture doesn't depend on the encoding it is written in.
func TestCropIsOfTheLight(t *testing.T) {
	var first image.Rectangle
	for _, kind := range []scenes.Kind{scenes.Web, scenes.Wide, scenes.Master} {
		img, err := scenes.Paint("boatshed", 300, 200, 3, kind)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := scenes.EncodePNG(&b, img, scenes.Options{Profile: scenes.Profile(kind), Depth: 16}); err != nil {
			t.Fatal(err)
		}
		got := cropOf(t, b.Bytes(), image.Pt(60, 60)).area
		if kind == scenes.Web {
			first = got
		}
		if got != first {
			t.Errorf("%v: crop %v, in %v %v", kind, got, scenes.Web, first)
		}
	}
}
