package picture

import (
	"encoding/binary"
	"image"
	"io"
	"math"

	"golang.org/x/image/webp"
)

// The flags of an extended WebP (RFC 9649, 2.7.1.2).
const (
	webpAnimated = 1 << 1
	webpAlpha    = 1 << 4
)

// webpFile is what a WebP's chunks say.
type webpFile struct {
	facts
	lossless      bool
	canvas        image.Point // of an extended file, else 0
	bitstreamRead bool
}

// openWebP reads a WebP's facts; golang.org/x/image reads its pixels, all at once.
func openWebP(src *source) (container, error) {
	f, err := readRIFF(src)
	if err != nil {
		return container{}, err
	}
	if err := f.gate(src.size); err != nil { // before its size is believed
		return container{}, err
	}
	kind := "a lossy WebP"
	if f.lossless {
		kind = "a lossless WebP"
	}
	if err := src.afford(f.memory(), kind, f.facts, "export it smaller"); err != nil {
		return container{}, err
	}
	return container{f.facts, func(t *tally) error { return decodeWebP(src, t) }}, nil
}

// memory is what the decoder holds at once: a lossless picture and the one
// before its last transform; or lossy planes, and an alpha channel, which is a
// lossless picture of its own before it is one byte a pixel.
func (f webpFile) memory() float64 {
	bytes := 1.6 // with the filters' parameters of each macroblock
	if f.lossless {
		bytes = 9 // with the pictures of the transforms' parameters
	} else if f.alpha {
		bytes += 10
	}
	const block = 16
	up := func(v int) float64 { return float64((v + block - 1) / block * block) }
	return bytes * up(f.width) * up(f.height)
}

func decodeWebP(src *source, t *tally) error {
	img, err := webp.Decode(io.NewSectionReader(src, 0, src.size))
	if err != nil {
		return err
	}
	switch img := img.(type) {
	case *image.YCbCr:
		return tallyYCbCr(t, img, studioRange)
	case *image.NYCbCrA:
		return tallyYCbCr(t, &img.YCbCr, studioRange)
	case *image.NRGBA:
		return tallyRows(t, img.Pix, img.Stride, img.Rect, 4, 3)
	}
	return unsupported("this kind of WebP is not read: export as JPEG or PNG")
}

// readRIFF walks a WebP's chunks, all of which must be in the file.
func readRIFF(src *source) (webpFile, error) {
	f := webpFile{facts: facts{ppi: math.NaN(), depth: 8, channels: 3}}
	const header, frame = 12, 8 // of the file, of a chunk
	head, err := src.bytes(0, header)
	if err != nil {
		return f, err
	}
	end := int64(binary.LittleEndian.Uint32(head[4:])) + 8
	if end > src.size {
		return f, io.ErrUnexpectedEOF
	}
	for at := int64(header); at+frame <= end; {
		head, err := src.bytes(at, frame)
		if err != nil {
			return f, err
		}
		length := int64(binary.LittleEndian.Uint32(head[4:]))
		if length > end-at-frame {
			return f, broken("a part of the file is longer than the file: export it again")
		}
		if err := f.chunk(src, string(head[:4]), at+frame, length); err != nil {
			return f, err
		}
		at += frame + length + length%2
	}
	if !f.bitstreamRead {
		return f, broken("the file holds no picture data: export it again")
	}
	if f.canvas != (image.Point{}) && f.canvas != image.Pt(f.width, f.height) {
		return f, broken("the headers disagree about the picture's size: export it again")
	}
	return f, nil
}

// chunk reads what is wanted of a chunk; the first picture is the one that counts.
func (f *webpFile) chunk(src *source, kind string, at, length int64) error {
	want := map[string]int64{"VP8X": 10, "VP8 ": 10, "VP8L": 5, "ICCP": length, "EXIF": length}[kind]
	switch {
	case want == 0, f.bitstreamRead && (kind == "VP8 " || kind == "VP8L"):
		return nil
	case want > length:
		return broken("a header is damaged: export it again")
	case want > maxProfile:
		return broken("a header of %d bytes makes no sense: export it again", want)
	}
	b, err := src.bytes(at, int(want))
	if err != nil {
		return err
	}
	switch kind {
	case "VP8X":
		if b[0]&webpAnimated != 0 {
			return unsupported("moving WebP pictures are not read: export a still one")
		}
		f.alpha = b[0]&webpAlpha != 0
		f.canvas = image.Pt(1+uint24(b[4:]), 1+uint24(b[7:]))
	case "ICCP":
		f.profile = b
	case "EXIF":
		e := readEXIF(b)
		f.ppi, f.sRGB, f.turn = e.ppi, e.sRGB, e.turn
	default:
		return f.bitstream(kind, b)
	}
	return nil
}

// bitstream reads the size from the start of the picture data (RFC 6386, 9.1;
// RFC 9649, 3.4).
func (f *webpFile) bitstream(kind string, b []byte) error {
	const fourteen = 1<<14 - 1 // bits of a side
	f.bitstreamRead, f.lossless = true, kind == "VP8L"
	most := float64(mostLossy)
	if f.lossless {
		most = mostLossless
		if b[0] != 0x2f {
			return broken("the picture's header is damaged: export it again")
		}
		sides := binary.LittleEndian.Uint32(b[1:])
		f.width, f.height = 1+int(sides&fourteen), 1+int(sides>>14&fourteen)
		f.alpha = f.alpha || sides>>28&1 != 0
	} else {
		if string(b[3:6]) != "\x9d\x01\x2a" {
			return broken("the picture's header is damaged: export it again")
		}
		f.width = int(binary.LittleEndian.Uint16(b[6:])) & fourteen
		f.height = int(binary.LittleEndian.Uint16(b[8:])) & fourteen
	}
	f.least = float64(f.width) * float64(f.height) / most
	return nil
}

// The most pixels that a byte holds. Lossy macroblocks of 256 pixels take at least
// a bit, for their modes; of lossless black 25,000 pixels in a byte have been seen.
const (
	mostLossy    = 256 * 8
	mostLossless = 1 << 17
)

func uint24(b []byte) int { return int(b[0]) | int(b[1])<<8 | int(b[2])<<16 }
