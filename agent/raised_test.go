package agent

import (
	"bytes"
	"image"
	"image/color"
	"io"
	"math"
	"testing"
	"time"

	"lampblack/agent/picture"
	"lampblack/agent/rehearse/scenes"
	"lampblack/config"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// A finished file as an editor makes it: pixels, and how they are stored.
type finished struct {
	img    image.Image
	kind   scenes.Kind
	encode func(io.Writer, image.Image, scenes.Options) error
	depth  int
}

// measured writes the file and reads it as the agent would.
func (f finished) measured(t *testing.T) rules.Picture {
	t.Helper()
	var b bytes.Buffer
	mustNot(t, f.encode(&b, f.img, scenes.Options{Profile: scenes.Profile(f.kind), PPI: 300, Depth: f.depth, Quality: 92}))
	pic, err := picture.Measure(bytes.NewReader(b.Bytes()), int64(b.Len()))
	mustNot(t, err)
	return pic
}

// painted are the pictures of the rehearsal, as a small studio would store them.
func painted(t *testing.T, scene string, seed uint64) finished {
	t.Helper()
	kinds := map[string]scenes.Kind{"quay at dusk": scenes.Wide, "boatshed": scenes.Master}
	img, err := scenes.Paint(scene, 120, 80, seed, kinds[scene])
	mustNot(t, err)
	f := finished{img, kinds[scene], scenes.EncodeTIFF, 16}
	if scene == "portrait by the window" {
		f.encode, f.depth = scenes.EncodeJPEG, 8
	}
	return f
}

// each is the file with every pixel's code values, 0 to 1, changed.
func (f finished) each(change func([3]float64) [3]float64) finished {
	bounds := f.img.Bounds()
	out := image.NewNRGBA64(bounds)
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			r, g, b, _ := f.img.At(x, y).RGBA()
			v := change([3]float64{float64(r) / 65535, float64(g) / 65535, float64(b) / 65535})
			to16 := func(v float64) uint16 { return uint16(math.Round(65535 * min(1, max(0, v)))) }
			out.SetNRGBA64(x, y, color.NRGBA64{R: to16(v[0]), G: to16(v[1]), B: to16(v[2]), A: 65535})
		}
	}
	f.img = out
	return f
}

// curve leads from a code value to another, both 0 to 1, in an encoding.
type curve func(k scenes.Kind, v float64) float64

// curved changes each code value by itself, as a curve of an editor does.
func (f finished) curved(c curve) finished {
	table := make([]float64, 2049)
	for i := range table {
		table[i] = c(f.kind, float64(i)/2048)
	}
	at := func(v float64) float64 {
		i := min(2047, int(v*2048))
		return table[i] + (v*2048-float64(i))*(table[i+1]-table[i])
	}
	return f.each(func(v [3]float64) [3]float64 { return [3]float64{at(v[0]), at(v[1]), at(v[2])} })
}

// midPoint is a curve through black, white, and a point of 8-bit codes between, as smooth
// as an editor's: a power.
func midPoint(from, to float64) curve {
	power := math.Log(to/255) / math.Log(from/255)
	return func(_ scenes.Kind, v float64) float64 { return math.Pow(v, power) }
}

// exposure multiplies the light, and clips at white.
func exposure(stops float64) curve {
	return func(k scenes.Kind, v float64) float64 { return encoded(k, math.Min(1, math.Exp2(stops)*decoded(k, v))) }
}

// inLightness is L' = L + 4d·(L/100)·(1 − L/100).
func inLightness(d float64) curve {
	return func(k scenes.Kind, v float64) float64 {
		l := colour.Lightness(decoded(k, v))
		return encoded(k, colour.FromLightness(l+4*d*(l/100)*(1-l/100)))
	}
}

// atMidGrey is by how many stops a curve raises mid grey.
func (c curve) atMidGrey(k scenes.Kind) float64 {
	return math.Log2(decoded(k, c(k, encoded(k, 0.18))) / 0.18)
}

// decoded and encoded lead between a grey's code value and its light.
func decoded(k scenes.Kind, v float64) float64 { return k.XYZ([3]float64{v, v, v})[1] }

func encoded(k scenes.Kind, y float64) float64 {
	low, high := 0.0, 1.0
	for range 24 {
		if middle := (low + high) / 2; decoded(k, middle) < y {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// sharpened adds what a pixel differs by from those around it.
func (f finished) sharpened(amount float64) finished {
	bounds, was := f.img.Bounds(), f.img
	at := func(x, y int) [3]float64 {
		x, y = min(bounds.Max.X-1, max(bounds.Min.X, x)), min(bounds.Max.Y-1, max(bounds.Min.Y, y))
		r, g, b, _ := was.At(x, y).RGBA()
		return [3]float64{float64(r) / 65535, float64(g) / 65535, float64(b) / 65535}
	}
	x, y := bounds.Min.X-1, bounds.Min.Y
	return f.each(func(v [3]float64) [3]float64 {
		if x++; x == bounds.Max.X { // each goes row by row
			x, y = bounds.Min.X, y+1
		}
		for c := range v {
			around := (at(x-1, y)[c] + at(x+1, y)[c] + at(x, y-1)[c] + at(x, y+1)[c]) / 4
			v[c] += amount * (v[c] - around)
		}
		return v
	})
}

// converted is the file in another encoding, its colours kept as far as that reaches.
func (f finished) converted(to scenes.Kind) finished {
	inverse := inverted(to)
	g := f.each(func(v [3]float64) [3]float64 {
		xyz := f.kind.XYZ(v)
		var linear [3]float64
		for i, row := range inverse {
			linear[i] = encoded(to, row[0]*xyz[0]+row[1]*xyz[1]+row[2]*xyz[2])
		}
		return linear
	})
	g.kind = to
	return g
}

// inverted leads from XYZ to the light of an encoding's channels.
func inverted(k scenes.Kind) (m [3][3]float64) {
	var a [3][3]float64 // columns are the primaries
	for c := range 3 {
		var one [3]float64
		one[c] = 1
		xyz := k.XYZ(one)
		for i := range 3 {
			a[i][c] = xyz[i]
		}
	}
	minor := func(i, j int) float64 {
		return a[(i+1)%3][(j+1)%3]*a[(i+2)%3][(j+2)%3] - a[(i+1)%3][(j+2)%3]*a[(i+2)%3][(j+1)%3]
	}
	det := a[0][0]*minor(0, 0) + a[0][1]*minor(0, 1) + a[0][2]*minor(0, 2)
	for i := range 3 {
		for j := range 3 {
			m[i][j] = minor(j, i) / det
		}
	}
	return m
}

// cropped is the file with its edges cut off.
func (f finished) cropped() finished {
	b := f.img.Bounds()
	f.img = f.img.(interface {
		SubImage(image.Rectangle) image.Image
	}).SubImage(image.Rect(b.Min.X, b.Min.Y, b.Max.X-20, b.Max.Y-5))
	return f.each(func(v [3]float64) [3]float64 { return v })
}

// brightDesk is a desk whose screen is so bright that every picture of the studio prints
// dark.
func brightDesk(white rules.Luminance) *rules.Profile {
	p := config.Default()
	d := &p.Displays[0]
	d.White, d.Held, d.Measured = rules.Stated(white), rules.Stated(true), rules.Stated(morning.AddDate(0, 0, -2))
	p.Judged = rules.Beside
	p.Readings = []rules.Reading{{At: morning, Light: 32, Place: rules.AtScreen, Source: rules.FromCommand}}
	return p
}

// judgedAt is what the agent makes of a picture at a path, after another.
func judgedAt(p *rules.Profile, pic rules.Picture, before *rules.Gist) *rules.Report {
	e := rules.Export{File: "/to-print/quay.tif", Folder: rules.Folder{Path: "/to-print", Purpose: rules.ForPrint}, Picture: pic, Before: before}
	return rules.Evaluate(p, e, morning.Add(time.Hour))
}

var sceneNames = []string{"quay at dusk", "portrait by the window", "boatshed", "harbour noon", "fog"}

// TestRaisedFiles: real files, raised in the ways of editors, are recognised, and by how
// much at mid grey; with -v the table says how far the estimate is off.
func TestRaisedFiles(t *testing.T) {
	p := brightDesk(200)
	asItIs := func(f finished) finished { return f }
	ways := []struct {
		name      string
		curve     curve
		after     func(finished) finished
		tolerance float64
	}{
		{"a curve, 118 to 134", midPoint(118, 134), asItIs, 0.05},
		{"a curve, 118 to 146", midPoint(118, 146), asItIs, 0.08},
		{"a curve in L*, by 4", inLightness(4), asItIs, 0.05},
		{"a curve in L*, by 12", inLightness(12), asItIs, 0.08},
		{"exposure, 0.2 stop", exposure(0.2), asItIs, 0.03},
		{"exposure, 0.5 stop", exposure(0.5), asItIs, 0.03},
		{"a curve, then sharpened", midPoint(118, 134), func(f finished) finished { return f.sharpened(0.6) }, 0.15},
		{"a curve, then converted", midPoint(118, 134), func(f finished) finished { return f.converted(scenes.Web) }, 0.05},
		{"exposure, then a JPEG", exposure(0.3), func(f finished) finished { f.encode, f.depth = scenes.EncodeJPEG, 8; return f }, 0.05},
	}
	worst, sum := 0.0, 0.0
	for _, scene := range sceneNames {
		file := painted(t, scene, 1)
		first := judgedAt(p, file.measured(t), nil)
		if first.Verdict != rules.Darker || first.WasRaised() || first.Gist == nil || !first.Gist.Dark {
			t.Fatalf("%s: %s, %+v", scene, first.Verdict, first.Gist)
		}
		for _, w := range ways {
			r := judgedAt(p, w.after(file.curved(w.curve)).measured(t), first.Gist)
			want := w.curve.atMidGrey(file.kind)
			off := float64(r.Raised) - want
			t.Logf("%-22s  %-24s raised by %.3f, taken for %.3f", scene, w.name, want, float64(r.Raised))
			tolerance := w.tolerance
			if scene == "harbour noon" && w.name == "a curve, then sharpened" {
				tolerance = 0.3 // nearly all of it lies above mid grey, where a coarse sharpening looks like exposure
			}
			if plain := judgedAt(p, file.curved(w.curve).measured(t), first.Gist); math.Abs(float64(plain.Whole()-r.Whole())) > 0.1 {
				t.Errorf("%s, %s: leaves %.3f, the curve alone %.3f", scene, w.name, float64(r.Whole()), float64(plain.Whole()))
			}
			if !(math.Abs(off) <= tolerance) {
				t.Errorf("%s, %s: raised by %.3f, taken for %.3f", scene, w.name, want, float64(r.Raised))
			}
			if !(math.Abs(float64(r.Prediction.Targets.Shift.Whole-first.Prediction.Targets.Shift.Whole)) < 0.1) {
				t.Errorf("%s, %s: with the raise taken off the shift is %v, of the file before it was %v", scene, w.name, r.Prediction.Targets.Shift, first.Prediction.Targets.Shift)
			}
			worst, sum = math.Max(worst, math.Abs(off)), sum+math.Abs(off)
		}
	}
	t.Logf("off by %.3f stop on average, by %.3f at most", sum/float64(len(ways)*len(sceneNames)), worst)
}

// TestNotRaised: the same picture sharpened, converted, cropped, lowered, or as it was, and
// another one under the same name, was not raised.
func TestNotRaised(t *testing.T) {
	p := brightDesk(200)
	for i, scene := range sceneNames {
		file := painted(t, scene, 1)
		first := judgedAt(p, file.measured(t), nil)
		jpeg := file
		jpeg.encode, jpeg.depth = scenes.EncodeJPEG, 8
		others := map[string]finished{
			"as it was": file, "sharpened": file.sharpened(0.6), "sharpened much": file.sharpened(1.2), "cropped": file.cropped(),
			"raised and cropped": file.curved(inLightness(6)).cropped(), "lowered": file.curved(inLightness(-5)),
			"converted": file.converted(scenes.Web), "converted to another": file.converted(scenes.Master), "a JPEG": jpeg,
		}
		for k, other := range sceneNames {
			if k != i {
				others["replaced by "+other] = painted(t, other, 1)
				others["replaced by a raised "+other] = painted(t, other, 1).curved(inLightness(8))
			}
		}
		for name, f := range others {
			if r := judgedAt(p, f.measured(t), first.Gist); r.WasRaised() || r.Raised.Known() {
				t.Errorf("%s, %s: raised by %.2f", scene, name, float64(r.Raised))
			}
		}
	}
}
