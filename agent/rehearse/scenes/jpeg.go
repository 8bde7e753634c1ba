package scenes

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"math"
)

const (
	markerAPP0 = 0xE0
	markerAPP2 = 0xE2
	startOfJPG = "\xFF\xD8"

	iccIdentifier = "ICC_PROFILE\x00"
	maxChunk      = 65535 - 2 - len(iccIdentifier) - 2 // of profile, in one segment
)

// EncodeJPEG writes a baseline 4:2:0 JPEG with a JFIF density and, if the
// options have a profile, its APP2 segments (ICC.1:2022, annex B.4).
func EncodeJPEG(w io.Writer, img image.Image, o Options) error {
	if err := o.check(img.Bounds()); err != nil {
		return err
	}
	head, err := jpegHead(o)
	if err != nil {
		return err
	}
	quality := o.Quality
	if quality == 0 {
		quality = 90
	}
	if _, ok := img.(*image.YCbCr); !ok {
		img = rounded{img}
	}
	return jpeg.Encode(&afterPrefix{w: w, prefix: startOfJPG, insert: head}, img, &jpeg.Options{Quality: quality})
}

// jpegHead returns the segments that follow the start of a JPEG.
func jpegHead(o Options) ([]byte, error) {
	density := []byte("JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x00\x00")
	if o.PPI > 0 {
		ppi := uint16(math.Round(o.PPI))
		density[7] = 1 // the unit: dots an inch
		binary.BigEndian.PutUint16(density[8:], ppi)
		binary.BigEndian.PutUint16(density[10:], ppi)
	}
	head := appendSegment(nil, markerAPP0, density)
	if o.Profile == nil {
		return head, nil
	}
	chunks, err := splitProfile(o.Profile, o.Chunks)
	for i, c := range chunks {
		number := iccIdentifier + string([]byte{byte(i + 1), byte(len(chunks))})
		head = appendSegment(head, markerAPP2, append([]byte(number), c...))
	}
	return head, err
}

func appendSegment(b []byte, marker byte, payload []byte) []byte {
	b = append(b, 0xFF, marker)
	b = binary.BigEndian.AppendUint16(b, uint16(len(payload)+2))
	return append(b, payload...)
}

// splitProfile cuts a profile into n parts of nearly equal size; n = 0 means as
// few as a segment's 16-bit length allows.
func splitProfile(p []byte, n int) ([][]byte, error) {
	least := max(1, (len(p)+maxChunk-1)/maxChunk)
	if n == 0 {
		n = least
	}
	if n < least || n > 255 || n > len(p) {
		return nil, fmt.Errorf("a profile of %d bytes can't be split into %d segments, want %d to %d",
			len(p), n, least, min(255, len(p)))
	}
	parts := make([][]byte, n)
	for i := range parts {
		parts[i] = p[i*len(p)/n : (i+1)*len(p)/n]
	}
	return parts, nil
}

// afterPrefix passes on what an encoder writes and inserts bytes once, after a
// known beginning. It streams: the standard encoders know no metadata, and a
// large picture need not be held in memory for that.
type afterPrefix struct {
	w      io.Writer
	prefix string
	insert []byte
	seen   []byte
	done   bool
}

func (a *afterPrefix) Write(p []byte) (int, error) {
	if a.done {
		return a.w.Write(p)
	}
	a.seen = append(a.seen, p...)
	if len(a.seen) < len(a.prefix) {
		return len(p), nil
	}
	if !bytes.HasPrefix(a.seen, []byte(a.prefix)) {
		return 0, fmt.Errorf("the encoder began with % x, want % x", a.seen[:len(a.prefix)], a.prefix)
	}
	a.done = true
	at := len(a.prefix)
	for _, part := range [][]byte{a.seen[:at], a.insert, a.seen[at:]} {
		if _, err := a.w.Write(part); err != nil {
			return 0, err
		}
	}
	a.seen = nil
	return len(p), nil
}

// rounded shows a picture in 8 bits, rounded. The encoders cut off the low byte
// of a 16-bit picture, which would darken every pixel by half a code.
type rounded struct{ image.Image }

func (r rounded) ColorModel() color.Model { return color.NRGBAModel }

func (r rounded) At(x, y int) color.Color {
	red, green, blue, _ := r.Image.At(x, y).RGBA()
	return color.NRGBA{to8(red), to8(green), to8(blue), 255}
}

func to8[T uint16 | uint32](v T) uint8 { return uint8((uint32(v)*255 + 32767) / 65535) }
