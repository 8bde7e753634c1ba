package exports

import (
	"bytes"
	"image"
	"io"
	"math"
	"testing"

	_ "golang.org/x/image/tiff"
)

func TestBigPictures(t *testing.T) {
	writers := map[string]func(io.Writer, uint64) error{
		"jpeg":             func(w io.Writer, seed uint64) error { return BigJPEG(w, 0.3, seed) },
		"tiff":             func(w io.Writer, seed uint64) error { return BigTIFF16(w, 0.3, seed, false) },
		"tiff and deflate": func(w io.Writer, seed uint64) error { return BigTIFF16(w, 0.3, seed, true) },
	}
	for name, write := range writers {
		var made [3]bytes.Buffer
		for i, seed := range [...]uint64{4, 4, 9} {
			if err := write(&made[i], seed); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(made[0].Bytes(), made[1].Bytes()) || bytes.Equal(made[0].Bytes(), made[2].Bytes()) {
			t.Errorf("%s: want the same file for the same seed, another for another", name)
		}
		img, _, err := image.Decode(&made[0])
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		b := img.Bounds()
		if got := float64(b.Dx()*b.Dy()) / 1e6; math.Abs(got-0.3) > 0.001 {
			t.Errorf("%s: %v is %.3f megapixels, want 0.3", name, b, got)
		}
	}
}

func TestBigPicturesRefuse(t *testing.T) {
	for _, megapixels := range []float64{0, -1, 401, math.NaN(), math.Inf(1)} {
		if err := BigJPEG(io.Discard, megapixels, 1); err == nil {
			t.Errorf("a JPEG of %g megapixels was made", megapixels)
		}
		if err := BigTIFF16(io.Discard, megapixels, 1, false); err == nil {
			t.Errorf("a TIFF of %g megapixels was made", megapixels)
		}
	}
}

func BenchmarkBigJPEG24(b *testing.B) {
	for b.Loop() {
		if err := BigJPEG(io.Discard, 24, 1); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBigTIFF24(b *testing.B) {
	for b.Loop() {
		if err := BigTIFF16(io.Discard, 24, 1, false); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBigTIFF24Deflate(b *testing.B) {
	for b.Loop() {
		if err := BigTIFF16(io.Discard, 24, 1, true); err != nil {
			b.Fatal(err)
		}
	}
}
