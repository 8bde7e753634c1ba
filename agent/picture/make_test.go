package picture

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"slices"
	"testing"
)

// The makers of test files: pictures by the standard library's encoders, with
// what those leave out put in.

// testValue is the sample of a test picture, w x h: ramps across and down, and
// no two channels alike.
func testValue(w, h, x, y, c int) uint16 {
	switch c {
	case 0:
		return uint16(65535 * x / (w - 1))
	case 1:
		return uint16(65535 * y / (h - 1))
	default:
		return uint16(65535 * (x + y) / (w + h - 2))
	}
}

// testRGB is the test picture with 8 bits a channel.
func testRGB(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetNRGBA(x, y, color.NRGBA{
				uint8(testValue(w, h, x, y, 0) >> 8),
				uint8(testValue(w, h, x, y, 1) >> 8),
				uint8(testValue(w, h, x, y, 2) >> 8), 255,
			})
		}
	}
	return img
}

// testRGB16 is the test picture with 16 bits a channel.
func testRGB16(w, h int) *image.NRGBA64 {
	img := image.NewNRGBA64(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetNRGBA64(x, y, color.NRGBA64{
				testValue(w, h, x, y, 0), testValue(w, h, x, y, 1), testValue(w, h, x, y, 2), 65535,
			})
		}
	}
	return img
}

func testGrey(w, h int) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetGray(x, y, color.Gray{uint8(testValue(w, h, x, y, 0) >> 8)})
		}
	}
	return img
}

func flat(w, h int, c color.NRGBA) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for i := 0; i < len(img.Pix); i += 4 {
		copy(img.Pix[i:], []byte{c.R, c.G, c.B, c.A})
	}
	return img
}

// makeJPEG encodes img and puts segments (marker, body) after its first marker.
func makeJPEG(t testing.TB, img image.Image, segments ...[]byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return slices.Concat(b.Bytes()[:2], slices.Concat(segments...), b.Bytes()[2:])
}

func segment(marker byte, body string) []byte {
	b := []byte{0xff, marker, 0, 0}
	binary.BigEndian.PutUint16(b[2:], uint16(len(body)+2))
	return append(b, body...)
}

// iccSegments spreads a profile over n segments.
func iccSegments(profile []byte, n int) []byte {
	var all []byte
	for i := range n {
		part := profile[i*len(profile)/n : (i+1)*len(profile)/n]
		all = append(all, segment(markerAPP2, "ICC_PROFILE\x00"+string([]byte{byte(i + 1), byte(n)})+string(part))...)
	}
	return all
}

// makePNG encodes img and puts chunks after its header.
func makePNG(t testing.TB, img image.Image, chunks ...[]byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	const header = 8 + 25
	return slices.Concat(b.Bytes()[:header], slices.Concat(chunks...), b.Bytes()[header:])
}

func chunk(kind, body string) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(b, kind+body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

func iccChunk(profile []byte) []byte {
	return chunk("iCCP", "name\x00\x00"+string(deflated(profile)))
}

func deflated(b []byte) []byte {
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	_, _ = z.Write(b) // a bytes.Buffer takes all
	_ = z.Close()
	return packed.Bytes()
}

func sourceOf(file []byte) *source {
	return &source{f: bytes.NewReader(file), size: int64(len(file))}
}
