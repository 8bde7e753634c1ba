package picture

import (
	"bytes"
	"errors"
	"math"
	"testing"
)

// seeds adds the good files of a kind, whole and cut, and the bombs.
func seeds(f *testing.F, names ...string) {
	good := goodFiles(f)
	for _, name := range names {
		file := good[name]
		if file == nil {
			f.Fatalf("no file %q", name)
		}
		f.Add(file)
		f.Add(file[:len(file)/2])
	}
	for _, bomb := range bombs() {
		f.Add(bomb)
	}
}

// fuzzFile measures any bytes as a file of one kind.
func fuzzFile(f *testing.F, magic string) {
	f.Fuzz(func(t *testing.T, file []byte) {
		file = bytes.Clone(file)
		copy(file, magic)
		checkError(t, "fuzzed", file)
	})
}

func FuzzJPEG(f *testing.F) {
	seeds(f, "jpeg", "grey", "video-001.progressive.jpeg")
	fuzzFile(f, "\xff\xd8\xff")
}

func FuzzPNG(f *testing.F) {
	seeds(f, "png", "png palette")
	fuzzFile(f, "\x89PNG\r\n\x1a\n")
}

// The seeds have 8 bits: the tables for 16 would take most of the time.
func FuzzTIFF(f *testing.F) {
	seeds(f, "grey none", "lzw", "deflate", "bits", "big", "palette")
	f.Add(sheet{w: 17, h: 9, bits: 8, channels: 3, extra: 1, planar: true, compression: packBits, rows: 2}.bytes())
	f.Add(sheet{w: 17, h: 9, bits: 8, channels: 3, big: true, compression: packLZW, tile: 16}.bytes())
	f.Add(sheet{w: 17, h: 9, bits: 32, channels: 1, compression: packDeflate, predictor: true}.bytes())
	f.Fuzz(func(t *testing.T, file []byte) {
		if format := sniff(file); format != "TIFF" && format != "BigTIFF" {
			file = bytes.Clone(file)
			copy(file, "II*\x00")
		}
		checkError(t, "fuzzed", file)
	})
}

func FuzzICC(f *testing.F) {
	for _, trc := range [][]byte{
		sRGBCurve(), curvElement(), curvElement(563), curvElement(0, 1000, 65535), paraElement(2, 2, 2, -1, 0.1),
	} {
		f.Add(makeProfile("mntr", "RGB ", "XYZ ", map[string][]byte{
			"desc": nameElement("fuzzed"), "rXYZ": xyzElement(0.4, 0.2, 0), "gXYZ": xyzElement(0.4, 0.7, 0.1),
			"bXYZ": xyzElement(0.1, 0.1, 0.7), "rTRC": trc, "gTRC": trc, "bTRC": trc,
		}))
		f.Add(greyProfile("fuzzed", "Lab ", trc))
	}
	fuzzProfile(f)
}

// The same for profiles that work by tables, of all types, and for papers.
func FuzzTables(f *testing.F) {
	same := func(v values) values { return v }
	ink := func(v values) values { return values{0.5, 0.5, 0.5, 1 - v[0]} }
	white := xyzElement(0.82, 0.85, 0.69)
	for _, bits := range []int{8, 16} {
		f.Add(makeProfile("prtr", "CMYK", "Lab ", map[string][]byte{
			"desc": nameElement("fuzzed"), "wtpt": white,
			"A2B1": lutElement(bits, 4, 3, 2, toConnection(table{legacy: bits == 16}, "Lab ", pressLab)),
			"B2A1": lutElement(bits, 3, 4, 2, ink),
		}))
	}
	for _, curve := range [][]byte{curvElement(), curvElement(300), curvElement(0, 65535), paraElement(4, 1, 1, 0, 1, 0, 0, 0)} {
		f.Add(makeProfile("prtr", "RGB ", "XYZ ", map[string][]byte{
			"wtpt": white,
			"A2B0": abElement("mAB ", 2, curve, curve, curve, same), "B2A0": abElement("mBA ", 2, curve, curve, curve, same),
		}))
	}
	fuzzProfile(f)
}

// fuzzProfile reads any bytes as a profile: what can be used gives numbers.
func fuzzProfile(f *testing.F) {
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := parseProfile(data)
		if len(p.name) > 4*mostRunes {
			t.Errorf("a name of %d bytes", len(p.name))
		}
		checkPaper(t, data)
		if err != nil {
			return
		}
		if p.lab != nil {
			checkTable(t, p)
			return
		}
		tables := p.tables(facts{channels: p.channels, depth: 8})
		for c := range p.channels {
			for v, l := range tables.linear[c] {
				if !(l >= 0 && l <= 101) {
					t.Fatalf("channel %d, code %d is %v linear", c, v, l)
				}
			}
		}
	})
}

func checkTable(t *testing.T, p profile) {
	for i := range 50 {
		var v values
		for c := range v {
			v[c] = float64(i*(5+2*c)%50) / 49
		}
		lab := p.lab(v)
		if sum := lab.L + lab.A + lab.B; math.IsNaN(sum) || math.IsInf(sum, 0) {
			t.Fatalf("%v is %v", v, lab)
		}
		var g grid
		g.light, g.lab = make([]uint16, 1), make([][3]float32, 1)
		g.set(0, lab)
	}
	w := newWarp(p.lab, 0, p.channels)
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
	case err != nil && !errors.Is(err, ErrBroken) && !errors.Is(err, ErrUnsupported):
		t.Errorf("%v", err)
	case err == nil:
		for _, v := range []float64{p.White.L, p.White.A, p.White.B, p.Black.L, p.Black.A, p.Black.B, p.RelativeBlack} {
			if math.IsNaN(v) || math.Abs(v) > 1e6 {
				t.Errorf("%+v", p)
			}
		}
	}
}
