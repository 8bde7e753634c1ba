package tray

import (
	"bytes"
	"encoding/binary"
	"image"

	"lampblack/rules"
)

// icoSizes are those that Windows asks for at 100 to 300 % scaling.
var icoSizes = []int{16, 20, 24, 32, 48}

// The headers of an ICO file and of the bitmaps in it, as Windows documents them.
type (
	icoDir struct {
		Reserved, Type, Count uint16
	}
	icoEntry struct {
		Width, Height, Colours, Reserved uint8
		Planes, Bits                     uint16
		Size, Offset                     uint32
	}
	bitmapHeader struct {
		Size                    uint32
		Width, Height           int32 // the height counts picture and mask
		Planes, Bits            uint16
		Compression, ImageSize  uint32
		XPerMetre, YPerMetre    int32
		ColoursUsed, Importants uint32
	}
)

// iconICO is the icon in icoSizes as an ICO file of plain bitmaps, the kind
// that every version of Windows loads.
func iconICO(w rules.Wedge) []byte {
	var dir, bodies bytes.Buffer
	put(&dir, icoDir{Type: 1, Count: uint16(len(icoSizes))})
	offset := binary.Size(icoDir{}) + len(icoSizes)*binary.Size(icoEntry{})
	for _, size := range icoSizes {
		body := icoBitmap(drawIcon(w, size))
		put(&dir, icoEntry{
			Width: uint8(size), Height: uint8(size), Planes: 1, Bits: 32,
			Size: uint32(len(body)), Offset: uint32(offset + bodies.Len()),
		})
		bodies.Write(body)
	}
	return append(dir.Bytes(), bodies.Bytes()...)
}

// icoBitmap is a square image as blue, green, red, alpha from the bottom row
// up, followed by the old one-bit mask, whose rows are padded to four bytes.
func icoBitmap(m *image.NRGBA) []byte {
	size := m.Rect.Dx()
	var b, mask bytes.Buffer
	put(&b, bitmapHeader{
		Size: uint32(binary.Size(bitmapHeader{})), Width: int32(size), Height: int32(2 * size),
		Planes: 1, Bits: 32,
	})
	for y := size - 1; y >= 0; y-- {
		bits := make([]byte, (size+31)/32*4)
		for x := range size {
			c := m.NRGBAAt(x, y)
			b.Write([]byte{c.B, c.G, c.R, c.A})
			if c.A == 0 {
				bits[x/8] |= 0x80 >> (x % 8)
			}
		}
		mask.Write(bits)
	}
	b.Write(mask.Bytes())
	return b.Bytes()
}

// put writes a struct of fixed size, which can't fail into memory.
func put(b *bytes.Buffer, v any) { _ = binary.Write(b, binary.LittleEndian, v) }
