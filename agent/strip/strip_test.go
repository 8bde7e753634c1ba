package strip

import (
	"bytes"
	"errors"
	"image"
	"math"
	"strings"
	"testing"

	"lampblack/agent/picture"
	"lampblack/rules"
	"lampblack/testdata/exports"
)

// The curves of the studio's encodings, from their definitions.
var decode = map[string]func(float64) float64{
	"sRGB": func(v float64) float64 {
		if v < 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	},
	"Tidemark wide": func(v float64) float64 { return math.Pow(v, 563.0/256) },
	"Tidemark master": func(v float64) float64 {
		if v < 1.0/32 {
			return v / 16
		}
		return math.Pow(v, 1.8)
	},
}

func init() { decode["Tidemark web"] = decode["sRGB"] }

// Every patch is 2^step times the picture's light, to half a code; at step 0 it
// has the picture's samples.
func TestPatchesAreExposures(t *testing.T) {
	for _, name := range exports.Names() {
		file, m := studio(t, name), studioStrip(t, name)
		curve := decode[m.plan.Profile]
		if curve == nil {
			t.Fatalf("%s: encoding %q", name, m.plan.Profile)
		}
		pic := readSamples(t, file)
		err := pic.Rows(m.plan.Crop.Min.Y, m.plan.Crop.Max.Y, func(y int, row []uint16) {
			for x := m.plan.Crop.Min.X; x < m.plan.Crop.Max.X; x += 31 {
				in := [3]uint16(row[3*x:])
				for i, step := range m.plan.Steps {
					at := m.patch(i).Min.Add(image.Pt(x, y).Sub(m.plan.Crop.Min).Mul(m.plan.Scale))
					checkExposed(t, curve, float64(step), in, m.pixel(at))
				}
			}
		})
		if err != nil || t.Failed() {
			t.Fatalf("%s: %+v, %v", name, m.plan, err)
		}
	}
}

func checkExposed(t *testing.T, curve func(float64) float64, step float64, in, out [3]uint16) {
	if step == 0 && in != out {
		t.Errorf("step 0 makes %v of %v", out, in)
	}
	for c := range in {
		want := min(1, math.Exp2(step)*curve(float64(in[c])/65535))
		code := float64(out[c])
		// The profile's numbers have 16 binary places, hence a little slack.
		const half, slack = 0.5, 4e-6
		low, high := curve(max(code-half, 0)/65535), curve(min(code+half, 65535)/65535)
		if want < low-slack || want > high+slack {
			t.Errorf("step %+.2f makes %d of %d: light %.6f, want %.6f", step, out[c], in[c], curve(code/65535), want)
		}
	}
}

func TestStripIsTaggedLikeThePicture(t *testing.T) {
	for _, name := range exports.Names() {
		file, m := studio(t, name), studioStrip(t, name)
		want, got := readSamples(t, file), readSamples(t, m.file)
		if !bytes.Equal(got.Profile, want.Profile) || !bytes.Contains(m.file, want.Profile) {
			t.Errorf("%s: the profile is not the same", name)
		}
		pic, err := picture.Measure(bytes.NewReader(m.file), int64(len(m.file)))
		if err != nil {
			t.Fatal(err)
		}
		if pic.PPI != 300 || pic.Depth != 16 || pic.Profile != m.plan.Profile || pic.Assumed != want.Assumed {
			t.Errorf("%s: the strip is %+v", name, pic)
		}
		noted := strings.Contains(strings.Join(m.plan.Notes, " "), "taken as sRGB")
		if noted != want.Assumed || strings.Contains(strings.Join(m.about, " "), "taken as sRGB") != want.Assumed {
			t.Errorf("%s: notes %q, label %q", name, m.plan.Notes, m.about)
		}
	}
}

func TestStripFitsItsSheet(t *testing.T) {
	boatshed := studio(t, "boatshed.png")
	checkSize(t, studioStrip(t, "boatshed.png").plan, 20, 13.8)
	for _, o := range []Options{{WidthCM: 12, HeightCM: 15}, {WidthCM: 10, HeightCM: 10}} {
		checkSize(t, makeStrip(t, boatshed, o).plan, o.WidthCM, o.HeightCM)
	}
}

func checkSize(t *testing.T, plan Plan, width, height float64) {
	t.Helper()
	if math.Abs(plan.WidthCM-width) > 0.01 || plan.HeightCM > height+0.01 {
		t.Errorf("the strip has %g x %g cm, want %g x %g at most", plan.WidthCM, plan.HeightCM, width, height)
	}
}

func TestWedge(t *testing.T) {
	m := studioStrip(t, "boatshed.png")
	for i, l := range wedge {
		r := m.wedgePatch(i)
		v := m.pixel(r.Min)
		if v[0] != v[1] || v[1] != v[2] || v != m.pixel(r.Max.Sub(image.Pt(1, 1))) {
			t.Errorf("L* %g is not one neutral tone: %v", l, v)
		}
		y := decode["Tidemark master"](float64(v[0]) / 65535)
		want := l * 27 / 24389 // CIE 15, below L* 8
		if l > 8 {
			want = math.Pow((l+16)/116, 3)
		}
		if math.Abs(y-want) > 1e-5 {
			t.Errorf("L* %g has Y %.6f, want %.6f", l, y, want)
		}
		if v := m.pixel(r.Min.Sub(image.Pt(1, 1))); v != [3]uint16{} {
			t.Errorf("L* %g is in %v, not in black", l, v)
		}
	}
}

func TestSurroundIsMidGrey(t *testing.T) {
	m := studioStrip(t, "quay-at-dusk.tif")
	v := m.pixel(image.Pt(0, 0))
	want := math.Pow(66.0/116, 3)
	if y := decode["Tidemark wide"](float64(v[1]) / 65535); math.Abs(y-want) > 1e-5 || v[0] != v[2] {
		t.Errorf("the surround is %v, Y %.4f, want %.4f", v, y, want)
	}
}

// A second run makes the same file, and the order of the steps is no matter.
func TestStripIsDeterministic(t *testing.T) {
	file := studio(t, "portrait.jpg")
	o := hall("portrait.jpg")
	o.WidthCM, o.HeightCM = 10, 10
	o.Steps = []rules.Stops{0.3, 0, -0.3}
	first := makeStrip(t, file, o)
	o.Steps = []rules.Stops{-0.3, 0.0001, 0.3, 0}
	if second := makeStrip(t, file, o); !bytes.Equal(first.file, second.file) {
		t.Error("two strips of one picture differ")
	}
	if len(first.plan.Steps) != 3 {
		t.Errorf("steps %v", first.plan.Steps)
	}
}

func TestStepsAreChecked(t *testing.T) {
	file := studio(t, "fog.tif")
	nan := rules.Stops(math.NaN())
	for want, o := range map[string]Options{
		"NaN stops":            {Steps: []rules.Stops{0, nan}},
		"-4 stops":             {Steps: []rules.Stops{-4}},
		"0 steps":              {Steps: []rules.Stops{}},
		"12 steps":             {Steps: make([]rules.Stops, 12)},
		"9 × 13.8 cm":          {WidthCM: 9},
		"20 × NaN cm":          {HeightCM: math.NaN()},
		"20 × -1 cm":           {HeightCM: -1},
		"60 × 13.8 cm":         {WidthCM: 60},
		"don't fit on 10 × 10": {WidthCM: 10, HeightCM: 10, Steps: []rules.Stops{-0.5, -0.4, -0.3, -0.2, -0.1, 0, 0.1, 0.2, 0.3, 0.4, 0.5}},
	} {
		var out bytes.Buffer
		_, err := Write(&out, bytes.NewReader(file), int64(len(file)), o)
		if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), ": ") || out.Len() > 0 {
			t.Errorf("%s: %v, %d bytes written", want, err, out.Len())
		}
	}
	if steps, err := (Options{Steps: []rules.Stops{-0.001}}).steps(); err != nil || math.Signbit(float64(steps[0])) {
		t.Errorf("−0.001 becomes %v, %v", steps, err)
	}
}

var errFull = errors.New("no space left on device")

// full is a disk that is full after some bytes.
type full struct{ left int }

func (f *full) Write(p []byte) (int, error) {
	if len(p) > f.left {
		return f.left, errFull
	}
	f.left -= len(p)
	return len(p), nil
}

func TestFullDisk(t *testing.T) {
	file := studio(t, "fog.tif")
	for _, left := range []int{0, 5_000_000} {
		_, err := Write(&full{left}, bytes.NewReader(file), int64(len(file)), Options{})
		if !errors.Is(err, errFull) || !strings.Contains(err.Error(), "can't be written") {
			t.Errorf("full after %d bytes: %v", left, err)
		}
	}
}
