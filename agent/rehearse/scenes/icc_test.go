package scenes

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"

	"github.com/kovidgoyal/imaging/prism/meta/icc"
)

var kinds = []Kind{Web, Wide, Master}

// lab is CIE 1976 L*a*b* relative to the white of the connection space.
func lab(xyz [3]float64) [3]float64 {
	var f [3]float64
	for i, v := range xyz {
		v /= pcsWhite[i]
		if v > 216.0/24389 {
			f[i] = math.Cbrt(v)
		} else {
			f[i] = (24389.0/27*v + 16) / 116
		}
	}
	return [3]float64{116*f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])}
}

func deltaE(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// fiftyColours are the corners of the cube, a grey scale that is close in the
// shadows, and colours between, in 8-bit codes.
func fiftyColours() [][3]int {
	var colours [][3]int
	for i := range 8 {
		colours = append(colours, [3]int{255 * (i & 1), 255 * (i >> 1 & 1), 255 * (i >> 2)})
	}
	for _, v := range []int{1, 2, 4, 6, 8, 11, 16, 24, 40, 64, 100, 128, 180, 220, 254} {
		colours = append(colours, [3]int{v, v, v})
	}
	for i := len(colours); i < 50; i++ {
		h := hash(i, 0, 4)
		colours = append(colours, [3]int{int(h & 255), int(h >> 8 & 255), int(h >> 16 & 255)})
	}
	return colours
}

func ofCodes(c [3]int) [3]float64 {
	return [3]float64{float64(c[0]) / 255, float64(c[1]) / 255, float64(c[2]) / 255}
}

func TestProfilesAgreeWithAnotherReader(t *testing.T) {
	for _, k := range kinds {
		p, err := icc.NewProfileReader(bytes.NewReader(Profile(k))).ReadProfile()
		if err != nil {
			t.Fatalf("%v: %v", k, err)
		}
		if got, err := p.Description(); err != nil || got != k.String() {
			t.Errorf("description is %q (%v), want %q", got, err, k)
		}
		toPCS, err := p.CreateTransformerToPCS(icc.RelativeColorimetricRenderingIntent, 3, true)
		if err != nil {
			t.Fatalf("%v: %v", k, err)
		}
		for _, c := range fiftyColours() {
			code := ofCodes(c)
			x, y, z := toPCS.Transform(code[0], code[1], code[2])
			if d := deltaE(lab([3]float64{x, y, z}), lab(k.XYZ(code))); d > 0.1 {
				t.Errorf("%v %v: ΔE %.3f, want at most 0.1", k, c, d)
			}
		}
	}
}

func TestProfileStructure(t *testing.T) {
	for _, k := range kinds {
		p := Profile(k)
		be := binary.BigEndian
		if got := int(be.Uint32(p)); got != len(p) || got%4 != 0 {
			t.Errorf("%v: the header says %d bytes, the profile has %d", k, got, len(p))
		}
		seen := map[string]bool{}
		for i := range int(be.Uint32(p[128:])) {
			entry := p[132+12*i:]
			offset, size := int(be.Uint32(entry[4:])), int(be.Uint32(entry[8:]))
			if offset%4 != 0 || offset+size > len(p) {
				t.Errorf("%v: tag %q at %d, %d bytes, doesn't fit", k, entry[:4], offset, size)
			}
			seen[string(entry[:4])] = true
		}
		for _, name := range []string{"desc", "cprt", "wtpt", "rXYZ", "gXYZ", "bXYZ", "rTRC", "gTRC", "bTRC", "chad"} {
			if !seen[name] {
				t.Errorf("%v: no tag %q", k, name)
			}
		}
	}
}

// The D50-adapted primaries that sRGB profiles are usually written with. They
// add up to a Z of 0.8251 where the connection space has 0.8249, which ours take
// exactly: hence the tolerance.
func TestWebIsSRGB(t *testing.T) {
	want := matrix{{0.43607, 0.38515, 0.14307}, {0.22249, 0.71687, 0.06061}, {0.01392, 0.09708, 0.71410}}
	for i := range 3 {
		for j := range 3 {
			if got := encodings[Web].toPCS[i][j]; math.Abs(got-want[i][j]) > 2.5e-4 {
				t.Errorf("row %d column %d is %.5f, want %.5f", i, j, got, want[i][j])
			}
		}
	}
	// IEC 61966-2-1: code 0.5 is 0.214041 of linear light.
	if got := Web.XYZ([3]float64{0.5, 0.5, 0.5})[1]; math.Abs(got-0.214041) > 2e-5 {
		t.Errorf("half of the code is Y %.6f, want 0.214041", got)
	}
}

func TestEncodingThereAndBack(t *testing.T) {
	for _, k := range kinds {
		if white := k.XYZ([3]float64{1, 1, 1}); deltaE(lab(white), [3]float64{100, 0, 0}) > 0.01 {
			t.Errorf("%v: white is L*a*b* %v", k, lab(white))
		}
		for _, c := range fiftyColours() {
			back := k.code(k.XYZ(ofCodes(c)))
			for i, v := range ofCodes(c) {
				if math.Abs(back[i]-v) > 2e-5 {
					t.Errorf("%v: code %v comes back as %v", k, ofCodes(c), back)
				}
			}
		}
	}
}
