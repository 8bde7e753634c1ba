//go:build desktop

package picture

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"lampblack/rules/colour"
)

// The profiles of Debian's colord-data and icc-profiles-free, against LittleCMS
// (transicc of liblcms2-utils), relative colorimetric. When one of the packages
// is missing this fails: it is run where they are meant to be.
func TestProfilesAgainstLittleCMS(t *testing.T) {
	if _, err := exec.LookPath("transicc"); err != nil {
		t.Fatalf("%v: install liblcms2-utils", err)
	}
	for folder, least := range map[string]int{
		"/usr/share/color/icc/colord": 23, // colord-data
		"/usr/share/color/icc":        10, // icc-profiles-free
	} {
		paths, err := filepath.Glob(filepath.Join(folder, "*.icc"))
		if err != nil {
			t.Fatal(err)
		}
		compared := 0
		for _, path := range paths {
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if space := string(data[16:20]); space != "RGB " && space != "GRAY" {
				continue
			}
			t.Run(filepath.Base(path), func(t *testing.T) { compareWithLittleCMS(t, path, data) })
			compared++
		}
		if compared < least {
			t.Errorf("%s: only %d profiles", folder, compared)
		}
	}
}

func compareWithLittleCMS(t *testing.T, path string, data []byte) {
	p, err := parseProfile(data)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(p.name, "without a name") {
		t.Errorf("no name found")
	}
	chart := deviceChart(p.channels)
	var input strings.Builder
	for _, device := range chart {
		fmt.Fprintln(&input, strings.Trim(fmt.Sprint(device), "[]"))
	}
	cmd := exec.Command("transicc", "-n", "-t1", "-c0", "-i", path, "-o", "*Lab")
	cmd.Stdin = strings.NewReader(input.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("transicc: %v", err)
	}
	tables := p.tables(facts{channels: p.channels, depth: 16})
	numbers := strings.NewReader(string(out))
	worst := 0.0
	for _, device := range chart {
		var want colour.Lab
		if _, err := fmt.Fscan(numbers, &want.L, &want.A, &want.B); err != nil {
			t.Fatalf("transicc said %q: %v", out, err)
		}
		got := tables.lab(device)
		de := distance(got, want)
		worst = max(worst, de)
		if de > 0.02 { // their arithmetic has 16 bits in places
			t.Errorf("device %v: %.3f, LittleCMS %.3f, ΔE %.3f", device, got, want, de)
		}
	}
	t.Logf("%q: ΔE at most %.4f", p.name, worst)
}

// deviceChart is device colours, 0..255: a grid, and a ramp into the shadows.
func deviceChart(channels int) [][]float64 {
	var chart [][]float64
	for i := 0; i <= 16; i++ {
		v := float64(i)
		chart = append(chart, []float64{v, v, v}[:channels])
	}
	for i := range 6 * 6 * 6 {
		c := []float64{float64(i / 36 * 51), float64(i / 6 % 6 * 51), float64(i % 6 * 51)}
		chart = append(chart, c[:channels])
	}
	return chart
}

// lab is the colour of device values 0..255, as the tables will have it.
func (t tables) lab(device []float64) colour.Lab {
	var l [3]float64
	for c, v := range device {
		l[c] = float64(t.linear[c][int(v*257)])
	}
	return colour.LabOf(t.toXYZ.Apply(colour.XYZ{X: l[0], Y: l[1], Z: l[2]}), pcsWhite)
}
