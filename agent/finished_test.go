package agent

import (
	"bytes"
	"image"
	"image/color"
	"io"
	"math"
	"testing"

	"lampblack/agent/picture"
	"lampblack/agent/rehearse/scenes"
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
