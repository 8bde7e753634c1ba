package picture

import (
	"encoding/binary"
	"image/color"
	"math"
	"slices"
	"strings"
	"testing"

	"lampblack/agent/icc/icctest"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// The built-in sRGB and an sRGB profile are the same to a fraction of a step.
func TestProfileOfSRGB(t *testing.T) {
	img := testRGB(64, 48)
	plain := measured(t, makePNG(t, img))
	tagged := measured(t, makePNG(t, img, iccChunk(icctest.Matrix("Tidemark", colour.SRGB, icctest.SRGBCurve()))))
	if math.Abs(plain.MeanY-tagged.MeanY) > 5e-5 || tagged.Assumed || tagged.Profile != "Tidemark" {
		t.Errorf("mean Y %v untagged, %v tagged as %q", plain.MeanY, tagged.MeanY, tagged.Profile)
	}
}

// Whatever its numbers add up to, a profile's white has Y = 1 and L* = 100.
func TestWhiteIsOne(t *testing.T) {
	dim := icctest.Matrix("dim", colour.SRGB, icctest.Para(4, 1, 0.75, 0, 0.75, 0, 0, 0))
	grey := icctest.Grey("grey", "XYZ ", icctest.Curv(0, 50000))
	lstar := icctest.Grey("lightness", "Lab ", icctest.Curv())
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
		profile: icctest.Grey("lightness", "Lab ", icctest.Curv()),
	}.bytes())
	if want := colour.FromLightness(100 * 32768.0 / 65535); math.Abs(pic.MeanY-want) > 1e-6 {
		t.Errorf("mean Y %v, want %v", pic.MeanY, want)
	}
}

// A profile that can't be used costs the profile, not the picture.
func TestUnusableProfiles(t *testing.T) {
	good := icctest.Matrix("good", colour.SRGB, icctest.SRGBCurve())
	spoilt := func(at int, with string) []byte {
		p := slices.Clone(good)
		copy(p[at:], with)
		return p
	}
	img := testRGB(20, 20)
	for _, test := range []struct {
		name, want string
		file       []byte
	}{
		{"class", "class", makePNG(t, img, iccChunk(spoilt(12, "link")))},
		{"for grey", "for grey, the picture is in RGB", makePNG(t, img, iccChunk(icctest.Grey("x", "XYZ ", icctest.Curv())))},
		{"damaged packing", "damaged", makePNG(t, img, chunk("iCCP", "name\x00\x00rubbish"))},
		{"unknown packing", "packing", makePNG(t, img, chunk("iCCP", "name\x00\x07rubbish"))},
		{"piece missing", "pieces of it are missing", makeJPEG(t, img, iccSegments(good, 3)[:18+len(good)/3])},
		{"piece twice", "misnumbered", makeJPEG(t, img, iccSegments(good, 2), iccSegments(good, 2))},
		{"piece 3 of 2", "misnumbered", makeJPEG(t, img, segment(markerAPP2, "ICC_PROFILE\x00\x03\x02"+string(good)))},
		{"piece 0", "misnumbered", makeJPEG(t, img, segment(markerAPP2, "ICC_PROFILE\x00\x00\x01"+string(good)))},
		{"outside the file", "lies outside the file", spoiltTIFF(good)},
	} {
		pic := measured(t, test.file)
		notes := noted(pic.Notes)
		if !pic.Assumed || pic.Profile != "sRGB" || !strings.Contains(notes, test.want) || !strings.HasSuffix(notes, "it was taken as sRGB.") {
			t.Errorf("%s: profile %q, assumed %v, notes %q", test.name, pic.Profile, pic.Assumed, notes)
		}
	}
}

// noted is the texts of notes, whose codes have to be known.
func noted(notes []rules.Sentence) string {
	var texts []string
	for _, n := range notes {
		if n.Code.Meaning() == "" {
			texts = append(texts, "a code that nobody knows: ", string(n.Code))
		}
		texts = append(texts, n.Text)
	}
	return strings.Join(texts, "|")
}

// spoiltTIFF has a profile that is said to lie beyond the file's end.
func spoiltTIFF(profile []byte) []byte {
	file := sheet{w: 20, h: 20, bits: 8, channels: 3, compression: packNone, profile: profile}.bytes()
	entry := binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint16(nil, tagICCProfile), typeUndefined)
	at := strings.LastIndex(string(file), string(entry))
	binary.LittleEndian.PutUint32(file[at+8:], 1<<31)
	return file
}
