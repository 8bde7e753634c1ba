package picture

import (
	"bufio"
	"io"

	"github.com/klauspost/compress/zlib"
	"golang.org/x/image/tiff/lzw"
)

// unpacker unpacks segments one after another, and keeps what they can share.
type unpacker struct {
	r       io.Reader // the unpacked bytes of the present segment
	single  byteSource
	buffer  *bufio.Reader
	inflate io.Reader
}

// open begins with a segment.
func (u *unpacker) open(compression uint64, packed io.Reader) error {
	if compression == packLZW {
		u.single.r, u.single.at, u.single.n = packed, 0, 0
		u.r = lzw.NewReader(&u.single, lzw.MSB, 8)
		return nil
	}
	if u.buffer == nil {
		u.buffer = bufio.NewReaderSize(packed, 64<<10)
	} else {
		u.buffer.Reset(packed)
	}
	switch compression {
	case packDeflate, packDeflateOld:
		return u.zlib()
	case packBits:
		u.r = &packBitsReader{r: u.buffer}
	default:
		u.r = u.buffer
	}
	return nil
}

func (u *unpacker) zlib() error {
	if u.inflate != nil {
		u.r = u.inflate
		return u.inflate.(zlib.Resetter).Reset(u.buffer, nil)
	}
	r, err := zlib.NewReader(u.buffer)
	if err != nil {
		return err
	}
	u.inflate, u.r = r, r
	return nil
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

// byteSource hands out bytes one by one, which is what the LZW decoder asks for
// and where it spends its time: a bufio.Reader also keeps what it could unread.
type byteSource struct {
	r     io.Reader
	at, n int
	buf   [32 << 10]byte
}

func (s *byteSource) ReadByte() (byte, error) {
	if s.at < s.n {
		b := s.buf[s.at]
		s.at++
		return b, nil
	}
	return s.refill()
}

func (s *byteSource) refill() (byte, error) {
	n, err := io.ReadAtLeast(s.r, s.buf[:], 1)
	if err != nil {
		return 0, err
	}
	s.at, s.n = 1, n
	return s.buf[0], nil
}

// Read makes it a reader, as which the decoder wants to be given it.
func (s *byteSource) Read(p []byte) (int, error) {
	if s.at == s.n {
		return s.r.Read(p)
	}
	n := copy(p, s.buf[s.at:s.n])
	s.at += n
	return n, nil
}
