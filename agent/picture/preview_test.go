package picture

import (
	"bytes"
	"encoding/json"
	"errors"
	"image"
	"image/color"
	"math"
	"reflect"
	"strings"
	"testing"

	"lampblack/agent/icc/icctest"
	"lampblack/config/legible"
	"lampblack/rules"
	"lampblack/rules/colour"
)

func previewed(t testing.TB, file []byte, side int) Preview {
	t.Helper()
	p, err := PreviewOf(bytes.NewReader(file), int64(len(file)), side)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// at is the colour of a pixel relative to D50, white Y = 1.
func (p Preview) at(x, y int) colour.XYZ {
	var v [3]float64
	for i := range v {
		b := p.Pix[6*(y*p.Width+x)+2*i:]
		v[i] = colour.ROMM.Decode(float64(uint16(b[0])<<8|uint16(b[1])) / math.MaxUint16)
	}
	return colour.ROMM.ToXYZ().Apply(colour.XYZ{X: v[0], Y: v[1], Z: v[2]})
}

func (p Preview) meanY() float64 {
	sum := 0.0
	for y := range p.Height {
		for x := range p.Width {
			sum += p.at(x, y).Y
		}
	}
	return sum / float64(p.Width*p.Height)
}

// Of every kind of file, made smaller or not, the preview has the mean luminance
// that is measured; its pixels are means of light. What lies outside of ROMM, as
// the primaries of the wide test pictures do, costs a little.
func TestPreviewKeepsTheLight(t *testing.T) {
	for name, file := range goodFiles(t) {
		if strings.Contains(name, "webp") {
			if _, err := PreviewOf(bytes.NewReader(file), int64(len(file)), 50); !errors.Is(err, ErrUnsupported) {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		want := measured(t, file)
		for _, side := range []int{1, 7, 40, LargestPreview} {
			p := previewed(t, file, side)
			if max(p.Width, p.Height) != min(side, max(want.Width, want.Height)) || len(p.Pix) != 6*p.Width*p.Height {
				t.Errorf("%s: %d x %d pixels and %d bytes, at most %d", name, p.Width, p.Height, len(p.Pix), side)
			}
			if got := p.meanY(); math.Abs(got-want.MeanY) > 0.001 {
				t.Errorf("%s at %d: mean Y %.5f, measured %.5f", name, side, got, want.MeanY)
			}
		}
	}
}

// Pictures whose profile works by tables keep their light, too, in RGB and in inks.
func TestPreviewByTables(t *testing.T) {
	for name, file := range map[string][]byte{
		"RGB":        sheet{w: 61, h: 43, bits: 16, channels: 3, compression: packNone, rows: 9, profile: icctest.Printer("Lab ")}.bytes(),
		"RGB in PNG": makePNG(t, testRGB(61, 43), iccChunk(icctest.Printer("Lab "))),
		"inks":       sheet{w: 61, h: 43, bits: 8, channels: 4, compression: packLZW, tile: 16, profile: icctest.Press(16)}.bytes(),
	} {
		want := measured(t, file)
		for _, side := range []int{20, 61} {
			if got := previewed(t, file, side).meanY(); math.Abs(got-want.MeanY) > 0.003 {
				t.Errorf("%s at %d: mean Y %.5f, measured %.5f", name, side, got, want.MeanY)
			}
		}
	}
}

// What can be measured and not shown is refused in a sentence.
func TestPreviewOfAnInkJPEG(t *testing.T) {
	file, _, _ := cmykJPEG(t)
	if _, err := PreviewOf(bytes.NewReader(file), int64(len(file)), 50); !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "CMYK") {
		t.Errorf("%v", err)
	}
}

// A picture that is small enough keeps every pixel's colour.
func TestPreviewKeepsSmallPictures(t *testing.T) {
	img := testRGB(9, 7)
	p := previewed(t, makePNG(t, img), 100)
	toD50 := colour.Bradford(colour.D65.XYZ(1), colour.D50.XYZ(1)).Mul(colour.SRGB.ToXYZ())
	for y := range 7 {
		for x := range 9 {
			c := img.NRGBAAt(x, y)
			linear := func(v uint8) float64 { return colour.SRGB.Decode(float64(v) / 255) }
			want := toD50.Apply(colour.XYZ{X: linear(c.R), Y: linear(c.G), Z: linear(c.B)})
			got := p.at(x, y)
			if math.Abs(got.X-want.X)+math.Abs(got.Y-want.Y)+math.Abs(got.Z-want.Z) > 2e-3 {
				t.Errorf("pixel %d, %d is %+v, want %+v", x, y, got, want)
			}
		}
	}
}

// Fine stripes of black and white become the grey of half the light, not of half
// the code; and they do so evenly where a pixel of the preview ends inside of one.
func TestPreviewMixesLight(t *testing.T) {
	const w, h = 300, 200
	img := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetGray(x, y, color.Gray{uint8(255 * ((x + y) % 2))})
		}
	}
	for _, side := range []int{150, 100, 37} {
		p := previewed(t, makePNG(t, img), side)
		for y := range p.Height {
			for x := range p.Width {
				if got := p.at(x, y); math.Abs(got.Y-0.5) > 0.06 {
					t.Fatalf("at %d: pixel %d, %d has Y %.3f", side, x, y, got.Y)
				}
				if got := p.at(x, y).XY(); math.Hypot(got.X-colour.D50.X, got.Y-colour.D50.Y) > 1e-3 {
					t.Fatalf("at %d: pixel %d, %d is tinted: %+v", side, x, y, got)
				}
			}
		}
	}
}

// The columns of a picture are shared out whole, each to neighbours.
func TestSpreadOver(t *testing.T) {
	for _, c := range [][2]int{{1, 1}, {7, 7}, {10, 3}, {6048, 1200}, {1201, 1200}, {200000, 1200}} {
		n, m := c[0], c[1]
		got := make([]float64, m)
		for _, column := range spreadOver(n, m) {
			got[column.to] += float64(column.share)
			if rest := 1 - float64(column.share); rest > 1e-6 {
				got[column.to+1] += rest
			}
		}
		for i, sum := range got {
			if want := float64(n) / float64(m); math.Abs(sum-want) > 1e-4*want {
				t.Fatalf("%d over %d: column %d has %.5f, want %.5f", n, m, i, sum, want)
			}
		}
	}
}

func TestPreviewInTheWorker(t *testing.T) {
	file := makePNG(t, testRGB16(61, 43), iccChunk(icctest.Matrix("Tidemark", colour.AdobeRGB, icctest.Curv(563))))
	got, err := troupe(t, "worker").Preview(t.Context(), stored(t, file))
	if err != nil {
		t.Fatal(err)
	}
	if want := previewed(t, file, LargestPreview); !reflect.DeepEqual(got, want) {
		t.Errorf("%d x %d pixels differ from those made here", got.Width, got.Height)
	}
}

// The largest preview fits through the pipe.
func TestLargestPreviewFits(t *testing.T) {
	b, err := json.Marshal(answer{Preview: &Preview{LargestPreview, LargestPreview, bytes.Repeat([]byte{0xff}, 6*LargestPreview*LargestPreview)}})
	if err != nil || len(b) > mostPreview {
		t.Errorf("%d bytes of %d: %v", len(b), mostPreview, err)
	}
}

func TestPreviewPassesErrorsOn(t *testing.T) {
	good := makePNG(t, testRGB(61, 43))
	for name, test := range map[string]struct {
		file []byte
		kind error
	}{
		"empty":      {nil, ErrUnfinished},
		"unfinished": {good[:len(good)/2], ErrUnfinished},
		"a letter":   {[]byte("Dear Skarvik harbour office"), ErrUnsupported},
		"a profile":  {icctest.Matrix("Tidemark", colour.ROMM, icctest.Curv(461)), ErrUnsupported},
	} {
		if _, err := troupe(t, "worker").Preview(t.Context(), stored(t, test.file)); !errors.Is(err, test.kind) {
			t.Errorf("%s: %v", name, err)
		}
	}
	path := stored(t, good)
	for _, part := range []string{"suicide", "fail", "garbage", "nothing", "empty picture", "unknown kind", "flood"} {
		if _, err := troupe(t, part).Preview(t.Context(), path); !errors.Is(err, ErrBroken) {
			t.Errorf("%s: %v", part, err)
		}
	}
}

// Whatever a child says, a preview is as large as it claims, or none.
func TestPreviewsAreChecked(t *testing.T) {
	for name, a := range map[string]answer{
		"none":        {},
		"a picture":   {Picture: &rules.Picture{Width: 1, Height: 1}},
		"no pixels":   {Preview: &Preview{}},
		"too few":     {Preview: &Preview{2, 2, make([]byte, 23)}},
		"too many":    {Preview: &Preview{1, 1, make([]byte, 12)}},
		"too wide":    {Preview: &Preview{LargestPreview + 1, 1, make([]byte, 6*(LargestPreview+1))}},
		"less than 0": {Preview: &Preview{-1, -1, make([]byte, 6)}},
	} {
		b, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := readPreview(b); !errors.Is(err, errGarbage) {
			t.Errorf("%s: %v", name, err)
		}
	}
	hostile := `{"error":"` + strings.Repeat("b", 1000) + `\u202e","kind":"broken"}`
	if _, err := readPreview([]byte(hostile)); !errors.Is(err, ErrBroken) || len(err.Error()) > legible.MostOfName {
		t.Errorf("%v", err)
	}
}

// FuzzPreview: any bytes give a preview or one of the errors.
func FuzzPreview(f *testing.F) {
	seeds(f, "jpeg", "grey", "png", "lzw", "deflate", "big", "grey none")
	f.Fuzz(func(t *testing.T, file []byte) {
		p, err := PreviewOf(bytes.NewReader(file), int64(len(file)), 16)
		switch {
		case err == nil && len(p.Pix) == 6*p.Width*p.Height && len(p.Pix) > 0 && max(p.Width, p.Height) <= 16:
		case errors.Is(err, ErrBroken), errors.Is(err, ErrUnsupported), errors.Is(err, ErrVanished):
		default:
			t.Errorf("%d x %d pixels, %v", p.Width, p.Height, err)
		}
	})
}

// BenchmarkPreview: of a picture of 24 megapixels in 8 bits, from a worker.
func BenchmarkPreview(b *testing.B) {
	path := stored(b, sheet{w: 6000, h: 4000, bits: 16, channels: 3, compression: packNone, rows: 16}.bytes())
	w := troupe(b, "worker")
	for b.Loop() {
		if _, err := w.Preview(b.Context(), path); err != nil {
			b.Fatal(err)
		}
	}
}
