package picture

import (
	"encoding/binary"
	"image"
	"image/color"
	"math"
	"slices"
	"testing"

	"lampblack/rules/colour"
)

// letters is how a picture that is looked at as AB, CD, EF is stored, by the value
// of its field 274: TIFF 6.0 says for each where the first row and the first column
// are to be seen.
var letters = map[uint32][]string{
	1: {"AB", "CD", "EF"},
	2: {"BA", "DC", "FE"},
	3: {"FE", "DC", "BA"},
	4: {"EF", "CD", "AB"},
	5: {"ACE", "BDF"},
	6: {"BDF", "ACE"},
	7: {"FDB", "ECA"},
	8: {"ECA", "FDB"},
}

// letterSide is how many pixels a letter has each way: a whole block of a JPEG.
const letterSide = 8

// tone is the grey that stands for a letter.
func tone(letter byte) uint8 { return 30 + 40*(letter-'A') }

// inLetters is the sample of the pixel x, y.
func inLetters(rows []string, x, y int) uint8 { return tone(rows[y/letterSide][x/letterSide]) }

func greyLetters(rows []string) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, letterSide*len(rows[0]), letterSide*len(rows)))
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			img.SetGray(x, y, color.Gray{inLetters(rows, x, y)})
		}
	}
	return img
}

// standing is EXIF that says nothing but how the picture stands.
func standing(kind uint16, value uint32) []byte {
	b := []byte("II*\x00\x08\x00\x00\x00\x01\x00\x12\x01")
	b = append(binary.LittleEndian.AppendUint16(b, kind), 1, 0, 0, 0)
	return append(binary.LittleEndian.AppendUint32(b, value), 0, 0, 0, 0)
}

// standingFiles is the letters in each kind of file that can say how it stands.
func standingFiles(t testing.TB, rows []string, kind uint16, value uint32) map[string][]byte {
	t.Helper()
	says := string(standing(kind, value))
	s := sheet{
		w: letterSide * len(rows[0]), h: letterSide * len(rows), bits: 16, channels: 3, compression: packNone, rows: 5,
		stands: exifField{tagOrientation, kind, []uint32{value}},
		value:  func(x, y, _ int) uint16 { return widen8(inLetters(rows, x, y)) },
	}
	tiled, big := s, s
	tiled.tile = 16
	big.big = true
	first := s
	first.channels = 1 // not even as many channels as the thumbnail
	return map[string][]byte{
		"jpeg":                  makeJPEG(t, greyLetters(rows), segment(markerAPP1, "Exif\x00\x00"+says)),
		"png":                   makePNG(t, greyLetters(rows), chunk("eXIf", says)),
		"tiff":                  s.bytes(),
		"tiles":                 tiled.bytes(),
		"big":                   big.bytes(),
		"tiff, thumbnail first": thumbnailFirst(first, func(whole uint64) uint64 { return whole }),
	}
}

// letterOf is the letter whose tone a pixel of a preview has; '?' for none.
func letterOf(p Preview, x, y int) byte {
	code := 255 * colour.SRGB.Encode(p.at(x, y).Y)
	for c := byte('A'); c <= 'F'; c++ {
		if math.Abs(code-float64(tone(c))) < 3 {
			return c
		}
	}
	return '?'
}

// readLetters is what a preview of a letter a pixel shows.
func readLetters(p Preview) []string {
	var rows []string
	for y := range p.Height {
		var row []byte
		for x := range p.Width {
			row = append(row, letterOf(p, x, y))
		}
		rows = append(rows, string(row))
	}
	return rows
}

// However a picture is stored, it is shown upright, and is as wide as it is seen.
func TestPicturesStandUpright(t *testing.T) {
	upright := measured(t, makePNG(t, greyLetters(letters[1]))).MeanY
	for value, rows := range letters {
		for name, file := range standingFiles(t, rows, typeShort, value) {
			if got := readLetters(previewed(t, file, 3)); !slices.Equal(got, letters[1]) {
				t.Errorf("%s stored by %d shows %q", name, value, got)
			}
			pic := measured(t, file)
			if pic.Width != 2*letterSide || pic.Height != 3*letterSide || math.Abs(pic.MeanY-upright) > 1e-3 {
				t.Errorf("%s stored by %d: %d x %d pixels of mean Y %.4f, want %.4f", name, value, pic.Width, pic.Height, pic.MeanY, upright)
			}
		}
	}
}

// What makes no sense of how a picture stands leaves it as it is stored.
func TestSenselessStandings(t *testing.T) {
	for _, says := range []struct {
		kind  uint16
		value uint32
	}{{typeShort, 0}, {typeShort, 9}, {typeShort, 65535}, {typeByte, 6}, {typeLong, 6}, {typeUndefined, 6}, {2, 6}, {99, 6}} {
		for name, file := range standingFiles(t, letters[5], says.kind, says.value) {
			if got := readLetters(previewed(t, file, 3)); !slices.Equal(got, letters[5]) {
				t.Errorf("%s with %+v shows %q", name, says, got)
			}
		}
	}
}

// EXIF that is damaged says nothing of how a picture stands, and is no reason to
// refuse it.
func TestDamagedStanding(t *testing.T) {
	says := standing(typeShort, 6)
	wrong := chunk("eXIf", string(says))
	wrong[len(wrong)-1] ^= 1 // its checksum
	for name, file := range map[string][]byte{
		"jpeg cut short": makeJPEG(t, greyLetters(letters[6]), segment(markerAPP1, "Exif\x00\x00"+string(says[:15]))),
		"png cut short":  makePNG(t, greyLetters(letters[6]), chunk("eXIf", string(says[:15]))),
		"png checksum":   makePNG(t, greyLetters(letters[6]), wrong),
	} {
		if pic := measured(t, file); pic.Width != 3*letterSide || pic.Height != 2*letterSide {
			t.Errorf("%s: %d x %d pixels", name, pic.Width, pic.Height)
		}
	}
}

// A WebP has no preview, but a size.
func TestWebPStandsUpright(t *testing.T) {
	for name, file := range furtherFiles(t) {
		if sniff(file) != "WebP" {
			continue
		}
		stored := measured(t, file)
		if kind, _ := webpChunk(file); kind == "VP8X" {
			continue // it is extended already
		}
		const hasEXIF = 1 << 3
		pic := measured(t, extended(file, hasEXIF, stored.Width, stored.Height, "EXIF", string(standing(typeShort, 8))))
		if pic.Width != stored.Height || pic.Height != stored.Width || pic.Width == pic.Height {
			t.Errorf("%s: %d x %d pixels, stored are %d x %d", name, pic.Width, pic.Height, stored.Width, stored.Height)
		}
	}
}
