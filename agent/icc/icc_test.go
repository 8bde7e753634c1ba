package icc

import (
	"math"
	"slices"
	"strings"
	"testing"

	"lampblack/agent/icc/icctest"
	"lampblack/rules/colour"
)

func TestCurves(t *testing.T) {
	samples := make([]uint16, 1024)
	for i := range samples {
		samples[i] = uint16(math.Round(65535 * colour.SRGB.Decode(float64(i)/1023)))
	}
	power := func(g float64) Curve { return func(v float64) float64 { return math.Pow(v, g) } }
	for _, test := range []struct {
		name    string
		element []byte
		want    Curve
		within  float64
	}{
		{"identity", icctest.Curv(), func(v float64) float64 { return v }, 0},
		{"gamma", icctest.Curv(563), power(563.0 / 256), 1e-12},
		{"samples", icctest.Curv(samples...), colour.SRGB.Decode, 2e-5},
		{"inverted", icctest.Curv(65535, 0), func(v float64) float64 { return 1 - v }, 1e-12},
		{"para 0", icctest.Para(0, 1.5), power(1.5), 1e-12},
		{"para 1", icctest.Para(1, 2, 2, -1), func(v float64) float64 { return math.Pow(max(2*v-1, 0), 2) }, 1e-12},
		{"para 2", icctest.Para(2, 2, 2, -1, 0.125), func(v float64) float64 {
			return min(math.Pow(max(2*v-1, 0), 2)+0.125, 1)
		}, 1e-12},
		{"para 3", icctest.SRGBCurve(), colour.SRGB.Decode, 3e-5},
		{"para 4", icctest.Para(4, 1, 0.5, 0, 0.25, 0.5, 0.125, 0.0625), func(v float64) float64 {
			if v < 0.5 {
				return 0.25*v + 0.0625
			}
			return 0.5*v + 0.125
		}, 1e-12},
		{"held within", icctest.Para(1, 1, 4, -1), func(v float64) float64 { return min(max(4*v-1, 0), 1) }, 1e-12},
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

func TestVersion2Name(t *testing.T) {
	element := append([]byte("desc\x00\x00\x00\x00\x00\x00\x00\x0c"), "harbour rag\x00"...)
	if got := (tags{"desc": element}).name(); got != "harbour rag" {
		t.Errorf("%q", got)
	}
	hostile := append([]byte("desc\x00\x00\x00\x00\xff\xff\xff\xff"), "a\x1b[31mb\u202ec"...)
	if got := (tags{"desc": hostile}).name(); got != "a[31mbc" {
		t.Errorf("%q", got)
	}
	if got := (tags{}).name(); got != "a colour profile without a name" {
		t.Errorf("%q", got)
	}
}

// Whatever is wrong with a profile is said, and its name is kept where it was found.
func TestUnusableProfiles(t *testing.T) {
	good := icctest.Matrix("good", colour.SRGB, icctest.SRGBCurve())
	spoilt := func(at int, with string) []byte {
		p := slices.Clone(good)
		copy(p[at:], with)
		return p
	}
	without := func(sig string) []byte { return spoilt(strings.Index(string(good), sig), "none") }
	for _, test := range []struct {
		name, want string
		profile    []byte
	}{
		{"short", "cut short", good[:100]},
		{"cut", "promises", good[:300]},
		{"no signature", "no ICC signature", spoilt(36, "xxxx")},
		{"many elements", "promises 4294967295 elements", spoilt(128, "\xff\xff\xff\xff")},
		{"element outside", "lies outside", spoilt(136, "\xff\xff\xff\xf0")},
		{"class", "class", spoilt(12, "link")},
		{"no primary", "says too little", without("rXYZ")},
		{"no curve", "curve is missing", without("gTRC")},
		{"black white", "white is black", icctest.Matrix("x", colour.SRGB, icctest.Curv(0, 0))},
		{"curve of no kind", "damaged", icctest.Matrix("x", colour.SRGB, icctest.Para(9, 1))},
		{"huge curve", "damaged", icctest.Matrix("x", colour.SRGB, append([]byte("curv\x00\x00\x00\x00"), 0xff, 0xff, 0xff, 0xff))},
		{"tables", "a table leads from 0 channels", icctest.Profile("prtr", "RGB ", "Lab ", map[string][]byte{"desc": icctest.Name("x"), "A2B0": make([]byte, 60)})},
	} {
		if _, err := Parse(test.profile); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v", test.name, err)
		}
	}
}

func TestPaddedProfileIsRead(t *testing.T) {
	p, err := Parse(append(icctest.Matrix("padded", colour.SRGB, icctest.SRGBCurve()), make([]byte, 100)...))
	if err != nil || p.Name != "padded" {
		t.Errorf("%q, %v", p.Name, err)
	}
}

func TestBrokenProfileKeepsItsName(t *testing.T) {
	p, err := Parse(icctest.Profile("prtr", "RGB ", "Lab ", map[string][]byte{
		"desc": icctest.Name("slip gloss"), "A2B0": make([]byte, 60),
	}))
	if err == nil || p.Name != "slip gloss" {
		t.Errorf("%q, %v", p.Name, err)
	}
}

// distance is the CIE 1976 colour difference.
func distance(a, b colour.Lab) float64 {
	return math.Sqrt((a.L-b.L)*(a.L-b.L) + (a.A-b.A)*(a.A-b.A) + (a.B-b.B)*(a.B-b.B))
}
