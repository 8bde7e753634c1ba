//go:build desktop

package strip

import (
	"fmt"
	"image"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"lampblack/testdata/exports"
)

// Other programs find nothing odd in a strip: tiffinfo of libtiff-tools reads
// all of it (-D) without a warning.
func TestStripAgainstLibtiff(t *testing.T) {
	for _, name := range exports.Names() {
		m := studioStrip(t, name)
		path := filepath.Join(t.TempDir(), "strip.tif")
		if err := os.WriteFile(path, m.file, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command("tiffinfo", "-D", path).CombinedOutput()
		if err != nil {
			t.Fatalf("tiffinfo, of libtiff-tools: %v\n%s", err, out)
		}
		said := string(out)
		if strings.Contains(strings.ToLower(said), "warning") || strings.Contains(strings.ToLower(said), "error") {
			t.Errorf("%s: %s", name, said)
		}
		b := m.img.Bounds()
		for _, want := range []string{
			fmt.Sprintf("Image Width: %d Image Length: %d", b.Dx(), b.Dy()),
			"Resolution: 300, 300 pixels/inch", "Bits/Sample: 16", "RGB color",
		} {
			if !strings.Contains(said, want) {
				t.Errorf("%s: no %q in %s", name, want, said)
			}
		}
		if strings.Contains(said, "ICC Profile: <present>") != (len(readSamples(t, m.file).Profile) > 0) {
			t.Errorf("%s: %s", name, said)
		}
	}
}

// By LittleCMS (transicc of liblcms2-utils) and the embedded profile, a patch is
// 2^step times as bright as the picture, the wedge has its L*, and the surround 50.
func TestStripAgainstLittleCMS(t *testing.T) {
	for _, name := range []string{"quay-at-dusk.tif", "boatshed.png", "portrait.jpg"} {
		m := studioStrip(t, name)
		profile := filepath.Join(t.TempDir(), "strip.icc")
		if err := os.WriteFile(profile, readSamples(t, m.file).Profile, 0o600); err != nil {
			t.Fatal(err)
		}
		pixels := [][3]uint16{m.pixel(image.Pt(0, 0))}
		for i := range wedge {
			pixels = append(pixels, m.pixel(m.wedgePatch(i).Min))
		}
		lightness := transicc(t, profile, "*Lab", pixels)
		for i, want := range append([]float64{surroundL}, wedge...) {
			if got := lightness[i]; math.Abs(got[0]-want) > 0.02 || math.Hypot(got[1], got[2]) > 0.02 {
				t.Errorf("%s: L*a*b* %v, want %g", name, got, want)
			}
		}
		pixels = nil
		middle := m.sheet.patch.Div(2)
		for i := range m.plan.Steps {
			pixels = append(pixels, m.pixel(m.patch(i).Min.Add(middle)))
		}
		xyz := transicc(t, profile, "*XYZ", pixels)
		zero := xyz[3]
		for i, step := range m.plan.Steps {
			for c := range 3 {
				want := math.Exp2(float64(step)) * zero[c]
				if got := xyz[i][c]; want < 70 && math.Abs(got-want) > 0.01 { // of 100; none is clipped
					t.Errorf("%s, step %+.1f: XYZ %v, at step 0 %v", name, float64(step), xyz[i], zero)
				}
			}
		}
	}
}

// transicc converts 16-bit device values through a profile.
func transicc(t *testing.T, profile, to string, pixels [][3]uint16) [][3]float64 {
	t.Helper()
	var input strings.Builder
	for _, p := range pixels {
		fmt.Fprintf(&input, "%.6f %.6f %.6f\n", float64(p[0])/257, float64(p[1])/257, float64(p[2])/257)
	}
	cmd := exec.Command("transicc", "-n", "-t1", "-c0", "-i", profile, "-o", to)
	cmd.Stdin = strings.NewReader(input.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("transicc, of liblcms2-utils: %v", err)
	}
	numbers := strings.NewReader(string(out))
	list := make([][3]float64, len(pixels))
	for i := range list {
		if _, err := fmt.Fscan(numbers, &list[i][0], &list[i][1], &list[i][2]); err != nil {
			t.Fatalf("transicc said %q: %v", out, err)
		}
	}
	return list
}
