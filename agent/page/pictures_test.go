package page

import (
	"bytes"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"lampblack/rules"
	"lampblack/rules/colour"
)

func sight(t testing.TB, changes ...func(*rules.Profile)) rules.Sight {
	p := tidemark(t, changes...)
	return rules.SightOf(p, pageOf(p, "quay.tif").Report, now)
}

var (
	toROMM = colour.ROMM.ToXYZ().Inverse()
	toD50  = colour.Bradford(colour.D65.XYZ(1), colour.D50.XYZ(1)).Mul(colour.SRGB.ToXYZ())
)

// inROMM is the 16-bit codes of an sRGB colour, and the colour relative to D50.
func inROMM(r, g, b float64) (codes [3]uint16, pcs colour.XYZ) {
	pcs = toD50.Apply(colour.XYZ{X: colour.SRGB.Decode(r), Y: colour.SRGB.Decode(g), Z: colour.SRGB.Decode(b)})
	linear := toROMM.Apply(pcs)
	for i, v := range [3]float64{linear.X, linear.Y, linear.Z} {
		codes[i] = uint16(math.Round(math.MaxUint16 * colour.ROMM.Encode(min(1, max(0, v)))))
	}
	return codes, pcs
}

func raster(w, h int, at func(x, y int) (r, g, b float64)) Raster {
	r := Raster{Width: w, Height: h}
	for y := range h {
		for x := range w {
			codes, _ := inROMM(at(x, y))
			for _, c := range codes {
				r.Pix = append(r.Pix, byte(c>>8), byte(c))
			}
		}
	}
	return r
}

// TestLatticeAgainstTheModel: interpolated colours are the model's own, as CIE 1976
// differences over random colours of sRGB: off by about what rounding to 8 bits
// costs, and by no more than 2, but for one colour in three hundred at the edge of
// sRGB, where the veiled screen of a bright room can't be as dark as a print.
func TestLatticeAgainstTheModel(t *testing.T) {
	for name, s := range map[string]rules.Sight{
		"as it should be": sight(t), "bright and black": sight(t, white(250), around(0)), "dim, in a bright room": sight(t, white(60), lux(600)),
	} {
		for medium, l := range map[string]rules.Likeness{"screen": s.Screen, "print": s.Print} {
			const n = 5000
			off := offModel(l, n)
			mean := 0.0
			for _, e := range off {
				mean += e / n
			}
			if rare := off[n-n/300]; mean > 0.3 || rare > 2 || off[n-1] > 6 {
				t.Errorf("%s, %s: the lattice is off by %.3f on average, rarely %.2f, %.2f at worst", name, medium, mean, rare, off[n-1])
			}
		}
	}
}

// offModel is how far n random colours are off, in rising order.
func offModel(l rules.Likeness, n int) []float64 {
	lab := func(c rules.RGB) colour.Lab {
		return colour.LabOf(colour.SRGB.ToXYZ().Apply(colour.XYZ{X: c.R, Y: c.G, Z: c.B}), colour.D65.XYZ(1))
	}
	random, table := rand.New(rand.NewPCG(1, 2)), newLattice(l)
	off := make([]float64, n)
	for i := range off {
		codes, pcs := inROMM(random.Float64(), random.Float64(), random.Float64())
		var linear [3]float64
		for c, code := range table.at(codes[0], codes[1], codes[2]) {
			linear[c] = colour.SRGB.Decode(float64(code))
		}
		a, b := lab(rules.RGB{R: linear[0], G: linear[1], B: linear[2]}), lab(l.Show(pcs).InGamut())
		off[i] = math.Sqrt((a.L-b.L)*(a.L-b.L) + (a.A-b.A)*(a.A-b.A) + (a.B-b.B)*(a.B-b.B))
	}
	slices.Sort(off)
	return off
}

// TestGreysStayEven: a ramp of greys is shown as a ramp, with nothing of the
// lattice's corners in it.
func TestGreysStayEven(t *testing.T) {
	s := sight(t)
	table := newLattice(s.Print)
	before := float32(-1)
	for v := 0; v <= math.MaxUint16; v += 37 {
		c := table.at(uint16(v), uint16(v), uint16(v))
		if c[1] < before {
			t.Fatalf("green falls at %d", v)
		}
		before = c[1]
	}
}

// TestDraw: the screen's picture is the file's where nothing has changed since,
// and the print in dim light is darker.
func TestDraw(t *testing.T) {
	r := raster(24, 16, func(x, y int) (r, g, b float64) { return 0.45, 0.45, 0.45 })
	p, err := Draw(r, sight(t))
	if err != nil {
		t.Fatal(err)
	}
	var level [2]float64
	for i, file := range [][]byte{p.Screen, p.Print} {
		img, err := jpeg.Decode(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		if b := img.Bounds(); b.Dx() != 24 || b.Dy() != 16 {
			t.Errorf("the picture is %v", b)
		}
		_, g, _, _ := img.At(12, 8).RGBA()
		level[i] = float64(g) / math.MaxUint16
	}
	if math.Abs(level[0]-0.45) > 0.02 || level[1] > level[0]-0.04 {
		t.Errorf("a grey of 0.45 is shown at %.3f, its print at %.3f", level[0], level[1])
	}
}

// TestNoiseIsPackedSmall: the worst of pictures at the largest size still makes a
// page of less than 2 MB.
func TestNoiseIsPackedSmall(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	r := Raster{Width: 1200, Height: 1200, Pix: make([]byte, 6*1200*1200)}
	for i := range r.Pix {
		r.Pix[i] = byte(random.Uint32())
	}
	p, err := Draw(r, sight(t))
	if err != nil {
		t.Fatal(err)
	}
	if n := (len(p.Screen) + len(p.Print)) * 4 / 3; n > 1_900_000 {
		t.Errorf("the pictures take %d bytes", n)
	}
}

// BenchmarkDraw: both pictures of a file of 3:2, as they stand on the page.
func BenchmarkDraw(b *testing.B) {
	r := raster(1200, 800, func(x, y int) (r, g, b float64) {
		return float64(x) / 1200, float64(y) / 800, float64(x*y%1000) / 1000
	})
	s := sight(b, white(180))
	for b.Loop() {
		if _, err := Draw(r, s); err != nil {
			b.Fatal(err)
		}
	}
}
