//go:build desktop

package picture

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"lampblack/rules"
	"lampblack/rules/colour"
	"lampblack/testdata/debian"
)

// Photographs and files of which no byte was made here: Debian's packages, their
// tools as makers and as judges. When one of them is missing this fails: it is run
// where they are meant to be.

// run runs a tool and gives what it wrote.
func run(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	var complaint bytes.Buffer
	cmd := exec.Command(name, args...)
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s %q: %v %s", name, args, err, complaint.String())
	}
	return out
}

func globbed(t *testing.T, least int, parts ...string) []string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(parts...))
	if err != nil || len(names) < least {
		t.Fatalf("%s: %d files, %v; want %d", filepath.Join(parts...), len(names), err, least)
	}
	return names
}

func measuredFile(t *testing.T, path string) rules.Picture {
	t.Helper()
	file, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return measured(t, file)
}

// truth is what all pixels of a picture tell.
type truth struct{ mean, dark, black, white float64 }

// darkBelow is where a tone is deep shadow, relative luminance.
const darkBelow = 0.01

// truthOf counts every pixel of a PPM or PGM with 8 bits, taken as sRGB.
func truthOf(t *testing.T, pnm []byte) truth {
	t.Helper()
	fields := bytes.SplitN(pnm, []byte("\n"), 4)
	size := strings.Fields(string(fields[1]))
	if len(fields) != 4 || len(size) != 2 || string(fields[2]) != "255" {
		t.Fatalf("no PNM with 8 bits: %q", pnm[:min(len(pnm), 30)])
	}
	weights, step := sRGB.ToXYZ[1], 3
	if string(fields[0]) == "P5" {
		weights, step = [3]float64{1}, 1
	}
	var parts [3][256]float64
	for c := range step {
		for v := range 256 {
			parts[c][v] = weights[c] * colour.SRGB.Decode(float64(v)/255)
		}
	}
	var sum truth
	px := fields[3]
	n := float64(len(px) / step)
	for ; len(px) >= step; px = px[step:] {
		y := 0.0
		for c := range step {
			y += parts[c][px[c]]
		}
		sum.mean += y / n
		if y < darkBelow {
			sum.dark += 1 / n
		}
		if y < blackBelow {
			sum.black += 1 / n
		}
		if y > whiteAbove {
			sum.white += 1 / n
		}
	}
	return sum
}

// compare holds a measurement against what all pixels tell: the mean within 0.01
// stop, the shares within 0.1 point, and half a point in the last 8-bit codes,
// which two decoders' rounding moves about.
func (want truth) compare(t *testing.T, pic rules.Picture) {
	t.Helper()
	dark := 0.0
	for _, tone := range pic.Tones {
		if tone.Y < darkBelow {
			dark += tone.Share
		}
	}
	stops := math.Log2(pic.MeanY / want.mean)
	t.Logf("%.1f MP: mean %+.4f stop, dark %.3f %% (all pixels %.3f %%), black %.3f (%.3f), white %.3f (%.3f)",
		float64(pic.Width*pic.Height)/1e6, stops, 100*dark, 100*want.dark, 100*pic.Black, 100*want.black, 100*pic.White, 100*want.white)
	if math.Abs(stops) > 0.01 {
		t.Errorf("the mean is off by %.4f stops", stops)
	}
	if math.Abs(dark-want.dark) > 0.001 {
		t.Errorf("the dark share is %.4f, of all pixels %.4f", dark, want.dark)
	}
	if math.Abs(pic.Black-want.black) > 0.005 || math.Abs(pic.White-want.white) > 0.005 {
		t.Errorf("black %.4f, white %.4f; of all pixels %.4f, %.4f", pic.Black, pic.White, want.black, want.white)
	}
}

// djpeg decodes every pixel, without smoothing the chroma, as we do.
func djpeg(t *testing.T, path string) []byte {
	return run(t, "djpeg", "-nosmooth", "-dct", "int", path)
}

func TestPhotographsAgainstDjpeg(t *testing.T) {
	folder := debian.Unpacked(t, "lomiri-wallpapers-16.04")
	for _, path := range globbed(t, 12, folder, "usr/share/backgrounds/*.jpg") {
		t.Run(filepath.Base(path), func(t *testing.T) {
			truthOf(t, djpeg(t, path)).compare(t, measuredFile(t, path))
		})
	}
}

// Where the fewest pixels are looked at, one in thirteen, it holds as well.
func TestMosaicAgainstDjpeg(t *testing.T) {
	folder := debian.Unpacked(t, "lomiri-wallpapers-16.04")
	backgrounds := filepath.Join(folder, "usr/share/backgrounds")
	var photos []string
	for _, name := range []string{"Dragonfly", "sunset", "Bridge", "seeding"} {
		photos = append(photos, globbed(t, 1, backgrounds, name+"*.jpg")[0])
	}
	path := filepath.Join(folder, "mosaic.jpg")
	run(t, "vips", "arrayjoin", strings.Join(photos, " "), path+"[Q=92]", "--across", "2")
	truthOf(t, djpeg(t, path)).compare(t, measuredFile(t, path))
}

// The kinds of JPEG, made of one photograph by another encoder.
func TestKindsOfJPEG(t *testing.T) {
	folder := debian.Unpacked(t, "lomiri-wallpapers-16.04")
	photo := globbed(t, 1, folder, "usr/share/backgrounds/seeding*.jpg")[0]
	ppm := filepath.Join(folder, "photo.ppm")
	if err := os.WriteFile(ppm, djpeg(t, photo), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, args := range map[string][]string{
		"grey":        {"-grayscale"},
		"4:2:0":       {"-sample", "2x2"},
		"4:2:2":       {"-sample", "2x1"},
		"4:4:0":       {"-sample", "1x2"},
		"4:4:4":       {"-sample", "1x1"},
		"4:1:1":       {"-sample", "4x1"},
		"progressive": {"-progressive", "-sample", "1x1"},
		"optimised":   {"-optimize", "-restart", "4"},
		"RGB":         {"-rgb"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "kind.jpg")
			run(t, "cjpeg", append(args, "-quality", "92", "-outfile", path, ppm)...)
			truthOf(t, djpeg(t, path)).compare(t, measuredFile(t, path))
		})
	}
	t.Run("the worker's limit", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "large.jpg")
		run(t, "cjpeg", "-progressive", "-sample", "1x1", "-outfile", path, ppm)
		const need = 15 * 5312 * 2992 // 15 bytes a pixel of whole blocks
		w := troupe(t, "worker")
		w.MemoryLimit = apart + need
		if _, err := w.Measure(t.Context(), path); err != nil {
			t.Errorf("%v", err)
		}
		w.MemoryLimit--
		if _, err := w.Measure(t.Context(), path); !errors.Is(err, ErrUnsupported) {
			t.Errorf("%v", err)
		}
	})
}

// JPEG in CMYK, as two other programs write it.
func TestInksAgainstOthers(t *testing.T) {
	folder := debian.Unpacked(t, "lomiri-wallpapers-16.04", "libgs-common")
	photo := globbed(t, 1, folder, "usr/share/backgrounds/life*.jpg")[0]
	press := globbed(t, 1, folder, "usr/share/color/icc/ghostscript/default_cmyk.icc")[0]

	bare := filepath.Join(folder, "bare.jpg")
	run(t, "convert", photo, "-colorspace", "CMYK", "-quality", "95", bare)
	inks := run(t, "convert", bare, "-depth", "8", "cmyk:-")
	got := measuredFile(t, bare)
	if want := inkMean(&image.CMYK{Pix: inks}); math.Abs(math.Log2(got.MeanY/want)) > 0.01 || !got.Assumed {
		t.Errorf("without a profile: mean Y %.5f, want %.5f", got.MeanY, want)
	}

	tagged, xyz := filepath.Join(folder, "tagged.jpg"), filepath.Join(folder, "xyz.v")
	run(t, "vips", "icc_transform", photo, tagged, press)
	run(t, "vips", "icc_import", tagged, xyz, "--pcs", "xyz", "--intent", "relative", "--embedded")
	luminance := filepath.Join(folder, "y.v")
	run(t, "vips", "extract_band", xyz, luminance, "1")
	mean, err := strconv.ParseFloat(strings.TrimSpace(string(run(t, "vips", "avg", luminance))), 64)
	if err != nil {
		t.Fatal(err)
	}
	got = measuredFile(t, tagged)
	if math.Abs(math.Log2(got.MeanY/(mean/100))) > 0.01 || got.Assumed {
		t.Errorf("with %q: mean Y %.5f, LittleCMS in vips %.5f", got.Profile, got.MeanY, mean/100)
	}
}

func TestWebPAgainstDwebp(t *testing.T) {
	folder := debian.Unpacked(t, "lomiri-wallpapers-16.04")
	photo := globbed(t, 1, folder, "usr/share/backgrounds/life*.jpg")[0]
	ppm := filepath.Join(folder, "photo.ppm")
	if err := os.WriteFile(ppm, djpeg(t, photo), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, args := range map[string][]string{
		"lossy": {"-q", "90"}, "lossless": {"-lossless", "-z", "1"}, "sharp": {"-q", "80", "-sharp_yuv", "-m", "2"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "photo.webp")
			run(t, "cwebp", append(args, "-quiet", ppm, "-o", path)...)
			truthOf(t, run(t, "dwebp", "-quiet", "-nofancy", "-ppm", path, "-o", "-")).compare(t, measuredFile(t, path))
		})
	}
}

// Photographs as PNG, and their kinds as another program writes them.
func TestPNGOfOthers(t *testing.T) {
	folder := debian.Unpacked(t, "python3-skimage")
	data := filepath.Join(folder, "usr/lib/python3/dist-packages/skimage/data")
	for _, path := range globbed(t, 5, data, "*.png") {
		comparePNG(t, path)
	}
	photo := globbed(t, 1, data, "astronaut.png")[0]
	for i, args := range [][]string{
		{"-depth", "16"}, {"-interlace", "PNG"}, {"-depth", "16", "-interlace", "PNG"}, {"-colors", "200", "-type", "Palette"},
		{"-colors", "16", "-type", "Palette"}, {"-type", "Grayscale"}, {"-type", "Grayscale", "-depth", "4"}, {"-type", "Bilevel"},
		{"-alpha", "set", "-define", "png:color-type=6"},
		{"-define", "png:compression-filter=1"}, {"-define", "png:compression-filter=2"},
		{"-define", "png:compression-filter=3"}, {"-define", "png:compression-filter=4"},
	} {
		path := filepath.Join(folder, fmt.Sprintf("kind%d.png", i))
		run(t, "convert", append(append([]string{photo}, args...), path)...)
		comparePNG(t, path)
	}
}

// comparePNG holds a PNG against Go's decoder, sample by sample.
func comparePNG(t *testing.T, path string) {
	t.Helper()
	file, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	pic := measured(t, file)
	if pic.Profile != "sRGB" && !strings.Contains(pic.Profile, "sRGB") {
		t.Logf("%s: profile %q", filepath.Base(path), pic.Profile)
		return
	}
	if want := oracleMean(img); math.Abs(pic.MeanY-want) > 1e-5 {
		t.Errorf("%s: mean Y %.7f, want %.7f", filepath.Base(path), pic.MeanY, want)
	}
}
