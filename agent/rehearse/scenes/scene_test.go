package scenes

import (
	"bytes"
	"image"
	"image/color"
	_ "image/jpeg"
	_ "image/png"
	"math"
	"testing"

	_ "golang.org/x/image/tiff"
)

func made(t *testing.T, name string) []byte {
	t.Helper()
	file, err := Export(name)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

func TestExportsShowTheirScenes(t *testing.T) {
	for _, e := range catalogue() {
		scene, err := e.draw()
		if err != nil {
			t.Fatal(err)
		}
		checkShows(t, e, made(t, e.file), scene)
	}
}

// checkShows wants a file to show its scene: exactly in 16 bits, to half a code
// in 8, nearly in a JPEG.
func checkShows(t *testing.T, e export, file []byte, scene image.Image) {
	t.Helper()
	got, format, err := image.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatalf("%s: %v", e.file, err)
	}
	allowed := 0.0
	switch {
	case format == "jpeg":
		allowed = 0.02
	case e.options.Depth == 0:
		allowed = 0.5 / 255
	}
	if d := meanDifference(t, got, scene); d > allowed {
		t.Errorf("%s differs from its scene by %g on average, want at most %g", e.file, d, allowed)
	}
}

// meanDifference is that of the code values of all channels, 0..1.
func meanDifference(t *testing.T, a, b image.Image) float64 {
	t.Helper()
	if a.Bounds() != b.Bounds() {
		t.Fatalf("size is %v, want %v", a.Bounds(), b.Bounds())
	}
	sum, n := 0.0, 0
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			p, q := codes(a.At(x, y)), codes(b.At(x, y))
			for i := range p {
				sum += math.Abs(p[i] - q[i])
				n++
			}
		}
	}
	return sum / float64(n)
}

func codes(c color.Color) [3]float64 {
	r, g, b, _ := c.RGBA()
	return [3]float64{float64(r) / 65535, float64(g) / 65535, float64(b) / 65535}
}

// The scenes are what their names promise to the rules that look at tones.
func TestScenesHaveTheirKey(t *testing.T) {
	tests := []struct {
		file              string
		meanMin, meanMax  float64 // of Y
		darkMin, darkMax  float64 // share of L* < 30
		blackMax, blowMax float64 // share with all channels at the lowest, highest code
	}{
		{"quay-at-dusk.tif", 0.08, 0.16, 0.45, 0.60, 0.001, 0.01},
		{"portrait.jpg", 0.20, 0.40, 0.05, 0.25, 0.001, 0.01},
		{"boatshed.png", 0.06, 0.15, 0.55, 0.80, 0.001, 0.05},
		{"harbour-noon.jpg", 0.45, 0.70, 0, 0.05, 0, 0.02},
		{"fog.tif", 0.25, 0.45, 0, 0.001, 0, 0},
	}
	for _, test := range tests {
		k := tonesOf(t, test.file)
		t.Logf("%s: mean Y %.4f, L* < 30 %.2f %%, Y < 0.01 %.2f %%, black %.3f %%, white %.3f %%",
			test.file, k.mean, 100*k.dark, 100*k.deep, 100*k.black, 100*k.white)
		within(t, test.file+": mean Y", k.mean, test.meanMin, test.meanMax)
		within(t, test.file+": share of L* < 30", k.dark, test.darkMin, test.darkMax)
		within(t, test.file+": share of black", k.black, 0, test.blackMax)
		within(t, test.file+": share of white", k.white, 0, test.blowMax)
	}
}

func within(t *testing.T, what string, got, low, high float64) {
	t.Helper()
	if !(got >= low && got <= high) {
		t.Errorf("%s is %.4f, want %g to %g", what, got, low, high)
	}
}

type tones struct{ mean, dark, deep, black, white float64 }

func tonesOf(t *testing.T, file string) (k tones) {
	t.Helper()
	img, _, err := image.Decode(bytes.NewReader(made(t, file)))
	if err != nil {
		t.Fatal(err)
	}
	kind := Web
	for _, e := range catalogue() {
		if e.file == file {
			kind = e.kind
		}
	}
	b := img.Bounds()
	share := 1 / float64(b.Dx()*b.Dy())
	for y := range b.Dy() {
		for x := range b.Dx() {
			code := codes(img.At(x, y))
			xyz := kind.XYZ(code)
			k.mean += xyz[1] * share
			if lab(xyz)[0] < 30 {
				k.dark += share
			}
			if xyz[1] < 0.01 {
				k.deep += share
			}
			switch code {
			case [3]float64{}:
				k.black += share
			case [3]float64{1, 1, 1}:
				k.white += share
			}
		}
	}
	return k
}

func TestSceneRefuses(t *testing.T) {
	tests := []struct {
		name string
		w, h int
		kind Kind
	}{
		{"lighthouse", 3, 2, Web}, {"fog", 0, 2, Web}, {"fog", 3, -1, Web}, {"fog", 3, 2, Kind(9)},
	}
	for _, test := range tests {
		if _, err := Paint(test.name, test.w, test.h, 1, test.kind); err == nil {
			t.Errorf("Paint(%q, %d, %d, 1, %v) gave no error", test.name, test.w, test.h, test.kind)
		}
	}
}

func TestSceneFollowsItsSeed(t *testing.T) {
	for _, name := range Names() {
		var pix [3][]byte
		for i, seed := range [...]uint64{1, 1, 2} {
			img, err := Paint(name, 60, 40, seed, Wide)
			if err != nil {
				t.Fatal(err)
			}
			pix[i] = img.Pix
		}
		if !bytes.Equal(pix[0], pix[1]) || bytes.Equal(pix[0], pix[2]) {
			t.Errorf("%s: want the same picture for the same seed, another for another", name)
		}
	}
}

func TestExportUnknown(t *testing.T) {
	if _, err := Export("lighthouse.tif"); err == nil {
		t.Error("an unknown file was made")
	}
}
