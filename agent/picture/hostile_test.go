package picture

import (
	"bytes"
	"errors"
	"image"
	"image/color/palette"
	"io"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"lampblack/agent/icc/icctest"
	"lampblack/rules/colour"
)

// goodFiles is one file of each kind.
func goodFiles(t testing.TB) map[string][]byte {
	const w, h = 61, 43
	profile := icctest.Matrix("Tidemark", colour.AdobeRGB, icctest.Curv(563))
	files := map[string][]byte{
		"jpeg":        makeJPEG(t, testRGB(w, h), iccSegments(profile, 2), segment(markerAPP1, "Exif\x00\x00"+string(makeEXIF()))),
		"grey":        makeJPEG(t, testGrey(w, h)),
		"png":         makePNG(t, testRGB(w, h), iccChunk(profile), chunk("pHYs", "\x00\x00\x2e\x23\x00\x00\x2e\x23\x01")),
		"png palette": makePNG(t, image.NewPaletted(image.Rect(0, 0, 9, 9), palette.Plan9)),
		"png16":       makePNG(t, testRGB16(w, h)),
		"none":        sheet{w: w, h: h, bits: 16, channels: 3, compression: packNone, rows: 9, profile: profile}.bytes(),
		"grey none":   sheet{w: 17, h: 9, bits: 8, channels: 1, extra: 1, compression: packNone, rows: 2, ppcm: 118}.bytes(),
		"lzw":         sheet{w: w, h: h, bits: 8, channels: 1, compression: packLZW, rows: 9}.bytes(),
		"deflate":     sheet{w: w, h: h, bits: 8, channels: 3, compression: packDeflate, tile: 32, predictor: true}.bytes(),
		"planar":      sheet{w: w, h: h, bits: 16, channels: 3, extra: 1, planar: true, compression: packDeflate, rows: 9}.bytes(),
		"big":         sheet{w: w, h: h, bits: 8, channels: 3, big: true, compression: packNone, rows: 9}.bytes(),
		"inks":        sheet{w: w, h: h, bits: 8, channels: 4, compression: packLZW, rows: 9}.bytes(),
		"float":       sheet{w: w, h: h, bits: 32, channels: 3, compression: packDeflate, predictor: true, rows: 9}.bytes(),
		"palette":     sheet{w: w, h: h, bits: 8, channels: 1, compression: packNone, palette: rainbow()}.bytes(),
		"bits":        sheet{w: w, h: h, bits: 8, channels: 3, compression: packBits, rows: 9}.bytes(),
	}
	for path, file := range goldenFiles(t, "video-001.progressive.jpeg") {
		files[filepath.Base(path)] = file
	}
	return files
}

// Cut anywhere, a good file is unfinished: it may be in the middle of being written.
func TestTruncated(t *testing.T) {
	for name, file := range goodFiles(t) {
		measured(t, file)
		const slack = 8 // a TIFF may miss its last bytes, which say that no directory follows
		for n := 0; n < len(file)-slack; n++ {
			if n > 60 {
				n += len(file) / 40
			}
			n = min(n, len(file)-slack-1)
			_, err := Measure(bytes.NewReader(file[:n]), int64(n))
			if n > 0 && n < 8 {
				if err == nil { // too little to tell what it would become
					t.Errorf("%s cut to %d bytes is read", name, n)
				}
				continue
			}
			if !errors.Is(err, ErrUnfinished) || !errors.Is(err, ErrBroken) {
				t.Errorf("%s cut to %d of %d bytes: %v", name, n, len(file), err)
			}
		}
	}
}

// A flipped byte never panics, and an error is one of ours.
func TestDamaged(t *testing.T) {
	for name, file := range goodFiles(t) {
		step := max(len(file)/40, 1)
		for i := 0; i < len(file); i += step {
			damaged := bytes.Clone(file)
			damaged[i] ^= 0x55
			checkError(t, name, damaged)
		}
	}
}

// checkError measures and checks that an error is one of this package's.
func checkError(t testing.TB, name string, file []byte) {
	t.Helper()
	_, err := Measure(bytes.NewReader(file), int64(len(file)))
	if err == nil {
		return
	}
	if !errors.Is(err, ErrBroken) && !errors.Is(err, ErrUnsupported) {
		t.Errorf("%s: %v", name, err)
	}
	if text := err.Error(); strings.ContainsAny(text, "\n") || !strings.Contains(text, ": ") {
		t.Errorf("%s: the message is no sentence with advice: %q", name, text)
	}
}

// bombs are small files that promise a lot.
func bombs() map[string][]byte {
	big := "\x00\x00\x4e\x20\x00\x00\x27\x10" // 20000 x 10000: allowed
	idat := chunk("IDAT", string(deflated(make([]byte, 100))))
	png := func(size string) []byte {
		return []byte("\x89PNG\r\n\x1a\n" + string(chunk("IHDR", size+"\x10\x06\x00\x00\x00")) + string(idat) + string(chunk("IEND", "")))
	}
	jpeg := func(frame string) []byte {
		return append([]byte("\xff\xd8"), append(segment(0xc2, frame), segment(markerSOS, "\x03\x01\x00\x02\x00\x03\x00\x00\x3f\x00")...)...)
	}
	tiff := func(fields map[uint16]uint32) []byte {
		return sheet{w: 16, h: 16, bits: 16, channels: 3, compression: packDeflate, fields: fields}.bytes()
	}
	return map[string][]byte{
		"png":            png(big),
		"png too large":  png("\x7f\xff\xff\xff\x7f\xff\xff\xff"),
		"jpeg":           jpeg("\x08\x27\x10\x4e\x20\x03\x01\x11\x00\x02\x11\x00\x03\x11\x00"),
		"jpeg too large": jpeg("\x08\xff\xff\xff\xff\x03\x01\x11\x00\x02\x11\x00\x03\x11\x00"),
		"tiff":           tiff(map[uint16]uint32{tagWidth: 20000, tagHeight: 10000}),
		"tiff too large": tiff(map[uint16]uint32{tagWidth: 1 << 31, tagHeight: 1 << 31}),
		"tiff side":      tiff(map[uint16]uint32{tagWidth: maxSide + 1, tagHeight: 1}),
		"tiff samples":   tiff(map[uint16]uint32{tagSamplesPerPixel: 1 << 30}),
		"tiff tiles":     tiff(map[uint16]uint32{tagTileWidth: 1 << 30, tagTileHeight: 1 << 30}),
		"tiff rows":      tiff(map[uint16]uint32{tagRowsPerStrip: 0}),
	}
}

func TestBombsCostNothing(t *testing.T) {
	for name, file := range bombs() {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := Measure(bytes.NewReader(file), int64(len(file)))
		runtime.ReadMemStats(&after)
		if !errors.Is(err, ErrBroken) && !errors.Is(err, ErrUnsupported) {
			t.Errorf("%s: %v", name, err)
		}
		if spent := after.TotalAlloc - before.TotalAlloc; spent > 1<<20 {
			t.Errorf("%s: %d bytes allocated", name, spent)
		}
	}
}

func TestOtherFormatsAreNamed(t *testing.T) {
	for want, head := range map[string]string{
		"HEIC":      "\x00\x00\x00\x18ftypheic",
		"AVIF":      "\x00\x00\x00\x18ftypavif",
		"PSD":       "8BPS\x00\x01",
		"PSB":       "8BPS\x00\x02",
		"EPS":       "%!PS-Adobe-3.0 EPSF-3.0",
		"OpenEXR":   "v/1\x01\x02\x00\x00\x00",
		"Radiance":  "#?RADIANCE\n",
		"ORF":       "IIRO\x08\x00\x00\x00",
		"RW2":       "IIU\x00\x18\x00\x00\x00",
		"CR3":       "\x00\x00\x00\x18ftypcrx \x00",
		"PDF":       "%PDF-1.7",
		"GIF":       "GIF89a",
		"BMP":       "BM\x00\x00",
		"JPEG XL":   "\xff\x0a\x00",
		"JPEG 2000": "\x00\x00\x00\x0cjP  \r\n\x87\n",
		"SVG":       "\ufeff<?xml version=\"1.0\"?>\n<svg>",
		"CR2":       "II*\x00\x10\x00\x00\x00CR\x02\x00",
		"RAF":       "FUJIFILMCCD-RAW 0201",
		"DNG":       string(sheet{w: 16, h: 16, bits: 8, channels: 3, compression: packNone, fields: map[uint16]uint32{tagDNGVersion: 0x401}}.bytes()),
		"camera raw": string(sheet{w: 16, h: 16, bits: 8, channels: 3, compression: packNone, fields: map[uint16]uint32{
			tagSubfileType: 1, tagSubIFDs: 8,
		}}.bytes()),
		"not a picture file": "Dear diary,",
	} {
		_, err := Measure(strings.NewReader(head), int64(len(head)))
		if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
}

func TestExoticKindsAreUnsupported(t *testing.T) {
	tiff := func(fields map[uint16]uint32) []byte {
		return sheet{w: 16, h: 16, bits: 8, channels: 3, compression: packNone, fields: fields}.bytes()
	}
	frame := func(marker byte, precision, channels byte) []byte {
		return append([]byte("\xff\xd8"), segment(marker, string([]byte{precision, 0, 16, 0, 16, channels}))...)
	}
	for want, file := range map[string][]byte{
		"other than CMYK":   sheet{w: 16, h: 16, bits: 8, channels: 4, compression: packNone, fields: map[uint16]uint32{tagInkSet: 2}}.bytes(),
		"256 colours":       tiff(map[uint16]uint32{tagPhotometric: 3, tagBitsPerSample: 16}),
		"L*a*b*":            tiff(map[uint16]uint32{tagPhotometric: 8}),
		"Y'CbCr":            tiff(map[uint16]uint32{tagPhotometric: 6}),
		"this kind":         tiff(map[uint16]uint32{tagPhotometric: 32803}),
		"method 60000":      tiff(map[uint16]uint32{tagCompression: 60000}),
		"floating-point":    tiff(map[uint16]uint32{tagSampleFormat: 3}),
		"differences":       tiff(map[uint16]uint32{tagPredictor: 3}),
		"signed":            tiff(map[uint16]uint32{tagSampleFormat: 2}),
		"reverse order":     tiff(map[uint16]uint32{tagFillOrder: 2, tagCompression: packLZW}),
		"32 bits":           tiff(map[uint16]uint32{tagBitsPerSample: 32}),
		"12 bits":           frame(0xc1, 12, 3),
		"lossless":          frame(0xc3, 8, 3),
		"more than the 200": sheet{w: 16, h: 16, bits: 8, channels: 1, compression: packNone, fields: map[uint16]uint32{tagWidth: 20001, tagHeight: 10000}}.bytes(),
		"export it smaller": sheet{w: 16, h: 16, bits: 8, channels: 1, compression: packNone, fields: map[uint16]uint32{tagWidth: maxSide + 1, tagHeight: 1}}.bytes(),
	} {
		_, err := Measure(bytes.NewReader(file), int64(len(file)))
		if !errors.Is(err, ErrUnsupported) || errors.Is(err, ErrBroken) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
}

// TestPackingsAreNamed: a TIFF whose compression is not read says which one it is,
// whatever else of it is rare.
func TestPackingsAreNamed(t *testing.T) {
	const ycc = 6
	for name, fields := range map[string][]map[uint16]uint32{
		"CCITT fax coding is not read: export with 8 or 16 bits a channel and LZW, ZIP or no compression": {
			{tagCompression: 2, tagBitsPerSample: 1}, {tagCompression: 3, tagBitsPerSample: 1}, {tagCompression: 4, tagBitsPerSample: 1},
		},
		"JPEG is not read: export with LZW, ZIP or no compression, or as a JPEG file": {
			{tagCompression: packJPEGOld, tagPhotometric: ycc}, {tagCompression: packJPEG, tagPhotometric: ycc}, {tagCompression: packJPEG},
		},
		"JBIG":      {{tagCompression: 9, tagBitsPerSample: 1}, {tagCompression: 34661, tagBitsPerSample: 1}},
		"JPEG 2000": {{tagCompression: 34712}, {tagCompression: 33003, tagPhotometric: ycc}},
		"JPEG XL":   {{tagCompression: 50002}},
		"LZMA":      {{tagCompression: 34925}},
		"ZSTD":      {{tagCompression: 50000}},
		"WebP":      {{tagCompression: 50001}},
		"LERC":      {{tagCompression: 34887, tagBitsPerSample: 32}},
		"LogLuv":    {{tagCompression: 34676, tagPhotometric: 32845}},
	} {
		for _, f := range fields {
			file := sheet{w: 16, h: 16, bits: 8, channels: 3, compression: packNone, fields: f}.bytes()
			_, err := Measure(bytes.NewReader(file), int64(len(file)))
			if !errors.Is(err, ErrUnsupported) || !strings.HasPrefix(err.Error(), "TIFF packed with "+name) || !strings.Contains(err.Error(), "LZW, ZIP or no compression") {
				t.Errorf("%s, fields %v: %v", name, f, err)
			}
		}
	}
}

// dying is a disk that goes away after some bytes.
type dying struct {
	io.ReaderAt
	after int64
}

var errGone = errors.New("device not configured")

func (d dying) ReadAt(p []byte, off int64) (int, error) {
	if off+int64(len(p)) > d.after {
		return 0, errGone
	}
	return d.ReaderAt.ReadAt(p, off)
}

func TestLostDiskIsVanished(t *testing.T) {
	for name, file := range goodFiles(t) {
		for _, after := range []int64{0, 100, int64(len(file)) * 3 / 4} {
			_, err := Measure(dying{bytes.NewReader(file), after}, int64(len(file)))
			if !errors.Is(err, ErrVanished) || errors.Is(err, ErrBroken) || !strings.Contains(err.Error(), errGone.Error()) {
				t.Errorf("%s after %d bytes: %v", name, after, err)
			}
		}
	}
}

// A file that shrinks while it is read is unfinished.
func TestShrinking(t *testing.T) {
	for name, file := range goodFiles(t) {
		_, err := Measure(bytes.NewReader(file[:len(file)/2]), int64(len(file)))
		if !errors.Is(err, ErrUnfinished) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// One pixel, one row, one column: no arithmetic of edges goes wrong.
func TestThinPictures(t *testing.T) {
	for _, size := range []image.Point{{1, 1}, {1, 50}, {50, 1}, {3, 2}, {17, 9}} {
		img := image.NewNRGBA(image.Rectangle{Max: size})
		value := func(x, y, c int) uint16 { return uint16(x*1000 + y) }
		for _, file := range [][]byte{
			makeJPEG(t, img), makePNG(t, img),
			sheet{w: size.X, h: size.Y, bits: 16, channels: 3, compression: packLZW, value: value}.bytes(),
			sheet{w: size.X, h: size.Y, bits: 8, channels: 1, compression: packNone, tile: 16, value: value}.bytes(),
		} {
			if pic := measured(t, file); pic.Width != size.X || pic.Height != size.Y {
				t.Errorf("%v: %d x %d", size, pic.Width, pic.Height)
			}
		}
	}
}
