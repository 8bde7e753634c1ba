package picture

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/color/palette"
	"math"
	"strings"
	"testing"

	"lampblack/agent/icc"
	"lampblack/agent/icc/icctest"
	"lampblack/rules"
	"lampblack/rules/colour"
)

func measured(t testing.TB, file []byte) rules.Picture {
	t.Helper()
	pic, err := Measure(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	checkSums(t, pic)
	return pic
}

// checkSums checks what holds for every picture.
func checkSums(t testing.TB, pic rules.Picture) {
	t.Helper()
	var share, mean, before float64
	before = -1
	for _, tone := range pic.Tones {
		if tone.Y <= before || tone.Y > 1 || tone.Share <= 0 {
			t.Errorf("tone %+v after one of Y %v", tone, before)
		}
		before = tone.Y
		share += tone.Share
		mean += tone.Share * tone.Y
	}
	if math.Abs(share-1) > 1e-9 || math.Abs(mean-pic.MeanY) > 1e-9 {
		t.Errorf("tones add up to %v with mean %v, want 1 and %v", share, mean, pic.MeanY)
	}
	share = 0
	for _, c := range pic.Colours {
		share += c.Share
	}
	if math.Abs(share-1) > 1e-9 || len(pic.Colours) > mostColours {
		t.Errorf("%d colours add up to %v", len(pic.Colours), share)
	}
}

// trueMean is the mean Y of the test picture by the definition, for samples
// that keep their upper bits.
func trueMean(w, h, bits, channels int, e colour.Encoding) float64 {
	drop, sum := 16-bits, 0.0
	weights := colour.Bradford(e.White().XYZ(1), icc.PCSWhite).Mul(e.ToXYZ())[1]
	for y := range h {
		for x := range w {
			for c := range 3 {
				v := testValue(w, h, x, y, c)
				if channels == 1 {
					v = testValue(w, h, x, y, 0)
				}
				sum += weights[c] * e.Decode(float64(v>>drop)/float64(int(1)<<bits-1))
			}
		}
	}
	return sum / float64(w*h)
}

func TestContainers(t *testing.T) {
	const w, h = 70, 45
	adobe := icctest.Matrix("Tidemark wide", colour.AdobeRGB, icctest.Curv(563))
	exact := func(bits, channels int, e colour.Encoding) float64 { return trueMean(w, h, bits, channels, e) }
	for _, test := range []struct {
		name    string
		file    []byte
		depth   int
		ppi     float64
		profile string
		assumed bool
		mean    float64
		within  float64
	}{
		{
			"jpeg", makeJPEG(t, testRGB(w, h)),
			8, math.NaN(), "sRGB", true, exact(8, 3, colour.SRGB), 2e-3,
		},
		{
			"jpeg grey jfif", makeJPEG(t, testGrey(w, h), segment(markerAPP0, "JFIF\x00\x01\x01\x01\x01\x2c\x01\x2c\x00\x00")),
			8, 300, "sRGB", true, exact(8, 1, colour.SRGB), 1e-3,
		},
		{
			"jpeg jfif by the centimetre", makeJPEG(t, testRGB(w, h), segment(markerAPP0, "JFIF\x00\x01\x01\x02\x00\x64\x00\x64\x00\x00")),
			8, 254, "sRGB", true, exact(8, 3, colour.SRGB), 2e-3,
		},
		{
			"jpeg profile in 3 pieces", makeJPEG(t, testRGB(w, h), iccSegments(adobe, 3)),
			8, math.NaN(), "Tidemark wide", false, exact(8, 3, colour.AdobeRGB), 2e-3,
		},
		{
			"jpeg exif", makeJPEG(t, testRGB(w, h), segment(markerAPP1, "Exif\x00\x00"+string(makeEXIF()))),
			8, 240, "sRGB", false, exact(8, 3, colour.SRGB), 2e-3,
		},
		{
			"png", makePNG(t, testRGB(w, h)),
			8, math.NaN(), "sRGB", true, exact(8, 3, colour.SRGB), 1e-6,
		},
		{
			"png 16 profile pHYs", makePNG(t, testRGB16(w, h), chunk("pHYs", "\x00\x00\x2e\x23\x00\x00\x2e\x23\x01"), iccChunk(adobe)),
			16, 300, "Tidemark wide", false, exact(16, 3, colour.AdobeRGB), 1e-5,
		},
		{
			"png sRGB", makePNG(t, testRGB(w, h), chunk("sRGB", "\x00")),
			8, math.NaN(), "sRGB", false, exact(8, 3, colour.SRGB), 1e-6,
		},
		{
			"png grey", makePNG(t, testGrey(w, h)),
			8, math.NaN(), "sRGB", true, exact(8, 1, colour.SRGB), 1e-6,
		},
		{
			"tiff", sheet{w: w, h: h, bits: 16, channels: 3, compression: packNone, profile: adobe, ppcm: 200}.bytes(),
			16, 508, "Tidemark wide", false, exact(16, 3, colour.AdobeRGB), 1e-5,
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			pic := measured(t, test.file)
			if pic.Width != w || pic.Height != h || pic.Depth != test.depth {
				t.Errorf("%d x %d, %d bits", pic.Width, pic.Height, pic.Depth)
			}
			if ppi := float64(pic.PPI); ppi != test.ppi && !(math.IsNaN(ppi) && math.IsNaN(test.ppi)) {
				t.Errorf("ppi %v, want %v", ppi, test.ppi)
			}
			if pic.Profile != test.profile || pic.Assumed != test.assumed || pic.Assumed != (len(pic.Notes) > 0) {
				t.Errorf("profile %q, assumed %v, notes %q", pic.Profile, pic.Assumed, pic.Notes)
			}
			if math.Abs(pic.MeanY-test.mean) > test.within {
				t.Errorf("mean Y %v, want %v", pic.MeanY, test.mean)
			}
		})
	}
}

// makeEXIF is an EXIF block that says 240 ppi and sRGB.
func makeEXIF() []byte {
	b := []byte("MM\x00*\x00\x00\x00\x08\x00\x03")
	b = append(b, "\x01\x1a\x00\x05\x00\x00\x00\x01\x00\x00\x00\x32"...) // XResolution, at 50
	b = append(b, "\x01\x28\x00\x03\x00\x00\x00\x01\x00\x02\x00\x00"...) // inch
	b = append(b, "\x87\x69\x00\x04\x00\x00\x00\x01\x00\x00\x00\x3a"...) // EXIF, at 58
	b = append(b, "\x00\x00\x00\x00\x00\x00\x00\xf0\x00\x00\x00\x01"...) // no next; 240/1
	return append(b, "\x00\x01\xa0\x01\x00\x03\x00\x00\x00\x01\x00\x01\x00\x00\x00\x00\x00\x00"...)
}

// A TIFF means the same however it is laid out.
func TestTIFFLayouts(t *testing.T) {
	const w, h = 70, 45
	means := map[[2]int]float64{}
	for _, bits := range []int{8, 16} {
		for _, channels := range []int{1, 3} {
			means[[2]int{bits, channels}] = trueMean(w, h, bits, channels, colour.SRGB)
		}
	}
	// Each compression takes a third of all the ways, and not the same third.
	for n, compression := range []uint32{packNone, packLZW, packDeflate, packDeflateOld, packBits} {
		for i := n % 3; i < 1<<6; i += 3 {
			on := func(bit int) bool { return i>>bit&1 == 1 }
			s := sheet{w: w, h: h, bits: 8, channels: 3, compression: compression, predictor: on(0)}
			if on(1) {
				s.bits = 16
			}
			if on(2) {
				s.channels, s.inverted = 1, on(5)
			}
			if on(3) {
				s.extra, s.order = 1, binary.BigEndian
			}
			if on(4) {
				s.tile = 32
			} else if on(5) {
				s.rows = 7
			}
			pic := measured(t, s.bytes())
			want := means[[2]int{s.bits, s.channels}]
			if math.Abs(pic.MeanY-want) > 1e-6 || pic.Depth != s.bits {
				t.Errorf("%+v: mean Y %v, want %v", s, pic.MeanY, want)
			}
			if opaque := strings.Contains(noted(pic.Notes), "opaque"); opaque != on(3) {
				t.Errorf("%+v: notes %q", s, pic.Notes)
			}
		}
	}
}

func TestTransparencyIsTakenAsOpaque(t *testing.T) {
	half := flat(20, 20, color.NRGBA{200, 100, 50, 77})
	few := image.NewPaletted(image.Rect(0, 0, 20, 20), color.Palette{color.NRGBA{200, 100, 50, 0}})
	for name, img := range map[string]image.Image{"channel": half, "palette": few} {
		pic := measured(t, makePNG(t, img))
		opaque := measured(t, makePNG(t, flat(20, 20, color.NRGBA{200, 100, 50, 255})))
		if pic.MeanY != opaque.MeanY {
			t.Errorf("%s: mean Y %v, want %v", name, pic.MeanY, opaque.MeanY)
		}
		if len(pic.Notes) != 2 || pic.Notes[1].Code != rules.NoteTransparency || len(opaque.Notes) != 1 {
			t.Errorf("%s: notes %q; opaque ones %q", name, pic.Notes, opaque.Notes)
		}
	}
}

func TestPalette(t *testing.T) {
	img := image.NewPaletted(image.Rect(0, 0, 256, 3), palette.Plan9)
	same := image.NewNRGBA(img.Rect)
	for y := range 3 {
		for x := range 256 {
			img.SetColorIndex(x, y, uint8(x))
			same.Set(x, y, palette.Plan9[x])
		}
	}
	if a, b := measured(t, makePNG(t, img)).MeanY, measured(t, makePNG(t, same)).MeanY; a != b {
		t.Errorf("mean Y %v, the same in RGB %v", a, b)
	}
}

// Clipped ends: code 1 of 255 still prints as black, 254 doesn't as white.
func TestBlackAndWhiteShare(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 10, 10))
	for i := range img.Pix {
		img.Pix[i] = 128
	}
	copy(img.Pix, []uint8{0, 0, 1, 2, 254, 255, 255, 255, 255})
	pic := measured(t, makePNG(t, img))
	if pic.Black != 0.03 || pic.White != 0.04 {
		t.Errorf("black %v, white %v, want 0.03 and 0.04", pic.Black, pic.White)
	}
}

func TestTonesAreExactMeans(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 256, 4))
	for i := range img.Pix {
		img.Pix[i] = uint8(i)
	}
	type group struct{ n, sum float64 }
	var want [200]group
	for v := range 256 {
		y := colour.SRGB.Decode(float64(v) / 255)
		g := &want[min(int(colour.Lightness(y)/toneStep), 199)]
		g.n++
		g.sum += y
	}
	tones := measured(t, makePNG(t, img)).Tones
	for _, g := range want {
		if g.n == 0 {
			continue
		}
		if len(tones) == 0 || math.Abs(tones[0].Y-g.sum/g.n) > 1e-7 || math.Abs(tones[0].Share-g.n/256) > 1e-12 {
			t.Fatalf("tones go on with %v, want Y %v share %v", tones, g.sum/g.n, g.n/256)
		}
		tones = tones[1:]
	}
	if len(tones) != 0 {
		t.Errorf("more tones than expected: %v", tones)
	}
}

func TestColours(t *testing.T) {
	// Two thirds a red, one third a blue: as many cells, with their exact colours.
	img := flat(30, 30, color.NRGBA{200, 30, 40, 255})
	for y := 20; y < 30; y++ {
		for x := range 30 {
			img.SetNRGBA(x, y, color.NRGBA{30, 40, 200, 255})
		}
	}
	got := measured(t, makePNG(t, img)).Colours
	if len(got) != 2 {
		t.Fatalf("colours %v", got)
	}
	m := sRGB.ToXYZ
	for i, c := range []colour.XYZ{{X: 200, Y: 30, Z: 40}, {X: 30, Y: 40, Z: 200}} {
		decode := func(v float64) float64 { return colour.SRGB.Decode(v / 255) }
		want := colour.LabOf(m.Apply(colour.XYZ{X: decode(c.X), Y: decode(c.Y), Z: decode(c.Z)}), icc.PCSWhite)
		if de := distance(got[i].Lab, want); de > 1e-3 {
			t.Errorf("colour %d is %+v, want %+v", i, got[i].Lab, want)
		}
		if want := float64(2-i) / 3; math.Abs(got[i].Share-want) > 1e-9 {
			t.Errorf("colour %d has share %v, want %v", i, got[i].Share, want)
		}
	}
}

// A large picture is sampled, evenly across and down.
func TestColoursOfALargePicture(t *testing.T) {
	img := flat(1200, 1000, color.NRGBA{90, 90, 90, 255})
	for y := range 1000 {
		for x := 3; x < 1200; x += 16 {
			img.SetNRGBA(x, y, color.NRGBA{200, 30, 40, 255})
		}
	}
	got := measured(t, makePNG(t, img)).Colours
	if len(got) != 2 || math.Abs(got[1].Share-1.0/16) > 1e-3 {
		t.Errorf("a stripe of every 16th column gives %v", got)
	}
}

func TestLightnessTable(t *testing.T) {
	var table lightnessTable
	table.fill()
	for i := range 30000 {
		v := colour.XYZ{X: float64(i)/25000 - 0.02, Y: float64(i*7%30000)/25000 - 0.01, Z: float64(i*11%30000) / 25000}
		if de := distance(table.lab(v), colour.LabOf(v, icc.PCSWhite)); de > 0.005 {
			t.Fatalf("%+v: off by %v", v, de)
		}
	}
}

// distance is the CIE 1976 colour difference.
func distance(a, b colour.Lab) float64 {
	return math.Sqrt((a.L-b.L)*(a.L-b.L) + (a.A-b.A)*(a.A-b.A) + (a.B-b.B)*(a.B-b.B))
}
