package icc

import (
	"bytes"
	"encoding/binary"
	"math"
	"strings"
	"testing"

	"lampblack/agent/icc/icctest"
	"lampblack/rules/colour"
)

// A table gives at its nodes what it was made of, in each of its types.
func TestTablesAtTheirNodes(t *testing.T) {
	for _, test := range []struct {
		name     string
		profile  []byte
		channels int
		want     func(Values) colour.Lab
		side     int
		within   float64
	}{
		{"mft1 CMYK", icctest.Press(8), 4, icctest.PressLab, 9, 0.9},
		{"mft2 CMYK", icctest.Press(16), 4, icctest.PressLab, 9, 0.01},
		{"mft2 RGB", icctest.Printer("Lab "), 3, icctest.PrinterLab, 17, 0.01},
		{"mft2 RGB to XYZ", icctest.Printer("XYZ "), 3, icctest.PrinterLab, 17, 0.1},
	} {
		p, err := Parse(test.profile)
		if err != nil || p.Channels != test.channels {
			t.Errorf("%s: %d channels, %v", test.name, p.Channels, err)
			continue
		}
		icctest.EachNode(test.channels, test.side, func(v Values) {
			if de := distance(p.Colour(v), test.want(v)); de > test.within {
				t.Errorf("%s: %v is %v, want %v", test.name, v, p.Colour(v), test.want(v))
			}
		})
	}
}

// The parts of the newer tables work in their order, to the connection space and back.
func TestElementsInOrder(t *testing.T) {
	double := icctest.Para(1, 1, 2, 0)          // 2v
	squared := icctest.Para(0, 2)               // v²
	above := icctest.Para(2, 1, 1, -0.25, 0.25) // max(v − 0.25, 0) + 0.25
	swap := func(v Values) Values { return Values{v[1], v[0], v[2]} }
	half := func(v float64) float64 { return 0.5*v + 0.25 }

	ab, err := parseTable(icctest.Elements("mAB ", 3, double, squared, above, swap))
	if err != nil {
		t.Fatal(err)
	}
	ba, err := parseTable(icctest.Elements("mBA ", 3, double, squared, above, swap))
	if err != nil {
		t.Fatal(err)
	}
	for i := range 27 {
		v := Values{float64(i%3) / 4, float64(i/3%3) / 4, float64(i/9) / 4}
		want, back := swap(Values{2 * v[0], 2 * v[1], 2 * v[2]}), Values{}
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
	least := func(v Values) Values { m := min(v[0], v[1], v[2]); return Values{m, m, m} }
	a2b, err := parseTable(icctest.Lut(16, 3, 3, 5, least))
	if err != nil {
		t.Fatal(err)
	}
	for i := range 1000 {
		v := Values{float64(i%10) / 9, float64(i/10%10) / 9, float64(i/100) / 9}
		if got, want := a2b.apply(v), least(v); math.Abs(got[0]-want[0]) > 1e-4 {
			t.Errorf("%v: %v, want %v", v, got, want)
		}
	}
}

// The grids for pictures stay near the tables, and count the luminance of what
// they show.
func TestGridsFollowTables(t *testing.T) {
	const white = 65535 << 8
	for name, profile := range map[string][]byte{"CMYK": icctest.Press(16), "RGB": icctest.Printer("Lab ")} {
		p, err := Parse(profile)
		if err != nil {
			t.Fatal(err)
		}
		g := NewGrid(p.ToLab, p.Channels, 256, white)
		for i := range 5000 {
			var code [4]int
			var v Values
			var place [4]uint32
			for c := range p.Channels {
				code[c] = i * []int{7, 11, 13, 17}[c] % 256
				v[c] = float64(code[c]) / 255
				place[c] = g.at[c][code[c]]
			}
			around := g.Around3(place[0], place[1], place[2])
			if p.Channels == 4 {
				around = g.Around4(place[0], place[1], place[2], place[3])
			}
			got, want := g.Colour(&around), p.ToLab(v)
			if de := distance(got, want); de > 0.5 {
				t.Errorf("%s %v: %v, want %v", name, code, got, want)
			}
			y := float64(g.Luminance(&around)) / white
			if math.Abs(colour.Lightness(y)-got.L) > 0.002 {
				t.Errorf("%s %v: luminance %v for L* %v", name, code, y, got.L)
			}
		}
	}
}

// Grey by tables is its luminance, white being 1.
func TestGreyTables(t *testing.T) {
	dim := func(v Values) Values { return table{legacy: true}.valuesOf(colour.Lab{L: 90 * v[0], A: 5}, "Lab ") }
	p, err := Parse(icctest.Profile("prtr", "GRAY", "Lab ", map[string][]byte{
		"desc": icctest.Name("warm grey"), "A2B0": icctest.Lut(16, 1, 3, 2, dim),
	}))
	if err != nil || p.Channels != 1 || p.ToLab != nil {
		t.Fatalf("%+v, %v", p, err)
	}
	for _, v := range []float64{0, 0.3, 1} {
		want := colour.FromLightness(90*v) / colour.FromLightness(90)
		if got := p.Curves[0](v); math.Abs(got-want) > 1e-4 {
			t.Errorf("%v: Y %v, want %v", v, got, want)
		}
	}
}

// Whatever is damaged in a table is an error.
func TestUnusableTables(t *testing.T) {
	good := icctest.Printer("Lab ")
	at := bytes.Index(good, []byte("mft2"))
	damaged := func(offset int, with ...byte) []byte {
		p := bytes.Clone(good)
		copy(p[at+offset:], with)
		return p
	}
	dark := func(v Values) Values { return Values{1 - v[0], 0.5, 0.5} }
	negative := icctest.Profile("prtr", "RGB ", "Lab ", map[string][]byte{"A2B0": icctest.Lut(16, 3, 3, 2, dark)})
	newer := func(offset int, value uint32) []byte {
		e := icctest.Elements("mAB ", 2, icctest.Curv(), icctest.Curv(), icctest.Curv(), func(v Values) Values { return v })
		binary.BigEndian.PutUint32(e[offset:], value)
		return icctest.Profile("prtr", "RGB ", "Lab ", map[string][]byte{"A2B0": e})
	}
	for want, profile := range map[string][]byte{
		"from 9 channels":      damaged(8, 9),
		"from 0 channels":      damaged(8, 0),
		"to 200":               damaged(9, 200),
		"from 2 channels to 3": damaged(8, 2),
		"type \"none\"":        damaged(0, 'n', 'o', 'n', 'e'),
		"a table is damaged":   damaged(10, 255),
		"white has L* 0":       negative,
		"space \"Luv\"":        icctest.Profile("prtr", "RGB ", "Luv ", map[string][]byte{"A2B0": icctest.Lut(16, 3, 3, 2, dark)}),
	} {
		if _, err := Parse(profile); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", want, err)
		}
	}
	for name, profile := range map[string][]byte{
		"one node":     damaged(10, 1),
		"few entries":  damaged(48, 0, 1),
		"many entries": damaged(48, 0xff, 0xff),
		"outside":      newer(24, 1<<31),
		"no grid":      newer(24, 8),
	} {
		if _, err := Parse(profile); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	const deviceCurves = 28
	if _, err := Parse(newer(deviceCurves, 0)); err != nil {
		t.Errorf("a part that may be missing: %v", err)
	}
}
