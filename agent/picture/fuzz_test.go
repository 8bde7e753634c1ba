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
