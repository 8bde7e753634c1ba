package picture

import (
	"bytes"
	"errors"
	"io"
	"os"
	"testing"
)

// bytesAt is a file of zeros, but for one byte.
type bytesAt struct {
	size, at int64
	b        byte
}

func (f bytesAt) ReadAt(p []byte, off int64) (int, error) {
	n := int(min(int64(len(p)), f.size-off))
	clear(p[:n])
	if i := f.at - off; i >= 0 && i < int64(n) {
		p[i] = f.b
	}
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

func hashOf(t testing.TB, f io.ReaderAt, size int64) string {
	t.Helper()
	h, err := contentHash(f, size)
	if err != nil || len(h) != hashLength {
		t.Fatalf("hash %q, %v", h, err)
	}
	return h
}

func TestContentHash(t *testing.T) {
	// The check value that every description of CRC-32C gives for this text.
	if h := hashOf(t, bytes.NewReader([]byte("123456789")), 9); h != "e3069283" {
		t.Errorf("hash %s of the check string", h)
	}
	for name, size := range map[string]int64{"small": 1000, "whole": hashedWhole, "sampled": hashedWhole + 12345} {
		was := hashOf(t, bytesAt{size: size}, size)
		for _, at := range []int64{0, hashedPiece - 1, size / hashedStride / 2 * hashedStride, size - 1} {
			if at < size && hashOf(t, bytesAt{size, at, 1}, size) == was {
				t.Errorf("%s: the byte at %d doesn't count", name, at)
			}
		}
	}
	if size := int64(hashedWhole); hashOf(t, bytesAt{size, hashedStride - 1, 1}, size) == hashOf(t, bytesAt{size: size}, size) {
		t.Error("up to hashedWhole every byte counts")
	}
}

// The worker tells the hash and the state of what it has read, even when that is
// no picture.
func TestExamine(t *testing.T) {
	jpeg := makeJPEG(t, testRGB(32, 20))
	for name, content := range map[string][]byte{"a picture": jpeg, "half of one": jpeg[:len(jpeg)/2], "a letter": []byte("Dear Skarvik")} {
		path := stored(t, content)
		x, err := troupe(t, "worker").Examine(t.Context(), path)
		if (err == nil) != (name == "a picture") || err == nil && x.Picture.Width != 32 {
			t.Errorf("%s: %v, %+v", name, err, x.Picture)
		}
		if want := hashOf(t, bytes.NewReader(content), int64(len(content))); x.Hash != want {
			t.Errorf("%s: hash %q, want %s", name, x.Hash, want)
		}
		info, err := os.Stat(path)
		if err != nil || x.Size != info.Size() || !x.ModTime.Equal(info.ModTime()) {
			t.Errorf("%s: state %d, %v; the file has %v", name, x.Size, x.ModTime, info)
		}
	}
	if x, err := troupe(t, "suicide").Examine(t.Context(), stored(t, jpeg)); !errors.Is(err, ErrBroken) || x.Hash != "" || x.Size == 0 {
		t.Errorf("a worker that dies: %+v, %v", x, err)
	}
}

func BenchmarkContentHash(b *testing.B) {
	for name, size := range map[string]int64{"whole": hashedWhole, "sampled": 600 << 20} {
		b.Run(name, func(b *testing.B) {
			f, err := os.Create(b.TempDir() + "/big")
			if err == nil {
				err = f.Truncate(size)
			}
			if err != nil {
				b.Fatal(err)
			}
			defer f.Close()
			for b.Loop() {
				hashOf(b, f, size)
			}
		})
	}
}
