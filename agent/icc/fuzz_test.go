package icc

import (
	"errors"
	"math"
	"strings"
	"testing"

	"lampblack/agent/icc/icctest"
	"lampblack/config/legible"
)

func FuzzCurves(f *testing.F) {
	for _, trc := range [][]byte{
		icctest.SRGBCurve(), icctest.Curv(), icctest.Curv(563), icctest.Curv(0, 1000, 65535), icctest.Para(2, 2, 2, -1, 0.1),
	} {
		f.Add(icctest.Profile("mntr", "RGB ", "XYZ ", map[string][]byte{
			"desc": icctest.Name("fuzzed"), "rXYZ": icctest.XYZ(0.4, 0.2, 0), "gXYZ": icctest.XYZ(0.4, 0.7, 0.1),
			"bXYZ": icctest.XYZ(0.1, 0.1, 0.7), "rTRC": trc, "gTRC": trc, "bTRC": trc,
		}))
		f.Add(icctest.Grey("fuzzed", "Lab ", trc))
	}
	fuzzProfile(f)
}

// The same for profiles that work by tables, of all types, and for papers.
func FuzzTables(f *testing.F) {
	same := func(v Values) Values { return v }
	ink := func(v Values) Values { return Values{0.5, 0.5, 0.5, 1 - v[0]} }
	white := icctest.XYZ(0.82, 0.85, 0.69)
	for _, bits := range []int{8, 16} {
		f.Add(icctest.Profile("prtr", "CMYK", "Lab ", map[string][]byte{
			"desc": icctest.Name("fuzzed"), "wtpt": white,
			"A2B1": icctest.Lut(bits, 4, 3, 2, icctest.ToConnection(bits == 16, "Lab ", icctest.PressLab)),
			"B2A1": icctest.Lut(bits, 3, 4, 2, ink),
		}))
	}
	for _, curve := range [][]byte{icctest.Curv(), icctest.Curv(300), icctest.Curv(0, 65535), icctest.Para(4, 1, 1, 0, 1, 0, 0, 0)} {
		f.Add(icctest.Profile("prtr", "RGB ", "XYZ ", map[string][]byte{
			"wtpt": white,
			"A2B0": icctest.Elements("mAB ", 2, curve, curve, curve, same), "B2A0": icctest.Elements("mBA ", 2, curve, curve, curve, same),
		}))
	}
	fuzzProfile(f)
}

// fuzzProfile reads any bytes as a profile: what can be used gives numbers.
func fuzzProfile(f *testing.F) {
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Parse(data)
		if len(p.Name) > 4*legible.MostOfName {
			t.Errorf("a name of %d bytes", len(p.Name))
		}
		checkPaper(t, data)
		if err != nil {
			return
		}
		if p.ToLab != nil {
			checkTable(t, p)
			return
		}
		for c := range p.Channels {
			for v := range 256 {
				l := p.Curves[c](float64(v) / 255)
				if !(l >= 0 && l <= 101) {
					t.Fatalf("channel %d, code %d is %v linear", c, v, l)
				}
			}
		}
	})
}

func checkTable(t *testing.T, p Profile) {
	for i := range 50 {
		var v Values
		for c := range v {
			v[c] = float64(i*(5+2*c)%50) / 49
		}
		lab := p.ToLab(v)
		if sum := lab.L + lab.A + lab.B; math.IsNaN(sum) || math.IsInf(sum, 0) {
			t.Fatalf("%v is %v", v, lab)
		}
		var g Grid
		g.light, g.lab = make([]uint16, 1), make([][3]float32, 1)
		g.set(0, lab)
	}
	w := newWarp(p.ToLab, 0, p.Channels)
	for i := range 20 {
		place := float64(i) / 19
		if back := w.place(w.device(place)); !(math.Abs(back-place) < 1e-6) {
			t.Fatalf("place %v comes back as %v", place, back)
		}
	}
}

func checkPaper(t *testing.T, data []byte) {
	p, err := PaperOf(data)
	switch {
	case err != nil && !strings.HasPrefix(err.Error(), "the") && !errors.Is(err, ErrNoPaper):
		t.Errorf("%v", err)
	case err == nil:
		for _, v := range []float64{p.White.L, p.White.A, p.White.B, p.Black.L, p.Black.A, p.Black.B, p.RelativeBlack} {
			if math.IsNaN(v) || math.Abs(v) > 1e6 {
				t.Errorf("%+v", p)
			}
		}
	}
}
