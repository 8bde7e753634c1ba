package picture

import (
	"bufio"
	"encoding/binary"
	"io"

	"github.com/klauspost/compress/zlib"
	"golang.org/x/image/tiff/lzw"
)

// decode sends all pixels to the tally, a row of a segment at a time. The memory
// it takes is that of one such row.
func (l layout) decode(src *source, f facts, t *tally) error {
	across := (f.width + l.width - 1) / l.width
	row := make([]byte, l.width*l.samples*l.bytes)
	wide := make([]uint16, l.width*l.samples*(l.bytes-1))
	var unpack unpacker
	for i, at := range l.offsets {
		x, y := i%across*l.width, i/across*l.height
		r, err := unpack.open(l.compression, io.NewSectionReader(src, int64(at), int64(l.byteCounts[i])))
		if err != nil {
			return err
		}
		valid := min(l.width, f.width-x) * l.samples
		for ; y < min(f.height, (i/across+1)*l.height); y++ {
			if _, err := io.ReadFull(r, row); err != nil {
				return err
			}
			if l.bytes == 1 {
				tallySamples(t, y, undo(l, row)[:valid], l.samples, f.channels)
				continue
			}
			l.widen(wide, row)
			tallySamples(t, y, undo(l, wide)[:valid], l.samples, f.channels)
		}
	}
	return nil
}

// widen makes numbers of a row of 16-bit samples.
func (l layout) widen(wide []uint16, row []byte) {
	if l.order == binary.ByteOrder(binary.BigEndian) {
		for i := range wide {
			wide[i] = uint16(row[2*i])<<8 | uint16(row[2*i+1])
		}
		return
	}
	for i := range wide {
		wide[i] = uint16(row[2*i]) | uint16(row[2*i+1])<<8
	}
}

// undo takes back what the layout did to a row of samples.
func undo[T uint8 | uint16](l layout, row []T) []T {
	if l.difference {
		before := row
		for i := l.samples; i < len(row); i++ {
			row[i] += before[i-l.samples]
		}
	}
	if l.inverted {
		for i := range row {
			row[i] = ^row[i]
		}
	}
	return row
}

func tallySamples[T uint8 | uint16](t *tally, y int, row []T, samples, channels int) {
	if channels == 1 {
		addGrey(t, y, row, samples)
	} else {
		addRGB(t, y, row, samples)
	}
}

// unpacker opens segments one after another, and keeps what they can share.
type unpacker struct {
	buffer  *bufio.Reader
	inflate io.Reader
}

// open is a reader of the unpacked bytes of one segment. It is good until the
// next call.
func (u *unpacker) open(compression uint32, packed io.Reader) (io.Reader, error) {
	if u.buffer == nil {
		u.buffer = bufio.NewReaderSize(packed, 64<<10)
	} else {
		u.buffer.Reset(packed)
	}
	switch compression {
	case packLZW:
		return lzw.NewReader(u.buffer, lzw.MSB, 8), nil
	case packDeflate, packDeflateOld:
		return u.zlib()
	case packBits:
		return &packBitsReader{r: u.buffer}, nil
	}
	return u.buffer, nil
}

func (u *unpacker) zlib() (io.Reader, error) {
	if u.inflate != nil {
		return u.inflate, u.inflate.(zlib.Resetter).Reset(u.buffer, nil)
	}
	r, err := zlib.NewReader(u.buffer)
	if err != nil {
		return nil, err
	}
	u.inflate = r
	return r, nil
}

// packBitsReader unpacks Apple's PackBits (TIFF 6.0, section 9): a count n is
// followed by n+1 bytes as they are, or, when negative, by one byte that stands
// for 1−n of it; −128 means nothing.
type packBitsReader struct {
	r     *bufio.Reader
	left  int  // of the present run
	same  bool // the run repeats value
	value byte
}

func (p *packBitsReader) Read(b []byte) (int, error) {
	for p.left == 0 {
		if err := p.next(); err != nil {
			return 0, err
		}
	}
	b = b[:min(len(b), p.left)]
	if p.same {
		for i := range b {
			b[i] = p.value
		}
		p.left -= len(b)
		return len(b), nil
	}
	n, err := p.r.Read(b)
	p.left -= n
	return n, err
}

func (p *packBitsReader) next() error {
	b, err := p.r.ReadByte()
	if err != nil {
		return err
	}
	n := int(int8(b))
	switch {
	case n == -128:
		return nil
	case n >= 0:
		p.left, p.same = n+1, false
		return nil
	}
	p.left, p.same = 1-n, true
	p.value, err = p.r.ReadByte()
	return err
}
