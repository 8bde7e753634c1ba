package picture

import (
	"encoding/binary"
	"image/color"
	"math"
	"slices"
	"strings"
	"testing"

	"lampblack/rules/colour"
)

func TestCurves(t *testing.T) {
	samples := make([]uint16, 1024)
	for i := range samples {
		samples[i] = uint16(math.Round(65535 * colour.SRGB.Decode(float64(i)/1023)))
	}
	power := func(g float64) curve { return func(v float64) float64 { return math.Pow(v, g) } }
	for _, test := range []struct {
		name    string
		element []byte
		want    curve
		within  float64
	}{
		{"identity", curvElement(), func(v float64) float64 { return v }, 0},
		{"gamma", curvElement(563), power(563.0 / 256), 1e-12},
		{"samples", curvElement(samples...), colour.SRGB.Decode, 2e-5},
		{"inverted", curvElement(65535, 0), func(v float64) float64 { return 1 - v }, 1e-12},
		{"para 0", paraElement(0, 1.5), power(1.5), 1e-12},
		{"para 1", paraElement(1, 2, 2, -1), func(v float64) float64 { return math.Pow(max(2*v-1, 0), 2) }, 1e-12},
		{"para 2", paraElement(2, 2, 2, -1, 0.125), func(v float64) float64 {
			return min(math.Pow(max(2*v-1, 0), 2)+0.125, 1)
		}, 1e-12},
		{"para 3", sRGBCurve(), colour.SRGB.Decode, 3e-5},
		{"para 4", paraElement(4, 1, 0.5, 0, 0.25, 0.5, 0.125, 0.0625), func(v float64) float64 {
			if v < 0.5 {
				return 0.25*v + 0.0625
			}
			return 0.5*v + 0.125
		}, 1e-12},
		{"held within", paraElement(1, 1, 4, -1), func(v float64) float64 { return min(max(4*v-1, 0), 1) }, 1e-12},
	} {
		c, err := parseCurve(test.element)
		if err != nil {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		for i := range 101 {
			v := float64(i) / 100
			if got := c(v); math.Abs(got-test.want(v)) > test.within {
				t.Errorf("%s: %v -> %v, want %v", test.name, v, got, test.want(v))
			}
		}
	}
}

// The built-in sRGB and an sRGB profile are the same to a fraction of a step.
func TestProfileOfSRGB(t *testing.T) {
	img := testRGB(64, 48)
	plain := measured(t, makePNG(t, img))
	tagged := measured(t, makePNG(t, img, iccChunk(matrixProfile("Tidemark", colour.SRGB, sRGBCurve()))))
	if math.Abs(plain.MeanY-tagged.MeanY) > 5e-5 || tagged.Assumed || tagged.Profile != "Tidemark" {
		t.Errorf("mean Y %v untagged, %v tagged as %q", plain.MeanY, tagged.MeanY, tagged.Profile)
	}
}

// Whatever its numbers add up to, a profile's white has Y = 1 and L* = 100.
func TestWhiteIsOne(t *testing.T) {
	dim := matrixProfile("dim", colour.SRGB, paraElement(4, 1, 0.75, 0, 0.75, 0, 0, 0))
	grey := greyProfile("grey", "XYZ ", curvElement(0, 50000))
	lstar := greyProfile("lightness", "Lab ", curvElement())
	white := flat(8, 8, color.NRGBA{255, 255, 255, 255})
	for name, file := range map[string][]byte{
		"dim":       makePNG(t, white, iccChunk(dim)),
		"grey":      sheet{w: 8, h: 8, bits: 8, channels: 1, compression: packNone, profile: grey, value: func(x, y, c int) uint16 { return 65535 }}.bytes(),
		"lightness": sheet{w: 8, h: 8, bits: 8, channels: 1, compression: packNone, profile: lstar, value: func(x, y, c int) uint16 { return 65535 }}.bytes(),
	} {
		pic := measured(t, file)
		if math.Abs(pic.MeanY-1) > 1e-6 || pic.White != 1 || pic.Profile != name {
			t.Errorf("%s: mean Y %v, white share %v, profile %q", name, pic.MeanY, pic.White, pic.Profile)
		}
		if lab := pic.Colours[0].Lab; distance(lab, colour.Lab{L: 100}) > 0.02 {
			t.Errorf("%s: white is %+v", name, lab)
		}
	}
}

// Grey by lightness: the code is L*.
func TestGreyProfileOfLightness(t *testing.T) {
	mid := func(x, y, c int) uint16 { return 32768 }
	pic := measured(t, sheet{
		w: 8, h: 8, bits: 16, channels: 1, compression: packNone, value: mid,
		profile: greyProfile("lightness", "Lab ", curvElement()),
	}.bytes())
	if want := colour.FromLightness(100 * 32768.0 / 65535); math.Abs(pic.MeanY-want) > 1e-6 {
		t.Errorf("mean Y %v, want %v", pic.MeanY, want)
	}
}

func TestVersion2Name(t *testing.T) {
	element := append([]byte("desc\x00\x00\x00\x00\x00\x00\x00\x0c"), "harbour rag\x00"...)
	if got := (tags{"desc": element}).name(); got != "harbour rag" {
		t.Errorf("%q", got)
	}
	hostile := append([]byte("desc\x00\x00\x00\x00\xff\xff\xff\xff"), "a\x1b[31mb\u202ec"...)
	if got := (tags{"desc": hostile}).name(); got != "a[31mbc" {
		t.Errorf("%q", got)
	}
	if got := (tags{}).name(); got != "a profile without a name" {
		t.Errorf("%q", got)
	}
}

// A profile that can't be used costs the profile, not the picture.
func TestUnusableProfiles(t *testing.T) {
	good := matrixProfile("good", colour.SRGB, sRGBCurve())
	spoilt := func(at int, with string) []byte {
		p := slices.Clone(good)
		copy(p[at:], with)
		return p
	}
	without := func(sig string) []byte { return spoilt(strings.Index(string(good), sig), "none") }
	img := testRGB(20, 20)
	for _, test := range []struct {
		name, want string
		file       []byte
	}{
		{"short", "cut short", makePNG(t, img, iccChunk(good[:100]))},
		{"cut", "promises", makePNG(t, img, iccChunk(good[:300]))},
		{"no signature", "no ICC signature", makePNG(t, img, iccChunk(spoilt(36, "xxxx")))},
		{"many elements", "promises 4294967295 elements", makePNG(t, img, iccChunk(spoilt(128, "\xff\xff\xff\xff")))},
		{"element outside", "lies outside", makePNG(t, img, iccChunk(spoilt(136, "\xff\xff\xff\xf0")))},
		{"class", "class", makePNG(t, img, iccChunk(spoilt(12, "link")))},
		{"no primary", "says too little", makePNG(t, img, iccChunk(without("rXYZ")))},
		{"no curve", "curve is missing", makePNG(t, img, iccChunk(without("gTRC")))},
		{"black white", "white is black", makePNG(t, img, iccChunk(matrixProfile("x", colour.SRGB, curvElement(0, 0))))},
		{"curve of no kind", "damaged", makePNG(t, img, iccChunk(matrixProfile("x", colour.SRGB, paraElement(9, 1))))},
		{"huge curve", "damaged", makePNG(t, img, iccChunk(matrixProfile("x", colour.SRGB, append([]byte("curv\x00\x00\x00\x00"), 0xff, 0xff, 0xff, 0xff))))},
		{"for grey", "for grey, the picture is in RGB", makePNG(t, img, iccChunk(greyProfile("x", "XYZ ", curvElement())))},
		{"tables", "a table leads from 0 channels", makePNG(t, img, iccChunk(makeProfile("prtr", "RGB ", "Lab ", map[string][]byte{"desc": nameElement("x"), "A2B0": make([]byte, 60)})))},
		{"damaged packing", "damaged", makePNG(t, img, chunk("iCCP", "name\x00\x00rubbish"))},
		{"unknown packing", "packing", makePNG(t, img, chunk("iCCP", "name\x00\x07rubbish"))},
		{"piece missing", "pieces of it are missing", makeJPEG(t, img, iccSegments(good, 3)[:18+len(good)/3])},
		{"piece twice", "misnumbered", makeJPEG(t, img, iccSegments(good, 2), iccSegments(good, 2))},
		{"piece 3 of 2", "misnumbered", makeJPEG(t, img, segment(markerAPP2, "ICC_PROFILE\x00\x03\x02"+string(good)))},
		{"piece 0", "misnumbered", makeJPEG(t, img, segment(markerAPP2, "ICC_PROFILE\x00\x00\x01"+string(good)))},
		{"outside the file", "lies outside the file", spoiltTIFF(good)},
	} {
		pic := measured(t, test.file)
		notes := strings.Join(pic.Notes, "|")
		if !pic.Assumed || pic.Profile != "sRGB" || !strings.Contains(notes, test.want) || !strings.HasSuffix(notes, "it was taken as sRGB.") {
			t.Errorf("%s: profile %q, assumed %v, notes %q", test.name, pic.Profile, pic.Assumed, notes)
		}
	}
}

// spoiltTIFF has a profile that is said to lie beyond the file's end.
func spoiltTIFF(profile []byte) []byte {
	file := sheet{w: 20, h: 20, bits: 8, channels: 3, compression: packNone, profile: profile}.bytes()
	entry := binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint16(nil, tagICCProfile), typeUndefined)
	at := strings.LastIndex(string(file), string(entry))
	binary.LittleEndian.PutUint32(file[at+8:], 1<<31)
	return file
}

func TestPaddedProfileIsRead(t *testing.T) {
	p, err := parseProfile(append(matrixProfile("padded", colour.SRGB, sRGBCurve()), make([]byte, 100)...))
	if err != nil || p.name != "padded" {
		t.Errorf("%q, %v", p.name, err)
	}
}

func TestBrokenProfileKeepsItsName(t *testing.T) {
	p, err := parseProfile(makeProfile("prtr", "RGB ", "Lab ", map[string][]byte{
		"desc": nameElement("slip gloss"), "A2B0": make([]byte, 60),
	}))
	if err == nil || p.name != "slip gloss" {
		t.Errorf("%q, %v", p.name, err)
	}
}
