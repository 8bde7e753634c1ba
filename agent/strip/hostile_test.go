package strip

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"lampblack/agent/picture"
	"lampblack/rules"
	"lampblack/testdata/exports"
)

func TestOddPictures(t *testing.T) {
	black, white := uint16(0), uint16(65535)
	for _, c := range []struct {
		w, h  int
		tone  uint16
		scale int
	}{
		{1, 1, toned(20), 303}, {2, 1, toned(20), 151}, {10, 4000, toned(20), 1}, {4000, 10, toned(50), 1},
		{40, 30, black, 7}, {400, 350, white, 1},
	} {
		m := makeStrip(t, drawn(t, c.w, c.h, func(int, int) uint16 { return c.tone }), Options{HeightCM: 10})
		if m.plan.Scale != c.scale || !m.plan.Crop.In(image.Rect(0, 0, c.w, c.h)) || m.plan.Crop.Empty() {
			t.Errorf("%d x %d: %+v", c.w, c.h, m.plan)
		}
		for i, step := range m.plan.Steps {
			v := m.pixel(m.patch(i).Min)
			if v != m.pixel(m.patch(i).Max.Sub(image.Pt(1, 1))) {
				t.Errorf("%d x %d: patch %d isn't even", c.w, c.h, i)
			}
			checkExposed(t, decode["Tidemark wide"], float64(step), [3]uint16{c.tone, c.tone, c.tone}, v)
		}
	}
}

// A grey picture makes a grey strip; one that lies on its transparency, or
// packs its colours into a palette, is read like any other.
func TestOtherKindsOfPixels(t *testing.T) {
	const w, h = 20, 10
	box := image.Rect(0, 0, w, h)
	grey, grey16 := image.NewGray(box), image.NewGray16(box)
	clear := image.NewNRGBA(box)
	palette := image.NewPaletted(box, color.Palette{color.NRGBA{R: 90, G: 60, B: 30, A: 255}, color.NRGBA{R: 9, G: 9, B: 9, A: 255}})
	for y := range h {
		for x := range w {
			grey.SetGray(x, y, color.Gray{Y: uint8(10 * x)})
			grey16.SetGray16(x, y, color.Gray16{Y: uint16(3000 * x)})
			clear.SetNRGBA(x, y, color.NRGBA{R: uint8(10 * x), G: 20, B: 30, A: uint8(25 * y)})
			palette.SetColorIndex(x, y, uint8(x%2))
		}
	}
	for name, c := range map[string]struct {
		img image.Image
		at  func(x, y int) [3]uint16
	}{
		"grey":    {grey, func(x, _ int) [3]uint16 { v := uint16(10*x) * 257; return [3]uint16{v, v, v} }},
		"grey 16": {grey16, func(x, _ int) [3]uint16 { v := uint16(3000 * x); return [3]uint16{v, v, v} }},
		"clear":   {clear, func(x, _ int) [3]uint16 { return [3]uint16{uint16(10*x) * 257, 20 * 257, 30 * 257} }},
		"palette": {palette, func(x, _ int) [3]uint16 {
			return [][3]uint16{{90 * 257, 60 * 257, 30 * 257}, {9 * 257, 9 * 257, 9 * 257}}[x%2]
		}},
	} {
		o := hall(name)
		o.Steps, o.WidthCM, o.HeightCM = []rules.Stops{0}, 12, 10
		m := makeStrip(t, encodePNG(t, c.img), o)
		for y := range h {
			for x := range w {
				got := m.pixel(m.patch(0).Min.Add(image.Pt(x, y).Mul(m.plan.Scale)))
				if want := c.at(x, y); got != want {
					t.Fatalf("%s: (%d, %d) is %v, want %v", name, x, y, got, want)
				}
			}
		}
		if _, isGrey := m.img.(*image.Gray16); isGrey != strings.HasPrefix(name, "grey") {
			t.Errorf("%s: the strip is a %T", name, m.img)
		}
	}
}

// What can't be read makes no strip, and the reason keeps its kind.
func TestUnreadablePictures(t *testing.T) {
	good := studio(t, "quay-at-dusk.tif")
	for name, c := range map[string]struct {
		file []byte
		kind error
	}{
		"nothing":    {nil, picture.ErrUnfinished},
		"a letter":   {[]byte("Dear diary,"), picture.ErrUnsupported},
		"half":       {good[:len(good)/2], picture.ErrUnfinished},
		"half a JPG": {studio(t, "portrait.jpg")[:20000], picture.ErrUnfinished},
	} {
		var out bytes.Buffer
		_, err := Write(&out, bytes.NewReader(c.file), int64(len(c.file)), Options{})
		checkRefused(t, name, err, c.kind)
		if out.Len() > 0 {
			t.Errorf("%s: %d bytes written", name, out.Len())
		}
	}
	_, err := Write(io.Discard, gone{}, 1000, Options{})
	checkRefused(t, "a lost disk", err, picture.ErrVanished)
}

func checkRefused(t *testing.T, name string, err, kind error) {
	t.Helper()
	if !errors.Is(err, kind) || !strings.HasPrefix(err.Error(), "no test strip can be made: ") || strings.Contains(err.Error(), "\n") {
		t.Errorf("%s: %v", name, err)
	}
}

// gone is a disk that has been taken away.
type gone struct{}

func (gone) ReadAt([]byte, int64) (int, error) { return 0, errors.New("device not configured") }

// A flipped byte in the header never panics.
func TestDamagedPictures(t *testing.T) {
	o := Options{WidthCM: 10, HeightCM: 10, Steps: []rules.Stops{0}}
	for _, name := range []string{"fog.tif", "boatshed.png", "harbour-noon.jpg"} {
		good := studio(t, name)
		for i := 0; i < 180; i += 30 {
			file := bytes.Clone(good)
			file[i] ^= 0x55
			if _, err := Write(io.Discard, bytes.NewReader(file), int64(len(file)), o); err != nil && !strings.Contains(err.Error(), ": ") {
				t.Errorf("%s, byte %d: %v", name, i, err)
			}
		}
	}
}

// withCurves is a tagged picture whose profile's curves are replaced.
func withCurves(curve func(float64) float64) *picture.Samples {
	return &picture.Samples{Width: 1, Height: 1, Channels: 1, Weights: []float64{1}, Curves: []func(float64) float64{curve}}
}

func TestCurvesThatLeadNowhere(t *testing.T) {
	for name, curve := range map[string]func(float64) float64{
		"falling":  func(v float64) float64 { return 1 - v },
		"wavy":     func(v float64) float64 { return v + 0.1*math.Sin(40*v) },
		"flat":     func(float64) float64 { return 1 },
		"too dark": func(v float64) float64 { return v / 4 },
	} {
		if _, err := newLights(withCurves(curve)); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	dented := func(v float64) float64 { return math.Round(v*1000)/1000 + 1e-5*math.Sin(1000*v) }
	ls, err := newLights(withCurves(dented))
	if err != nil {
		t.Fatal(err)
	}
	for v, to := range ls.exposed(0)[0] {
		if v != int(to) {
			t.Fatalf("step 0 makes %d of %d", to, v)
		}
	}
}

// Names come from anywhere; they stay on the page, and nothing is printed as a
// command that would not do what it says.
func TestNames(t *testing.T) {
	fog := readSamples(t, studio(t, "fog.tif"))
	for name, want := range map[string]string{
		"quay-at-dusk.tif":        "quay-at-dusk.tif",
		"quay at dusk.tif":        `"quay at dusk.tif"`,
		"Skarvík, måke og ø.tif":  `"Skarvík, måke og ø.tif"`,
		"":                        "FILE",
		"-x.tif":                  "FILE",
		"a  b.tif":                "FILE",
		"\u202egnp.tif":           "FILE",
		"$(rm -r ~).tif":          "FILE",
		`a".tif`:                  "FILE",
		"波止場.tif":                 "FILE",
		"a\nb.tif":                "FILE",
		"bad\xff.tif":             "FILE",
		strings.Repeat("x", 4000): "FILE",
	} {
		s, err := layOut(Options{Name: name, Paper: name, Viewing: name, WidthCM: 20, HeightCM: 13.8}, DefaultSteps(), fog)
		if err != nil {
			t.Errorf("%q: %v", name, err)
			continue
		}
		said := strings.Join(s.to, " ")
		if !strings.HasSuffix(said, "lampblack outcome "+want+" --stops=STEP") {
			t.Errorf("%q: %q", name, said)
		}
		if explained := strings.Contains(said, "and the export's name as FILE"); explained != (want == "FILE" && name != "") {
			t.Errorf("%q: %q", name, said)
		}
		if w := s.title.width(s.head); w > s.inner() {
			t.Errorf("%q: the title is %d pixels wide, the page %d", name, w, s.inner())
		}
		for _, line := range slices.Concat([]string{s.head}, s.about, s.to) {
			if strings.ContainsAny(line, "\n\u202e\ufffd") || s.plain.width(line) > s.inner() {
				t.Errorf("%q: line %q", name, line)
			}
		}
	}
}

// Every text is there: each has ink in its place, and each step its own.
func TestLabels(t *testing.T) {
	m := studioStrip(t, "quay-at-dusk.tif")
	width := m.img.Bounds().Dx()
	for name, height := range map[string]int{
		"title": m.title.lineHeight(), "about": m.plain.lineHeight(), "caption": m.plain.lineHeight(), "to do": 2 * m.plain.lineHeight(),
	} {
		if n := m.inked(image.Rect(0, m.tops[name], width, m.tops[name]+height)); n < 3000 {
			t.Errorf("%s: %d pixels of ink", name, n)
		}
	}
	seen := map[int]bool{}
	for i := range m.plan.Steps {
		left, right := m.column(i, len(m.plan.Steps))
		n := m.inked(image.Rect(left, m.tops["steps"], right, m.tops["steps"]+m.step.lineHeight()))
		if n < 200 || seen[n] {
			t.Errorf("step %d: %d pixels of ink", i, n)
		}
		seen[n] = true
	}
	for i := range wedge {
		left, right := m.column(i, len(wedge))
		if n := m.inked(image.Rect(left, m.tops["lightness"], right, m.tops["lightness"]+m.plain.lineHeight())); n < 50 {
			t.Errorf("L* %d: %d pixels of ink", i, n)
		}
	}
	if m.head != "Test strip: quay-at-dusk.tif" || m.about[0] != "on harbour rag · for hall wall · 25 November 2026 · colour profile: Tidemark wide" {
		t.Errorf("%q, %q", m.head, m.about)
	}
}

func TestStepLabels(t *testing.T) {
	s := sheet{steps: []rules.Stops{-0.6, -0.25, 0, 0.07, 1}}
	if got := strings.Join(s.stepLabels(), " "); got != "-0.6 -0.25 0 +0.07 +1" {
		t.Error(got)
	}
}

func BenchmarkWrite(b *testing.B) {
	file := studio(b, "quay-at-dusk.tif")
	for b.Loop() {
		if _, err := Write(io.Discard, bytes.NewReader(file), int64(len(file)), hall(exports.Names()[0])); err != nil {
			b.Fatal(err)
		}
	}
}
