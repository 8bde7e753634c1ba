package picture

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"io"
	"math"

	"github.com/klauspost/compress/zlib"
)

// deflateRatio is the most that deflate can pack: 258 bytes into two bits.
const deflateRatio = 1032

// pngSignature is the length of PNG's magic, chunkFrame what each chunk has
// around its body: a length and a type before, a checksum after.
const (
	pngSignature = 8
	chunkFrame   = 12
)

// The colour types of PNG (ISO/IEC 15948, 11.2.2).
const (
	pngGrey      = 0
	pngRGB       = 2
	pngPalette   = 3
	pngGreyAlpha = 4
	pngRGBA      = 6
)

// pngFile is what a PNG's chunks say, and where the picture's bytes begin.
type pngFile struct {
	facts
	colour, bits byte
	samples      int // to a pixel, as stored
	interlaced   bool
	palette      []byte // R, G, B of each entry
	data         int64  // where the first chunk of picture data is; 0: none
}

// readChunks walks a PNG's chunks to the end; the bytes of the picture itself
// are left for later (ISO/IEC 15948, 5.3 and 11).
func readChunks(src *source) (pngFile, error) {
	f := pngFile{facts: facts{ppi: math.NaN()}}
	for at := int64(pngSignature); ; {
		length, kind, err := chunkAt(src, at)
		if err != nil {
			return f, err
		}
		if at == pngSignature && kind != "IHDR" {
			return f, broken("the picture's header is missing: export it again")
		}
		switch kind {
		case "IHDR", "PLTE", "pHYs", "iCCP", "sRGB", "tRNS":
			body, err := chunkBody(src, at, length)
			if err != nil {
				return f, err
			}
			if err := f.chunk(kind, body); err != nil {
				return f, err
			}
		case "eXIf":
			// A damaged one says nothing, as in other files.
			if body, err := chunkBody(src, at, length); err == nil {
				f.turn = readEXIF(body).turn
			}
		case "IDAT":
			if f.data == 0 {
				f.data = at
			}
		case "IEND":
			return f, nil
		}
		at += chunkFrame + length
	}
}

// chunkAt is the length and type of the chunk at an offset, all of which is in
// the file.
func chunkAt(src *source, at int64) (length int64, kind string, err error) {
	head, err := src.bytes(at, 8)
	if err != nil {
		return 0, "", err
	}
	length, kind = int64(binary.BigEndian.Uint32(head)), string(head[4:])
	if length > src.size-at-chunkFrame {
		return 0, "", io.ErrUnexpectedEOF
	}
	return length, kind, nil
}

// chunkBody reads a chunk of a header's size.
func chunkBody(src *source, at, length int64) ([]byte, error) {
	if length > maxProfile {
		return nil, broken("a header of %d bytes makes no sense: export it again", length)
	}
	all, err := src.bytes(at+4, int(length)+8)
	if err != nil {
		return nil, err
	}
	checked, sum := all[:length+4], binary.BigEndian.Uint32(all[length+4:])
	if crc32.ChecksumIEEE(checked) != sum {
		return nil, broken("a header is damaged: export it again")
	}
	return checked[4:], nil
}

func (f *pngFile) chunk(kind string, body []byte) error {
	switch kind {
	case "IHDR":
		return f.imageHeader(body)
	case "PLTE":
		if len(body) == 0 || len(body)%3 != 0 || len(body) > 3*256 {
			return broken("the palette is damaged: export it again")
		}
		f.palette = body
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

// pngDepths are the bits a sample that each colour type may have.
var pngDepths = map[byte]string{
	pngGrey: "\x01\x02\x04\x08\x10", pngRGB: "\x08\x10", pngPalette: "\x01\x02\x04\x08", pngGreyAlpha: "\x08\x10", pngRGBA: "\x08\x10",
}

func (f *pngFile) imageHeader(body []byte) error {
	if len(body) != 13 {
		return broken("the picture's header is damaged: export it again")
	}
	f.width = int(binary.BigEndian.Uint32(body))
	f.height = int(binary.BigEndian.Uint32(body[4:]))
	f.bits, f.colour = body[8], body[9]
	f.depth, f.interlaced = int(f.bits), body[12] != 0
	if !bytes.Contains([]byte(pngDepths[f.colour]), []byte{f.bits}) {
		return broken("colour type %d with %d bits makes no sense: export it again", f.colour, f.bits)
	}
	if body[10] != 0 || body[11] != 0 || body[12] > 1 {
		return unsupported("this kind of PNG is not read: export as a usual one")
	}
	switch f.colour {
	case pngGrey:
		f.channels, f.samples = 1, 1
	case pngRGB:
		f.channels, f.samples = 3, 3
	case pngPalette:
		f.channels, f.samples = 3, 1
		f.depth = 8 // the palette's
	case pngGreyAlpha:
		f.channels, f.samples, f.alpha = 1, 2, true
	case pngRGBA:
		f.channels, f.samples, f.alpha = 3, 4, true
	}
	f.least = float64(f.width) * float64(f.height) * float64(f.samples) * float64(f.bits) / 8 / deflateRatio
	return nil
}

// compressedProfile unpacks an iCCP chunk: a name, a zero, a method, the data.
func (f *pngFile) compressedProfile(body []byte) {
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

// imageData reads the bodies of the chunks of picture data, which follow each
// other, and checks them.
type imageData struct {
	src  *source
	at   int64 // of the next chunk
	left int64 // of this one's body
	pos  int64
	sum  uint32
	over bool // the last chunk is read to its end
}

func (d *imageData) Read(p []byte) (int, error) {
	for d.left == 0 {
		if err := d.next(); err != nil {
			return 0, err
		}
	}
	n, err := d.src.ReadAt(p[:min(int64(len(p)), d.left)], d.pos)
	d.sum = crc32.Update(d.sum, crc32.IEEETable, p[:n])
	d.pos += int64(n)
	d.left -= int64(n)
	if n > 0 {
		return n, nil
	}
	return 0, err
}

// next checks the chunk that has been read and goes on to the one behind it.
func (d *imageData) next() error {
	if d.over {
		return io.EOF
	}
	if d.pos > 0 {
		sum, err := d.src.bytes(d.pos, 4)
		if err != nil {
			return err
		}
		if binary.BigEndian.Uint32(sum) != d.sum {
			return broken("the picture data is damaged (a wrong checksum): export it again")
		}
	}
	length, kind, err := chunkAt(d.src, d.at)
	if err != nil {
		return err
	}
	if kind != "IDAT" {
		d.over = true
		return io.EOF
	}
	d.pos, d.left, d.sum = d.at+8, length, crc32.ChecksumIEEE([]byte(kind))
	d.at += chunkFrame + length
	return nil
}
