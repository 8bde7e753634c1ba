package picture

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"lampblack/agent/icc"
	"lampblack/agent/icc/icctest"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// cmykJPEG is the picture in CMYK that comes with Go, and where in it Adobe's
// segment is.
func cmykJPEG(t testing.TB) (file []byte, adobe, end int) {
	t.Helper()
	file = furtherFiles(t)["video-001.cmyk.jpeg"]
	adobe = bytes.Index(file, []byte("\xff\xee"))
	return file, adobe, adobe + 16
}

// inkMean is the mean Y of inks without a profile, by the definition.
func inkMean(img *image.CMYK) float64 {
	sum := 0.0
	for i := 0; i < len(img.Pix); i += 4 {
		var ink icc.Values
		for c := range ink {
			ink[c] = float64(img.Pix[i+c]) / 255
		}
		sum += colour.FromLightness(ofInks(ink).L)
	}
	return sum / float64(len(img.Pix)/4)
}

func decodedCMYK(t *testing.T, file []byte) *image.CMYK {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	return img.(*image.CMYK)
}

// The same samples mean three things, by what Adobe's segment says, and by
// whether there is one.
func TestInksOfJPEG(t *testing.T) {
	file, adobe, end := cmykJPEG(t)
	ycck := bytes.Clone(file)
	ycck[end-1] = adobeYCCK
	bare := slices.Concat(file[:adobe], file[end:])
	inverted := decodedCMYK(t, file)
	for i := range inverted.Pix {
		inverted.Pix[i] = ^inverted.Pix[i]
	}
	for name, test := range map[string]struct {
		file   []byte
		want   float64
		within float64
	}{
		"inks":            {file, inkMean(decodedCMYK(t, file)), 1e-3},
		"YCCK":            {ycck, inkMean(decodedCMYK(t, ycck)), 3e-3}, // Go's conversion floors
		"nobody's inks":   {bare, inkMean(inverted), 1e-3},
		"two of Adobe's":  {slices.Concat(file[:adobe], file[adobe:end], file[adobe:]), inkMean(decodedCMYK(t, file)), 1e-3},
		"before YCCK's":   {slices.Concat(ycck[:adobe], file[adobe:end], ycck[adobe:]), inkMean(decodedCMYK(t, ycck)), 3e-3},
		"with a stranger": {slices.Concat(file[:adobe], segment(markerAdobe, "Ducky"), file[adobe:]), inkMean(decodedCMYK(t, file)), 1e-3},
	} {
		pic := measured(t, test.file)
		if math.Abs(pic.MeanY-test.want) > test.within {
			t.Errorf("%s: mean Y %.5f, want %.5f", name, pic.MeanY, test.want)
		}
		if !pic.Assumed || len(pic.Notes) != 1 || pic.Notes[0].Code != rules.NoteNoProfile {
			t.Errorf("%s: notes %q", name, pic.Notes)
		}
	}
}

// A picture that the decoder would call damaged, and that is not, is refused for what
// it is. An interval of 0 stands for no restart markers.
func TestRestartsInSeparateScans(t *testing.T) {
	for name, file := range goldenFiles(t, "video-001.q50.420.progressive.jpeg") {
		with := func(interval string) []byte { return slices.Concat(file[:2], segment(markerDRI, interval), file[2:]) }
		_, err := Measure(bytes.NewReader(with("\x00\x02")), int64(len(file)+6))
		if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "restart markers in scans of one channel") {
			t.Errorf("%s: %v", name, err)
		}
		if got, want := measured(t, with("\x00\x00")), measured(t, file); got.MeanY != want.MeanY {
			t.Errorf("%s: mean Y %v, want %v", name, got.MeanY, want.MeanY)
		}
	}
}

// What each kind takes, in bytes a pixel; some of them are README's table.
func TestMemoryOfJPEG(t *testing.T) {
	frame := func(marker byte, factors ...byte) segments {
		s := segments{progressive: marker == 0xc2, facts: facts{width: 4000, height: 3200, channels: len(factors)}}
		for i, f := range factors {
			s.components = append(s.components, component{byte(i), int(f >> 4), int(f & 15)})
		}
		return s
	}
	rgb := frame(0xc0, 0x11, 0x11, 0x11)
	rgb.adobe = true
	const baseline, progressive = 0xc0, 0xc2
	for name, test := range map[string]struct {
		s    segments
		want float64
	}{
		"grey":                {frame(baseline, 0x22), 1},
		"grey, progressive":   {frame(progressive, 0x11), 5},
		"4:2:0":               {frame(baseline, 0x22, 0x11, 0x11), 1.5},
		"4:2:0, progressive":  {frame(progressive, 0x22, 0x11, 0x11), 7.5},
		"4:2:2":               {frame(baseline, 0x21, 0x11, 0x11), 2},
		"4:2:2, progressive":  {frame(progressive, 0x21, 0x11, 0x11), 10},
		"4:4:4":               {frame(baseline, 0x11, 0x11, 0x11), 3},
		"4:4:4, progressive":  {frame(progressive, 0x11, 0x11, 0x11), 15},
		"RGB":                 {rgb, 7},
		"CMYK":                {frame(baseline, 0x11, 0x11, 0x11, 0x11), 8},
		"CMYK, progressive":   {frame(progressive, 0x11, 0x11, 0x11, 0x11), 24},
		"YCCK of half chroma": {frame(baseline, 0x22, 0x11, 0x11, 0x22), 6.5},
	} {
		if got := test.s.memory() / (4000 * 3200); got != test.want {
			t.Errorf("%s: %v bytes a pixel, want %v", name, got, test.want)
		}
	}
}

// The decoder takes what we think it takes: here, of a picture in ink.
func TestMemoryOfJPEGIsMeasured(t *testing.T) {
	file, _, _ := cmykJPEG(t)
	s, err := readSegments(&source{f: bytes.NewReader(file), size: int64(len(file))})
	if err != nil {
		t.Fatal(err)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if _, err := jpeg.Decode(bytes.NewReader(file)); err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	const decoder = 64 << 10 // its own tables
	if took := float64(after.TotalAlloc - before.TotalAlloc); took > s.memory()+decoder || took < s.memory()*0.9 {
		t.Errorf("%.0f bytes, estimated %.0f", took, s.memory())
	}
}

// An even sample tells what all pixels tell: the mean and the darkest.
func TestSparsePixelsTellTheSame(t *testing.T) {
	const w, h = 4200, 3000
	rnd := rand.New(rand.NewPCG(7, 8))
	img := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w { // blocks, waves and noise, a tenth of it deep shadow
			v := 128 + 90*math.Sin(float64(x)/37)*math.Cos(float64(y)/53) + rnd.NormFloat64()*12
			if (x/8+y/8)%10 == 0 {
				v /= 20
			}
			img.Pix[y*img.Stride+x] = uint8(min(max(v, 0), 255))
		}
	}
	file := makeJPEG(t, img)
	got := measured(t, file)
	decoded, err := jpeg.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	all := decoded.(*image.Gray)
	var mean, dark float64
	for _, v := range all.Pix[:w*h] {
		y := colour.SRGB.Decode(float64(v) / 255)
		mean += y / (w * h)
		if y < 0.01 {
			dark += 1.0 / (w * h)
		}
	}
	gotDark := 0.0
	for _, tone := range got.Tones {
		if tone.Y < 0.01 {
			gotDark += tone.Share
		}
	}
	if stops := math.Abs(math.Log2(got.MeanY / mean)); stops > 0.01 {
		t.Errorf("mean off by %.4f stops", stops)
	}
	if math.Abs(gotDark-dark) > 0.001 {
		t.Errorf("dark share %.4f, of all pixels %.4f", gotDark, dark)
	}
}

// Every place in a block of 8 x 8 is looked at, and as often as the others.
func TestSparsePixelsSpread(t *testing.T) {
	for _, side := range []int{1000, 4000, 6000, 10_000, 14_000} {
		step := stepOf(image.Rect(0, 0, side, side))
		if looked := side * side / step; looked > 2*enough || looked < min(side*side, enough*2/3) {
			t.Errorf("%d pixels a side: %d are looked at", side, looked)
		}
		var seen [8][8]int
		for y := range 8 * step {
			for x := firstOf(y, step); x < 8*step; x += step {
				seen[y%8][x%8]++
			}
		}
		for y, row := range seen {
			for x, n := range row {
				if n != step {
					t.Errorf("one in %d: place %d, %d in a block is looked at %d times", step, x, y, n)
				}
			}
		}
	}
}

// WebP's luma goes from 16 to 235: the picture is that of another decoder's
// RGB, which comes beside it as PNG.
func TestWebPIsStudioRange(t *testing.T) {
	black, white := studioRange.rgbOf(16, 128, 128), studioRange.rgbOf(235, 128, 128)
	if black != [3]uint8{} || white != [3]uint8{255, 255, 255} {
		t.Errorf("black is %v, white %v", black, white)
	}
	red := studioRange.rgbOf(81, 90, 240) // BT.601's red, rounded to codes
	if red[0] < 253 || red[1] > 2 || red[2] > 2 {
		t.Errorf("red is %v", red)
	}
}

func (c ycc) rgbOf(y, cb, cr int32) [3]uint8 {
	r, g, b := c.rgb(y, cb, cr)
	return [3]uint8{r, g, b}
}

func TestWebP(t *testing.T) {
	files := goldenFiles(t, ".lossless.webp", ".lossy.webp")
	if len(files) < 16 {
		t.Fatalf("only %d files", len(files))
	}
	means := map[string]float64{}
	for path, file := range files {
		pic := measured(t, file)
		means[path[strings.LastIndex(path, "/")+1:]] = pic.MeanY
		if pic.Depth != 8 {
			t.Errorf("%s: %d bits", path, pic.Depth)
		}
	}
	// The same picture with and without loss has the same mean. (Taken as JPEG's,
	// the luma of the lossy ones would be 0.009 off.)
	for lossy, lossless := range map[string]string{
		"blue-purple-pink.lossy.webp":                     "blue-purple-pink.lossless.webp",
		"blue-purple-pink-large.no-filter.lossy.webp":     "blue-purple-pink-large.lossless.webp",
		"blue-purple-pink-large.normal-filter.lossy.webp": "blue-purple-pink-large.lossless.webp",
		"blue-purple-pink-large.simple-filter.lossy.webp": "blue-purple-pink-large.lossless.webp",
	} {
		if math.Abs(means[lossy]-means[lossless]) > 4e-3 {
			t.Errorf("%s: mean Y %v, %s %v", lossy, means[lossy], lossless, means[lossless])
		}
	}
}

func TestWebPWithProfileAndEXIF(t *testing.T) {
	files := goldenFiles(t, "blue-purple-pink.lossy.webp")
	for _, file := range files {
		plain := measured(t, file)
		pic := measured(t, extended(file, 0x28, plain.Width, plain.Height,
			"ICCP", string(icctest.Matrix("Tidemark wide", colour.AdobeRGB, icctest.Curv(563))), "EXIF", string(makeEXIF())))
		if pic.Profile != "Tidemark wide" || pic.PPI != 240 || pic.MeanY == plain.MeanY {
			t.Errorf("profile %q, %v ppi, mean %v as without %v", pic.Profile, pic.PPI, pic.MeanY, plain.MeanY)
		}
	}
}

// A PNG takes two rows of memory, however many it has, and the tally.
func TestMemoryOfPNGIsThatOfRows(t *testing.T) {
	file := tallPNG(3_000, 2_000)
	one := tallPNG(3_000, 1)
	allocated := func(file []byte) uint64 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		measured(t, file)
		runtime.ReadMemStats(&after)
		return after.TotalAlloc - before.TotalAlloc
	}
	short, tall := allocated(one), allocated(file)
	if tall > short+(1<<20) {
		t.Errorf("a tall picture takes %d bytes, one row %d", tall, short)
	}
}

// tallPNG is a PNG of 16-bit RGB with one row repeated.
func tallPNG(w, h int) []byte {
	row := []byte{0}
	for x := range w {
		row = append(row, byte(x>>4), byte(x), byte(x>>5), 0, 99, 7)
	}
	header := string([]byte{0, 0, byte(w >> 8), byte(w), 0, 0, byte(h >> 8), byte(h), 16, pngRGB, 0, 0, 0})
	return slices.Concat([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", header),
		chunk("IDAT", string(deflated(bytes.Repeat(row, h)))), chunk("IEND", ""))
}

// A palette that is too short is black beyond its end.
func TestShortPalette(t *testing.T) {
	black := measured(t, makePNG(t, image.NewPaletted(image.Rect(0, 0, 9, 9), color.Palette{color.Black})))
	header := "\x00\x00\x00\x09\x00\x00\x00\x09\x08\x03\x00\x00\x00"
	rows := bytes.Repeat([]byte("\x00123456789"), 9)
	file := slices.Concat([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", header), chunk("PLTE", "\xff\xff\xff"),
		chunk("IDAT", string(deflated(rows))), chunk("IEND", ""))
	if got := measured(t, file); got.MeanY != black.MeanY {
		t.Errorf("mean Y %v", got.MeanY)
	}
}
