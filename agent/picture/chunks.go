package picture

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"

	"github.com/klauspost/compress/zlib"
)

// deflateRatio is the most that deflate can pack: 258 bytes into two bits.
const deflateRatio = 1032

// readChunks walks a PNG's chunks to the end; the bytes of the picture itself
// are left to the decoder (ISO/IEC 15948, 5.3 and 11).
func readChunks(src *source) (facts, error) {
	f := facts{ppi: math.NaN()}
	const signature, frame = 8, 12 // a chunk's length, type and checksum
	for at := int64(signature); ; {
		head, err := src.bytes(at, 8)
		if err != nil {
			return f, err
		}
		length, kind := int64(binary.BigEndian.Uint32(head)), string(head[4:])
		if length > src.size-at-frame {
			return f, io.ErrUnexpectedEOF
		}
		if at == signature && kind != "IHDR" {
			return f, broken("the picture's header is missing: export it again")
		}
		switch kind {
		case "IHDR", "pHYs", "iCCP", "sRGB", "tRNS":
			if length > maxProfile {
				return f, broken("a header of %d bytes makes no sense: export it again", length)
			}
			body, err := src.bytes(at+8, int(length))
			if err != nil {
				return f, err
			}
			if err := f.chunk(kind, body); err != nil {
				return f, err
			}
		case "IEND":
			return f, nil
		}
		at += frame + length
	}
}

func (f *facts) chunk(kind string, body []byte) error {
	switch kind {
	case "IHDR":
		return f.imageHeader(body)
	case "pHYs": // pixels a unit across and down; unit 1 is the metre
		if len(body) == 9 && body[8] == 1 {
			f.ppi = ppiOf(float64(binary.BigEndian.Uint32(body)), 0.0254)
		}
	case "sRGB":
		f.sRGB = true
	case "tRNS":
		f.alpha = true
	case "iCCP":
		f.compressedProfile(body)
	}
	return nil
}

func (f *facts) imageHeader(body []byte) error {
	if len(body) != 13 {
		return broken("the picture's header is damaged: export it again")
	}
	f.width = int(binary.BigEndian.Uint32(body))
	f.height = int(binary.BigEndian.Uint32(body[4:]))
	f.depth = int(body[8])
	samples := 1
	switch kind := body[9]; kind {
	case 0:
		f.channels = 1
	case 2:
		f.channels, samples = 3, 3
	case 3:
		f.channels = 3
	case 4:
		f.channels, samples, f.alpha = 1, 2, true
	case 6:
		f.channels, samples, f.alpha = 3, 4, true
	default:
		return broken("colour type %d makes no sense: export it again", kind)
	}
	f.least = float64(f.width) * float64(f.height) * float64(samples*f.depth) / 8 / deflateRatio
	if body[9] == 3 {
		f.depth = 8 // the palette's
	}
	return nil
}

// compressedProfile unpacks an iCCP chunk: a name, a zero, a method, the data.
func (f *facts) compressedProfile(body []byte) {
	_, packed, ok := bytes.Cut(body, []byte{0})
	if !ok || len(packed) < 1 || packed[0] != 0 {
		f.profileTrash = "its packing is unknown"
		return
	}
	r, err := zlib.NewReader(bytes.NewReader(packed[1:]))
	if err == nil {
		defer r.Close()
		f.profile, err = io.ReadAll(io.LimitReader(r, maxProfile))
	}
	if err != nil {
		f.profile, f.profileTrash = nil, "it is damaged"
	}
}
