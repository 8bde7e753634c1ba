package picture

import (
	"image"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"lampblack/agent/icc/icctest"
	"lampblack/rules/colour"
)

// The pictures of the benchmarks have 24 MP, and noise that keeps the packers busy.
const benchW, benchH = 6000, 4000

// noisy is a slow wave with noise on it: value of 16 bits for pixel and channel.
func noisy() func(x, y, c int) uint16 {
	rnd := rand.New(rand.NewPCG(1, 2))
	noise := make([]uint16, 1<<16)
	for i := range noise {
		noise[i] = uint16(rnd.IntN(3000))
	}
	return func(x, y, c int) uint16 {
		slow := (x*9+y*4+c*9000)&0xffff ^ -((x*9 + y*4 + c*9000) >> 16 & 1)
		return uint16(slow&0xffff*15/16) + noise[(y*benchW*3+x*3+c)*40503&0xffff]
	}
}

func benchmarkFile(b *testing.B, file []byte) {
	path := filepath.Join(b.TempDir(), "export")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		b.Fatal(err)
	}
	f, err := os.Open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	b.SetBytes(int64(len(file)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Measure(f, int64(len(file))); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkJPEG24MP(b *testing.B) {
	value := noisy()
	img := image.NewYCbCr(image.Rect(0, 0, benchW, benchH), image.YCbCrSubsampleRatio420)
	for y := range benchH {
		for x := range benchW {
			img.Y[img.YOffset(x, y)] = uint8(value(x, y, 0) >> 8)
		}
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = uint8(i>>6), uint8(i>>9)
	}
	benchmarkFile(b, makeJPEG(b, img))
}

func benchmarkTIFF(b *testing.B, compression uint32) {
	benchmarkFile(b, sheet{
		w: benchW, h: benchH, bits: 16, channels: 3, rows: 64, compression: compression, predictor: compression != packNone,
		value: noisy(), profile: icctest.Matrix("Tidemark wide", colour.AdobeRGB, icctest.Curv(563)),
	}.bytes())
}

func BenchmarkTIFF24MPNone(b *testing.B)    { benchmarkTIFF(b, packNone) }
func BenchmarkTIFF24MPDeflate(b *testing.B) { benchmarkTIFF(b, packDeflate) }
