package picture

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	_ "image/jpeg"
	_ "image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	_ "golang.org/x/image/tiff"
)

// goldenFolders are the test pictures that come with Go and with x/image.
func goldenFolders(t testing.TB) []string {
	t.Helper()
	ask := func(args ...string) string {
		out, err := exec.Command("go", args...).Output()
		if err != nil {
			t.Fatalf("go %v: %v", args, err)
		}
		return strings.TrimSpace(string(out))
	}
	root := ask("env", "GOROOT")
	return []string{
		filepath.Join(root, "src/image/testdata"),
		filepath.Join(root, "src/image/png/testdata"),
		filepath.Join(root, "src/image/png/testdata/pngsuite"),
		filepath.Join(ask("list", "-m", "-f", "{{.Dir}}", "golang.org/x/image"), "testdata"),
	}
}

// goldenFiles are the files in those folders that have one of the endings.
func goldenFiles(t testing.TB, endings ...string) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	for _, folder := range goldenFolders(t) {
		for _, ending := range endings {
			names, err := filepath.Glob(filepath.Join(folder, "*"+ending))
			if err != nil {
				t.Fatal(err)
			}
			for _, name := range names {
				if files[name], err = os.ReadFile(name); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	return files
}

// The pictures of those collections that we refuse though Go decodes them.
var refused = []string{"bw-", "invalid-palette-ref.tiff"}

func TestAgainstOtherDecoders(t *testing.T) {
	compared := map[string]int{}
	for path, file := range goldenFiles(t, ".jpeg", ".png", ".tiff") {
		name := filepath.Base(path)
		pic, err := Measure(bytes.NewReader(file), int64(len(file)))
		img, format, wrong := image.Decode(bytes.NewReader(file))
		expectRefusal := false
		for _, part := range refused {
			expectRefusal = expectRefusal || strings.Contains(name, part) && !strings.HasSuffix(name, ".png")
		}
		switch {
		case expectRefusal || wrong != nil:
			if err == nil || !errors.Is(err, ErrBroken) && !errors.Is(err, ErrUnsupported) {
				t.Errorf("%s: error %v, the other decoder's %v", path, err, wrong)
			}
			continue
		case err != nil:
			t.Errorf("%s: %v", path, err)
			continue
		}
		checkSums(t, pic)
		if pic.Width != img.Bounds().Dx() || pic.Height != img.Bounds().Dy() {
			t.Errorf("%s: %d x %d, want %v", path, pic.Width, pic.Height, img.Bounds())
		}
		// Go's conversion from Y'CbCr floors, ours rounds: half a code each.
		within := map[string]float64{"png": 2e-7, "tiff": 2e-7, "jpeg": 3e-3}[format]
		if !pic.Assumed { // a few carry an sRGB profile, whose numbers are rounded
			within = max(within, 5e-6)
		}
		if want := oracleMean(img); math.Abs(pic.MeanY-want) > within {
			t.Errorf("%s: mean Y %v, want %v", path, pic.MeanY, want)
		}
		compared[format]++
	}
	for format, least := range map[string]int{"jpeg": 25, "png": 70, "tiff": 8} {
		if compared[format] < least {
			t.Errorf("only %d files of type %s compared", compared[format], format)
		}
	}
}

// oracleMean is the mean Y of a decoded picture taken as opaque sRGB, by the
// definition and without tables.
func oracleMean(img image.Image) float64 {
	e := sRGB
	var sum float64
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			for c, v := range device(img.At(x, y)) {
				sum += e.ToXYZ[1][c] * e.Curves[c](v)
			}
		}
	}
	return sum / float64(b.Dx()*b.Dy())
}

// device is a colour's R, G, B, 0..1, without regard to its transparency.
func device(c color.Color) [3]float64 {
	switch c := c.(type) {
	case color.NRGBA:
		return [3]float64{float64(c.R) / 255, float64(c.G) / 255, float64(c.B) / 255}
	case color.NRGBA64:
		return [3]float64{float64(c.R) / 65535, float64(c.G) / 65535, float64(c.B) / 65535}
	}
	r, g, b, _ := c.RGBA()
	return [3]float64{float64(r) / 65535, float64(g) / 65535, float64(b) / 65535}
}

// Our conversion of Y'CbCr is the exact one, rounded to the nearest code.
func TestConversionRounds(t *testing.T) {
	for y := range 256 {
		for _, c := range [][2]int{{128, 128}, {90, 200}, {255, 0}, {0, 255}, {131, 127}, {17, 64}} {
			var rgb [3]uint8
			rgb[0], rgb[1], rgb[2] = fullRange.rgb(int32(y), int32(c[0]), int32(c[1]))
			u, v := float64(c[0]-128), float64(c[1]-128)
			exact := [3]float64{float64(y) + 1.402*v, float64(y) - 0.344136*u - 0.714136*v, float64(y) + 1.772*u}
			for i, want := range exact {
				// 16 binary places put a tie on either side.
				if want = min(max(want, 0), 255); math.Abs(float64(rgb[i])-want) > 0.5+1e-3 {
					t.Errorf("Y' %d Cb %d Cr %d: channel %d is %d, want %v", y, c[0], c[1], i, rgb[i], want)
				}
			}
		}
	}
}
