package scenes

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"strings"
	"testing"

	"golang.org/x/image/tiff"
)

func smallScene(t *testing.T) *image.NRGBA64 {
	t.Helper()
	img, err := Paint("boatshed", 75, 50, 3, Wide)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

type encodeFunc func(io.Writer, image.Image, Options) error

func encoded(t *testing.T, encode encodeFunc, img image.Image, o Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := encode(&b, img, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// profileOf joins a JPEG's profile, and fails where the parts are not numbered
// 1 to n of n. It returns how many there are.
func profileOf(t *testing.T, file []byte) (profile []byte, parts int) {
	t.Helper()
	for at := 2; file[at+1] != 0xDA; {
		size := int(binary.BigEndian.Uint16(file[at+2:]))
		body := file[at+4 : at+2+size]
		if file[at+1] == 0xE2 && strings.HasPrefix(string(body), "ICC_PROFILE\x00") {
			parts++
			if int(body[12]) != parts {
				t.Errorf("part %d has number %d", parts, body[12])
			}
			profile = append(profile, body[14:]...)
		}
		at += 2 + size
	}
	return profile, parts
}

func TestJPEG(t *testing.T) {
	large := bytes.Repeat([]byte("profile "), 20000) // 160 kB
	tests := []struct {
		profile       []byte
		chunks, parts int
	}{
		{nil, 0, 0}, {Profile(Web), 0, 1}, {Profile(Web), 3, 3}, {large, 0, 3}, {large, 255, 255},
	}
	img := smallScene(t)
	for _, test := range tests {
		file := encoded(t, EncodeJPEG, img, Options{Profile: test.profile, Chunks: test.chunks, PPI: 300})
		profile, parts := profileOf(t, file)
		if parts != test.parts || !bytes.Equal(profile, test.profile) {
			t.Errorf("%d bytes of profile came back as %d in %d parts, want %d parts",
				len(test.profile), len(profile), parts, test.parts)
		}
		jfif := "\xFF\xD8\xFF\xE0\x00\x10JFIF\x00\x01\x02\x01\x01\x2C\x01\x2C\x00\x00"
		if !bytes.HasPrefix(file, []byte(jfif)) {
			t.Errorf("the file begins with % x, want % x", file[:20], jfif)
		}
		got, err := jpeg.Decode(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		if d := meanDifference(t, got, img); d > 0.03 {
			t.Errorf("the picture differs by %g on average", d)
		}
	}
}

func TestPNG(t *testing.T) {
	img := smallScene(t)
	for _, depth := range []int{8, 16} {
		file := encoded(t, EncodePNG, img, Options{Profile: Profile(Wide), PPI: 300, Depth: depth})
		got, err := png.Decode(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		if d := meanDifference(t, got, img); d > 0.6/255*float64((16-depth)/8) {
			t.Errorf("%d bits: the picture differs by %g on average", depth, d)
		}
		if int(file[24]) != depth || file[25] != 2 {
			t.Errorf("depth %d and colour type %d, want %d and 2 (RGB)", file[24], file[25], depth)
		}
		checkPNGChunks(t, file)
	}
}

func checkPNGChunks(t *testing.T, file []byte) {
	t.Helper()
	var order []string
	for at := 8; at < len(file); {
		size := int(binary.BigEndian.Uint32(file[at:]))
		name, data := string(file[at+4:at+8]), file[at+8:at+8+size]
		if crc32.ChecksumIEEE(file[at+4:at+8+size]) != binary.BigEndian.Uint32(file[at+8+size:]) {
			t.Errorf("%s: wrong checksum", name)
		}
		switch name {
		case "iCCP":
			z, err := zlib.NewReader(bytes.NewReader(data[len("profile")+2:]))
			if err != nil {
				t.Fatal(err)
			}
			if p, err := io.ReadAll(z); err != nil || !bytes.Equal(p, Profile(Wide)) {
				t.Errorf("the profile comes back as %d bytes (%v)", len(p), err)
			}
		case "pHYs":
			if want := []byte{0, 0, 0x2E, 0x23, 0, 0, 0x2E, 0x23, 1}; !bytes.Equal(data, want) {
				t.Errorf("pHYs is % x, want % x (11811 a metre)", data, want)
			}
		}
		order = append(order, name)
		at += 12 + size
	}
	if got := strings.Join(order[:4], " "); got != "IHDR iCCP pHYs IDAT" {
		t.Errorf("the chunks are %s ...", got)
	}
}

func TestTIFF(t *testing.T) {
	img := smallScene(t)
	for _, order := range []binary.ByteOrder{nil, binary.LittleEndian, binary.BigEndian} {
		for _, depth := range []int{8, 16} {
			for _, deflate := range []bool{false, true} {
				for _, rows := range []int{0, 1, 7, 1000} {
					o := Options{Profile: Profile(Wide), PPI: 300, Depth: depth, Deflate: deflate, RowsPerStrip: rows, Order: order}
					name := fmt.Sprintf("%v, %d bits, deflate %v, %d rows", order, depth, deflate, rows)
					t.Run(name, func(t *testing.T) { checkTIFF(t, img, o) })
				}
			}
		}
	}
}

func checkTIFF(t *testing.T, img image.Image, o Options) {
	file := encoded(t, EncodeTIFF, img, o)
	got, err := tiff.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	if d := meanDifference(t, got, img); d > 0.6/255*float64((16-o.Depth)/8) {
		t.Errorf("the picture differs by %g on average", d)
	}
	mark, order := "II*\x00", binary.ByteOrder(binary.LittleEndian)
	if o.Order == binary.BigEndian {
		mark, order = "MM\x00*", binary.BigEndian
	}
	if string(file[:4]) != mark {
		t.Errorf("the file begins with %q, want %q", file[:4], mark)
	}
	last, profile := 0, false
	for i := range int(order.Uint16(file[8:])) {
		entry := file[10+12*i:]
		tag, count, offset := int(order.Uint16(entry)), order.Uint32(entry[4:]), order.Uint32(entry[8:])
		if tag <= last {
			t.Errorf("tag %d follows %d", tag, last)
		}
		last = tag
		switch tag {
		case 282, 283:
			if v := order.Uint32(file[offset:]) / order.Uint32(file[offset+4:]); v != 300 {
				t.Errorf("tag %d is %d, want 300", tag, v)
			}
		case 34675:
			profile = bytes.Equal(file[offset:offset+count], o.Profile)
		}
	}
	if !profile {
		t.Error("the profile doesn't come back")
	}
}

func TestWritersRefuse(t *testing.T) {
	img, empty := smallScene(t), image.NewNRGBA(image.Rect(0, 0, 0, 5))
	tests := []struct {
		name   string
		encode encodeFunc
		img    image.Image
		o      Options
	}{
		{"empty JPEG", EncodeJPEG, empty, Options{}},
		{"empty PNG", EncodePNG, empty, Options{}},
		{"empty TIFF", EncodeTIFF, empty, Options{}},
		{"negative resolution", EncodeJPEG, img, Options{PPI: -1}},
		{"depth of a PNG", EncodePNG, img, Options{Depth: 12}},
		{"depth of a TIFF", EncodeTIFF, img, Options{Depth: 32}},
		{"more parts than bytes", EncodeJPEG, img, Options{Profile: []byte("ab"), Chunks: 3}},
		{"too few parts", EncodeJPEG, img, Options{Profile: make([]byte, 70000), Chunks: 1}},
		{"profile too long", EncodeJPEG, img, Options{Profile: make([]byte, 256*maxChunk)}},
	}
	for _, test := range tests {
		var b bytes.Buffer
		if err := test.encode(&b, test.img, test.o); err == nil {
			t.Errorf("%s: no error", test.name)
		} else if b.Len() > 0 {
			t.Errorf("%s: %d bytes were written before the error", test.name, b.Len())
		}
	}
}

var errFull = errors.New("no space left")

// fullDisk takes a number of bytes, then fails.
type fullDisk struct{ left int }

func (d *fullDisk) Write(p []byte) (int, error) {
	if len(p) > d.left {
		return d.left, errFull
	}
	d.left -= len(p)
	return len(p), nil
}

func TestWritersReportAFullDisk(t *testing.T) {
	img := smallScene(t)
	for name, encode := range map[string]encodeFunc{"JPEG": EncodeJPEG, "PNG": EncodePNG, "TIFF": EncodeTIFF} {
		for _, deflate := range []bool{false, true} {
			o := Options{Profile: Profile(Web), Deflate: deflate}
			size := len(encoded(t, encode, img, o))
			for _, room := range []int{0, 1, 30, 700, size - 1} {
				if err := encode(&fullDisk{room}, img, o); !errors.Is(err, errFull) {
					t.Errorf("%s with room for %d of %d bytes: error %v, want %v", name, room, size, err, errFull)
				}
			}
		}
	}
}
