package picture

import (
	"bytes"
	"encoding/binary"
	"math"
	"strings"
	"testing"

	"lampblack/rules/colour"
)

// A table gives at its nodes what it was made of, in each of its types.
func TestTablesAtTheirNodes(t *testing.T) {
	for _, test := range []struct {
		name     string
		profile  []byte
		channels int
		want     func(values) colour.Lab
		side     int
		within   float64
	}{
		{"mft1 CMYK", pressProfile(8), 4, pressLab, 9, 0.9},
		{"mft2 CMYK", pressProfile(16), 4, pressLab, 9, 0.01},
		{"mft2 RGB", printerProfile("Lab "), 3, printerLab, 17, 0.01},
		{"mft2 RGB to XYZ", printerProfile("XYZ "), 3, printerLab, 17, 0.1},
	} {
		p, err := parseProfile(test.profile)
		if err != nil || p.channels != test.channels {
			t.Errorf("%s: %d channels, %v", test.name, p.channels, err)
			continue
		}
		eachNode(test.channels, test.side, func(v values) {
			if de := distance(p.colour(v), test.want(v)); de > test.within {
				t.Errorf("%s: %v is %v, want %v", test.name, v, p.colour(v), test.want(v))
			}
		})
	}
}

// The parts of the newer tables work in their order, to the connection space and back.
func TestElementsInOrder(t *testing.T) {
	double := paraElement(1, 1, 2, 0)          // 2v
	squared := paraElement(0, 2)               // v²
	above := paraElement(2, 1, 1, -0.25, 0.25) // max(v − 0.25, 0) + 0.25
	swap := func(v values) values { return values{v[1], v[0], v[2]} }
	half := func(v float64) float64 { return 0.5*v + 0.25 }

	ab, err := parseTable(abElement("mAB ", 3, double, squared, above, swap))
	if err != nil {
		t.Fatal(err)
	}
	ba, err := parseTable(abElement("mBA ", 3, double, squared, above, swap))
	if err != nil {
		t.Fatal(err)
	}
	for i := range 27 {
		v := values{float64(i%3) / 4, float64(i/3%3) / 4, float64(i/9) / 4}
		want, back := swap(values{2 * v[0], 2 * v[1], 2 * v[2]}), values{}
		for c := range 3 {
			want[c] = max(half(want[c]*want[c])-0.25, 0) + 0.25
			back[c] = math.Pow(half(max(v[c]-0.25, 0)+0.25), 2)
		}
		back = swap(back)
		got, gotBack := ab.apply(v), ba.apply(v)
		for c := range 3 {
			if math.Abs(got[c]-want[c]) > 1e-4 || math.Abs(gotBack[c]-2*back[c]) > 1e-4 {
				t.Errorf("%v: %v, want %v; back %v, want twice %v", v, got, want, gotBack, back)
			}
		}
	}
}

// Between its nodes a grid is straight along the neutral diagonal: there is no
// better test of tetrahedra than a function that only these get right.
func TestTetrahedraKeepNeutrals(t *testing.T) {
	least := func(v values) values { m := min(v[0], v[1], v[2]); return values{m, m, m} }
	a2b, err := parseTable(lutElement(16, 3, 3, 5, least))
	if err != nil {
		t.Fatal(err)
	}
	for i := range 1000 {
		v := values{float64(i%10) / 9, float64(i/10%10) / 9, float64(i/100) / 9}
		if got, want := a2b.apply(v), least(v); math.Abs(got[0]-want[0]) > 1e-4 {
			t.Errorf("%v: %v, want %v", v, got, want)
		}
	}
}

// The grids for pictures stay near the tables, and count the luminance of what
// they show.
func TestGridsFollowTables(t *testing.T) {
	for name, profile := range map[string][]byte{"CMYK": pressProfile(16), "RGB": printerProfile("Lab ")} {
		p, err := parseProfile(profile)
		if err != nil {
			t.Fatal(err)
		}
		g := newGrid(p.lab, p.channels, 256)
		for i := range 5000 {
			var code [4]int
			var v values
			var place [4]uint32
			for c := range p.channels {
				code[c] = i * []int{7, 11, 13, 17}[c] % 256
				v[c] = float64(code[c]) / 255
				place[c] = g.at[c][code[c]]
			}
			around := g.around3(place[0], place[1], place[2])
			if p.channels == 4 {
				around = g.around4(place[0], place[1], place[2], place[3])
			}
			got, want := g.colour(&around), p.lab(v)
			if de := distance(got, want); de > 0.5 {
				t.Errorf("%s %v: %v, want %v", name, code, got, want)
			}
			y := float64(g.luminance(&around)) / unit
			if math.Abs(colour.Lightness(y)-got.L) > 0.002 {
				t.Errorf("%s %v: luminance %v for L* %v", name, code, y, got.L)
			}
		}
	}
}

// A picture with a table profile, in each of the ways in which it can come.
func TestPicturesWithTables(t *testing.T) {
	const w, h = 64, 48
	press, printer := pressProfile(16), printerProfile("Lab ")
	mean := func(channels, bits int, lab func(values) colour.Lab) float64 {
		var sum float64
		for i := range w * h {
			var v values
			for c := range channels {
				code := testValue(w, h, i%w, i/w, c) >> (16 - bits)
				v[c] = float64(code) / float64(int(1)<<bits-1)
			}
			sum += colour.FromLightness(lab(v).L)
		}
		return sum / (w * h)
	}
	for name, test := range map[string]struct {
		file []byte
		want float64
		name string
	}{
		"png":     {makePNG(t, testRGB(w, h), iccChunk(printer)), mean(3, 8, printerLab), "slip gloss"},
		"tiff":    {sheet{w: w, h: h, bits: 16, channels: 3, compression: packNone, profile: printer}.bytes(), mean(3, 16, printerLab), "slip gloss"},
		"cmyk 8":  {sheet{w: w, h: h, bits: 8, channels: 4, compression: packLZW, profile: press}.bytes(), mean(4, 8, pressLab), "harbour press"},
		"cmyk 16": {sheet{w: w, h: h, bits: 16, channels: 4, extra: 1, compression: packLZW, profile: press}.bytes(), mean(4, 16, pressLab), "harbour press"},
	} {
		pic := measured(t, test.file)
		if math.Abs(pic.MeanY/test.want-1) > 0.005 || pic.Profile != test.name || pic.Assumed {
			t.Errorf("%s: mean Y %v, want %v; profile %q", name, pic.MeanY, test.want, pic.Profile)
		}
	}
}

// Grey by tables is its luminance, white being 1.
func TestGreyTables(t *testing.T) {
	dim := func(v values) values { return legacyTable.valuesOf(colour.Lab{L: 90 * v[0], A: 5}, "Lab ") }
	p, err := parseProfile(makeProfile("prtr", "GRAY", "Lab ", map[string][]byte{
		"desc": nameElement("warm grey"), "A2B0": lutElement(16, 1, 3, 2, dim),
	}))
	if err != nil || p.channels != 1 || p.lab != nil {
		t.Fatalf("%+v, %v", p, err)
	}
	for _, v := range []float64{0, 0.3, 1} {
		want := colour.FromLightness(90*v) / colour.FromLightness(90)
		if got := p.curves[0](v); math.Abs(got-want) > 1e-4 {
			t.Errorf("%v: Y %v, want %v", v, got, want)
		}
	}
}

// Whatever is damaged in a table costs the profile, not the picture.
func TestUnusableTables(t *testing.T) {
	good := printerProfile("Lab ")
	at := bytes.Index(good, []byte("mft2"))
	damaged := func(offset int, with ...byte) []byte {
		p := bytes.Clone(good)
		copy(p[at+offset:], with)
		return p
	}
	dark := func(v values) values { return values{1 - v[0], 0.5, 0.5} }
	negative := makeProfile("prtr", "RGB ", "Lab ", map[string][]byte{"A2B0": lutElement(16, 3, 3, 2, dark)})
	newer := func(offset int, value uint32) []byte {
		e := abElement("mAB ", 2, curvElement(), curvElement(), curvElement(), func(v values) values { return v })
		binary.BigEndian.PutUint32(e[offset:], value)
		return makeProfile("prtr", "RGB ", "Lab ", map[string][]byte{"A2B0": e})
	}
	for want, profile := range map[string][]byte{
		"from 9 channels":      damaged(8, 9),
		"from 0 channels":      damaged(8, 0),
		"to 200":               damaged(9, 200),
		"from 2 channels to 3": damaged(8, 2),
		"type \"none\"":        damaged(0, 'n', 'o', 'n', 'e'),
		"a table is damaged":   damaged(10, 255),
		"white has L* 0":       negative,
		"space \"Luv\"":        makeProfile("prtr", "RGB ", "Luv ", map[string][]byte{"A2B0": lutElement(16, 3, 3, 2, dark)}),
	} {
		pic := measured(t, makePNG(t, testRGB(20, 20), iccChunk(profile)))
		notes := strings.Join(pic.Notes, "|")
		if !pic.Assumed || pic.Profile != "sRGB" || !strings.Contains(notes, want) {
			t.Errorf("%q: profile %q, notes %q", want, pic.Profile, notes)
		}
	}
	for name, profile := range map[string][]byte{
		"one node":     damaged(10, 1),
		"few entries":  damaged(48, 0, 1),
		"many entries": damaged(48, 0xff, 0xff),
		"outside":      newer(24, 1<<31),
		"no grid":      newer(24, 8),
	} {
		if _, err := parseProfile(profile); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	const deviceCurves = 28
	if _, err := parseProfile(newer(deviceCurves, 0)); err != nil {
		t.Errorf("a part that may be missing: %v", err)
	}
}
