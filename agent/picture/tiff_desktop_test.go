//go:build desktop

package picture

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/image/tiff"

	"lampblack/agent/icc/icctest"
	"lampblack/rules"
	"lampblack/rules/colour"
	"lampblack/testdata/debian"
)

// tool measures a TIFF that a program writes.
func tool(t *testing.T, args ...string) rules.Picture {
	t.Helper()
	return measured(t, written(t, args...))
}

// written runs a program that writes a TIFF: OUT in its arguments stands for that.
func written(t *testing.T, args ...string) []byte {
	t.Helper()
	out := filepath.Join(t.TempDir(), "out.tif")
	for i := range args {
		args[i] = strings.Replace(args[i], "OUT", out, 1)
	}
	if said, err := exec.Command(args[0], args[1:]...).CombinedOutput(); err != nil {
		t.Fatalf("%q: %v: %s: install libtiff-tools and libvips-tools", args, err, said)
	}
	file, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// What libtiff's tools make of a file means the same, however it is laid out.
func TestTIFFsOfLibtiff(t *testing.T) {
	const w, h = 300, 220
	profile := icctest.Matrix("Tidemark wide", colour.AdobeRGB, icctest.Curv(563))
	for _, bits := range []int{8, 16} {
		for _, channels := range []int{1, 3} {
			s := sheet{w: w, h: h, bits: bits, channels: channels, compression: packNone, rows: 16, value: noisy()}
			if channels == 3 {
				s.profile = profile
			}
			path := stored(t, s.bytes())
			want := measured(t, s.bytes())
			for _, options := range []string{
				"-c none", "-c lzw", "-c lzw:2", "-c zip", "-c zip:2", "-c packbits", "-c none -B", "-c lzw:2 -B", "-8 -c zip:2",
				"-8 -B -c none", "-r 1 -c zip", "-r 1000 -c lzw", "-t -w 64 -l 48 -c zip:2", "-t -w 512 -l 512 -c lzw -8",
			} {
				got := tool(t, append(append([]string{"tiffcp"}, strings.Fields(options)...), path, "OUT")...)
				checkSame(t, options, got, want)
			}
			if bits == 8 { // with more, tiffcp gives up
				for _, options := range []string{"-p separate -c lzw:2", "-p separate -c none -8", "-p separate -t -w 64 -l 64 -c zip"} {
					got := tool(t, append(append([]string{"tiffcp"}, strings.Fields(options)...), path, "OUT")...)
					checkSame(t, options, got, want)
				}
			}
		}
	}
}

func checkSame(t *testing.T, name string, got, want rules.Picture) {
	t.Helper()
	if got.MeanY != want.MeanY || got.Depth != want.Depth || got.Profile != want.Profile || len(got.Tones) != len(want.Tones) {
		t.Errorf("%s: mean Y %v of %d bits in %q, want %v of %d in %q",
			name, got.MeanY, got.Depth, got.Profile, want.MeanY, want.Depth, want.Profile)
	}
}

// Floating point and palettes, of other makers.
func TestTIFFsOfOthers(t *testing.T) {
	const w, h = 300, 220
	path := stored(t, sheet{w: w, h: h, bits: 16, channels: 3, compression: packNone, value: noisy()}.bytes())
	want := trueMeanOf(noisy(), w, h)
	for _, options := range []string{"", "compression=lzw", "compression=deflate,predictor=float", "compression=deflate,predictor=horizontal,tile,bigtiff"} {
		got := tool(t, "vips", "linear", path, "OUT["+options+"]", "0.0000152590218967", "0")
		if got.Depth != 32 || math.Abs(got.MeanY-want) > 1e-5 {
			t.Errorf("%q: mean Y %v of %d bits, want %v", options, got.MeanY, got.Depth, want)
		}
	}

	ramps := stored(t, sheet{w: w, h: h, bits: 8, channels: 3, compression: packNone}.bytes())
	file := written(t, "tiffmedian", "-C", "256", ramps, "OUT")
	img, err := tiff.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := measured(t, file).MeanY, oracleMean(img); math.Abs(got-want) > 1e-6 {
		t.Errorf("palette: mean Y %v, want %v", got, want)
	}
}

// trueMeanOf is the mean Y of a picture in sRGB.
func trueMeanOf(value func(x, y, c int) uint16, w, h int) float64 {
	var sum float64
	for y := range h {
		for x := range w {
			for c := range 3 {
				sum += sRGB.ToXYZ[1][c] * colour.SRGB.Decode(float64(value(x, y, c))/codeMax)
			}
		}
	}
	return sum / float64(w*h)
}

// A press file of another maker, and what LittleCMS thinks that it looks like.
func TestPressFile(t *testing.T) {
	const w, h = 200, 150
	path := stored(t, sheet{w: w, h: h, bits: 8, channels: 3, compression: packNone}.bytes())
	press := pressOf(t, debian.Unpacked(t, "scribus-data"))
	out := filepath.Join(t.TempDir(), "press.tif")
	for _, args := range [][]string{
		{"icc_transform", path, out + "[compression=lzw]", press, "--input-profile", "srgb", "--intent", "relative"},
		{"icc_import", out, out + ".v", "--embedded", "--pcs", "lab", "--intent", "relative"},
		{"extract_band", out + ".v", out + ".l.v", "0"},
	} {
		if said, err := exec.Command("vips", args...).CombinedOutput(); err != nil {
			t.Fatalf("vips %q: %v: %s: install libvips-tools", args, err, said)
		}
	}
	said, err := exec.Command("vips", "avg", out+".l.v").Output()
	if err != nil {
		t.Fatal(err)
	}
	file, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	pic, mean := measured(t, file), 0.0
	for _, c := range pic.Colours {
		mean += c.Lab.L * c.Share
	}
	if want := parseFloat(t, string(said)); math.Abs(mean-want) > 0.3 || pic.Assumed {
		t.Errorf("mean L* %v in %q, vips %v", mean, pic.Profile, want)
	}
}

func parseFloat(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// pressOf finds the profile of a press below a folder.
func pressOf(t *testing.T, folder string) (path string) {
	t.Helper()
	err := filepath.WalkDir(folder, func(name string, entry os.DirEntry, err error) error {
		if err == nil && entry.Type().IsRegular() && strings.HasPrefix(entry.Name(), "ISOcoated") && filepath.Ext(name) == ".icc" {
			path = name
		}
		return err
	})
	if err != nil || path == "" {
		t.Fatalf("no profile of a press in scribus-data: %v", err)
	}
	return path
}
