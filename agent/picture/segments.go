package picture

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"strings"
)

// The markers of JPEG segments that matter here (ITU-T T.81, table B.1).
const (
	markerSOI   = 0xd8
	markerEOI   = 0xd9
	markerSOS   = 0xda
	markerDRI   = 0xdd
	markerTEM   = 0x01
	markerAPP0  = 0xe0
	markerAPP1  = 0xe1
	markerAPP2  = 0xe2
	markerAdobe = 0xee
)

// mostSegments bounds the walk; a picture with a large profile has some 300.
const mostSegments = 1 << 16

// segments is what the segments before a JPEG's first scan say.
type segments struct {
	facts
	exif   exif
	chunks map[byte][]byte // of the colour profile, by number from 1
	of     byte            // how many chunks there should be

	progressive bool
	separate    bool // the first scan holds one channel of several
	restarts    bool // the scans have restart markers in them
	components  []component
	jfif        bool
	adobe       bool    // has Adobe's marker ...
	transform   byte    // ... and this is the colour transform that it names
	adobeAt     []int64 // where the first byte of each such marker's body is
}

// component is one channel as the frame header declares it.
type component struct {
	name         byte
	across, down int // sampling factors, 1..4
}

// readSegments walks a JPEG's segments up to the first scan.
func readSegments(src *source) (segments, error) {
	s := segments{
		facts:  facts{ppi: math.NaN()},
		exif:   exif{ppi: math.NaN()},
		chunks: map[byte][]byte{},
	}
	const start = 2 // the file's first marker has no segment
	section := io.NewSectionReader(src, start, src.size-start)
	r := bufio.NewReader(section)
	position := func() int64 {
		at, _ := section.Seek(0, io.SeekCurrent) // which a section can always tell
		return start + at - int64(r.Buffered())
	}
	for range mostSegments {
		marker, err := nextMarker(r)
		if err != nil {
			return s, err
		}
		switch {
		case marker == markerSOS:
			head, err := r.Peek(3) // its length, and how many channels the scan holds
			s.separate = err == nil && head[2] == 1 && s.channels > 1
			return s.finish()
		case marker == markerEOI:
			return s, broken("the file holds no picture data: export it again")
		case marker == markerTEM || marker >= 0xd0 && marker <= markerSOI:
			continue // these stand alone
		}
		if marker == markerAdobe {
			s.adobeAt = append(s.adobeAt, position()+2) // after its length
		}
		if err := s.segment(marker, r); err != nil {
			return s, err
		}
	}
	return s, broken("the file is nothing but headers: export it again")
}

// nextMarker skips fill bytes, and whatever else is no marker, as decoders do.
func nextMarker(r *bufio.Reader) (byte, error) {
	before := byte(0)
	for {
		b, err := r.ReadByte()
		if err != nil {
			return 0, err
		}
		if before == 0xff && b != 0xff && b != 0 {
			return b, nil
		}
		before = b
	}
}

// segment reads one segment, of whose body only what is wanted is kept.
func (s *segments) segment(marker byte, r *bufio.Reader) error {
	var length [2]byte
	if _, err := io.ReadFull(r, length[:]); err != nil {
		return err
	}
	n := int(binary.BigEndian.Uint16(length[:])) - 2
	if n < 0 {
		return broken("a header is damaged: export it again")
	}
	frame := marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc
	if !frame && marker != markerAdobe && marker != markerDRI && (marker < markerAPP0 || marker > markerAPP2) {
		_, err := r.Discard(n)
		return err
	}
	body := make([]byte, n)
	if _, err := io.ReadFull(r, body); err != nil {
		return err
	}
	switch marker {
	case markerAPP0:
		s.density(body)
	case markerAPP1:
		if tiff, ok := bytes.CutPrefix(body, []byte("Exif\x00\x00")); ok {
			s.exif = readEXIF(tiff)
		}
	case markerAPP2:
		if chunk, ok := bytes.CutPrefix(body, []byte("ICC_PROFILE\x00")); ok {
			s.chunk(chunk)
		}
	case markerAdobe: // the name, three numbers, the transform
		if len(body) >= 12 && string(body[:5]) == "Adobe" {
			s.adobe, s.transform = true, body[11]
		}
	case markerDRI:
		s.restarts = strings.Trim(string(body), "\x00") != "" // an interval of 0 ends them
	default:
		return s.frame(marker, body)
	}
	return nil
}

// density reads JFIF's resolution: unit 1 is dots an inch, 2 dots a centimetre.
func (s *segments) density(body []byte) {
	s.jfif = len(body) >= 5 && string(body[:5]) == "JFIF\x00"
	if !s.jfif || len(body) < 12 {
		return
	}
	v := float64(binary.BigEndian.Uint16(body[8:]))
	switch body[7] {
	case 1:
		s.ppi = ppiOf(v, 1)
	case 2:
		s.ppi = ppiOf(v, 2.54)
	}
}

// frame reads the frame header (B.2.2).
func (s *segments) frame(marker byte, body []byte) error {
	switch {
	case marker > 0xc2:
		return unsupported("this kind of JPEG (lossless, hierarchical or arithmetic) is not read: export as a usual one")
	case len(body) < 6:
		return broken("a header is damaged: export it again")
	case body[0] != 8:
		return unsupported("JPEG with %d bits a channel is not read: export with 8", body[0])
	}
	s.depth = 8
	s.height = int(binary.BigEndian.Uint16(body[1:]))
	s.width = int(binary.BigEndian.Uint16(body[3:]))
	switch s.channels = int(body[5]); {
	case s.channels != 1 && s.channels != 3 && s.channels != 4:
		return broken("a picture with %d channels makes no sense: export it again", body[5])
	case len(body) != 6+3*s.channels:
		return broken("a header is damaged: export it again")
	}
	s.progressive = marker == 0xc2
	s.components = s.components[:0]
	for c := body[6:]; len(c) > 0; c = c[3:] {
		s.components = append(s.components, component{c[0], int(c[1] >> 4), int(c[1] & 15)})
	}
	// Each block of 64 pixels takes at least one bit, in any scan that holds it.
	s.least = float64(s.width) * float64(s.height) / (64 * 8)
	return nil
}

// chunk takes in one chunk of the colour profile: its number, how many there are,
// and its bytes (ICC.1:2022, B.4).
func (s *segments) chunk(b []byte) {
	switch {
	case len(b) < 2, b[0] == 0, b[0] > b[1], s.of != 0 && s.of != b[1], s.chunks[b[0]] != nil:
		s.profileTrash = "its pieces are misnumbered"
	default:
		s.of = b[1]
		s.chunks[b[0]] = b[2:]
	}
}

// finish joins what only the whole of the segments tells.
func (s *segments) finish() (segments, error) {
	if s.width == 0 && s.height == 0 {
		return *s, errors.New("picture data before the frame header")
	}
	if len(s.chunks) < int(s.of) && s.profileTrash == "" {
		s.profileTrash = "pieces of it are missing"
	}
	for i := 1; i <= int(s.of) && s.profileTrash == ""; i++ {
		s.profile = append(s.profile, s.chunks[byte(i)]...)
	}
	if math.IsNaN(s.ppi) {
		s.ppi = s.exif.ppi
	}
	s.sRGB, s.turn = s.exif.sRGB, s.exif.turn
	return *s, nil
}
