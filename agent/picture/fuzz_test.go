package picture

import (
	"bytes"
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
	seeds(f, "grey none", "lzw", "deflate", "bits")
	fuzzFile(f, "II*\x00")
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
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := parseProfile(data)
		if len(p.name) > 4*mostRunes {
			t.Errorf("a name of %d bytes", len(p.name))
		}
		if err != nil {
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
