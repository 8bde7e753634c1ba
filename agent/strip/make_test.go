package strip

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"
	"time"

	"golang.org/x/image/tiff"

	"lampblack/agent/picture"
	"lampblack/agent/rehearse/scenes"
	"lampblack/testdata/exports"
)

// made is a strip as a reader finds it.
type made struct {
	plan Plan
	file []byte
	img  image.RGBA64Image
	*sheet
	tops map[string]int // of the parts that have patches
}

// hall is what the strips of the tests are for.
func hall(name string) Options {
	return Options{Name: name, Paper: "harbour rag", Viewing: "hall wall", Date: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)}
}

// makeStrip writes a strip of the picture in file and reads it with another
// library.
func makeStrip(t testing.TB, file []byte, o Options) made {
	t.Helper()
	var out bytes.Buffer
	plan, err := Write(&out, bytes.NewReader(file), int64(len(file)), o)
	if err != nil {
		t.Fatal(err)
	}
	img, err := tiff.Decode(bytes.NewReader(out.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	m := made{plan: plan, file: out.Bytes(), img: img.(image.RGBA64Image)}
	m.layOut(t, file, o)
	return m
}

// studioStrip is the strip of one of the studio's exports, for the hall. It is
// made once for all tests, which run one after the other.
func studioStrip(t testing.TB, name string) made {
	t.Helper()
	if _, done := studioStrips[name]; !done {
		studioStrips[name] = makeStrip(t, studio(t, name), hall(name))
	}
	return studioStrips[name]
}

var studioStrips = map[string]made{}

// layOut finds again where things are.
func (m *made) layOut(t testing.TB, file []byte, o Options) {
	t.Helper()
	if err := o.setSize(); err != nil {
		t.Fatal(err)
	}
	pic := readSamples(t, file)
	s, err := layOut(o, m.plan.Steps, pic)
	if err != nil {
		t.Fatal(err)
	}
	s.fit(pic.Turn.Size(m.plan.Crop.Size()))
	m.sheet, m.tops = s, map[string]int{}
	top := 0
	names := map[int]string{1: "title", 2: "about", 4: "patches", 6: "steps", 8: "caption", 10: "wedge", 12: "lightness", 14: "to do"}
	for i, part := range s.parts(nil, nil) {
		m.tops[names[i]] = top
		top += part.height
	}
	if b := m.img.Bounds(); b.Dx() != s.width || b.Dy() != top {
		t.Fatalf("the strip has %v pixels, laid out were %d x %d", b, s.width, top)
	}
}

func readSamples(t testing.TB, file []byte) *picture.Samples {
	t.Helper()
	pic, err := picture.ReadSamples(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	return pic
}

// pixel is the strip's 16-bit samples at p.
func (m made) pixel(p image.Point) [3]uint16 {
	c := m.img.RGBA64At(p.X, p.Y)
	return [3]uint16{c.R, c.G, c.B}
}

// patch is where the i-th exposure is.
func (m made) patch(i int) image.Rectangle {
	at := m.patchAt(i, m.tops["patches"])
	return image.Rectangle{at, at.Add(m.sheet.patch)}
}

// wedgePatch is where the i-th step of the wedge is.
func (m made) wedgePatch(i int) image.Rectangle { return m.wedgeAt(i, m.tops["wedge"]) }

// inked tells how many pixels of r are not the surround.
func (m made) inked(r image.Rectangle) int {
	surround, n := m.pixel(image.Pt(0, 0)), 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if m.pixel(image.Pt(x, y)) != surround {
				n++
			}
		}
	}
	return n
}

// studio is one of the demo studio's exports.
func studio(t testing.TB, name string) []byte {
	t.Helper()
	file, err := exports.Files.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// drawn is a picture of the Tidemark wide encoding, grey by tone(x, y), 0..65535.
func drawn(t testing.TB, w, h int, tone func(x, y int) uint16) []byte {
	t.Helper()
	img := image.NewNRGBA64(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := tone(x, y)
			img.SetNRGBA64(x, y, color.NRGBA64{R: v, G: v, B: v, A: 65535})
		}
	}
	var b bytes.Buffer
	if err := scenes.EncodeTIFF(&b, img, scenes.Options{Profile: scenes.Profile(scenes.Wide), Depth: 16}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func encodePNG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
