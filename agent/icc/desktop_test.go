//go:build desktop

package icc

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lampblack/rules/colour"
	"lampblack/testdata/debian"
)

// Free profiles of Debian, against LittleCMS (transicc of liblcms2-utils). What
// is missing makes this fail: it is run where it is meant to be.
func TestAgainstLittleCMS(t *testing.T) {
	d := unpack(t)
	t.Run("profiles", d.profiles)
	t.Run("papers", d.papers)
}

// packages are the folders of unpacked packages, by name.
type packages map[string]string

func unpack(t *testing.T) packages {
	t.Helper()
	d := packages{}
	for _, name := range []string{"libgs-common", "scribus-data", "krita-data", "colord-data", "icc-profiles-free"} {
		d[name] = debian.Unpacked(t, name)
	}
	return d
}

// profilesIn is the profiles of an unpacked package, by path.
func (d packages) profilesIn(t *testing.T, name string) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	err := filepath.WalkDir(d[name], func(path string, entry os.DirEntry, err error) error {
		ending := strings.ToLower(filepath.Ext(path))
		if err != nil || !entry.Type().IsRegular() || ending != ".icc" && ending != ".icm" {
			return err
		}
		files[path], err = os.ReadFile(path)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func (d packages) profiles(t *testing.T) {
	for name, least := range map[string]int{
		"colord-data": 23, "icc-profiles-free": 9, "libgs-common": 13, "scribus-data": 2, "krita-data": 24,
	} {
		compared := 0
		for path, data := range d.profilesIn(t, name) {
			t.Run(name+"/"+filepath.Base(path), func(t *testing.T) {
				if channelsOf[string(data[16:20])] == 0 || string(data[12:16]) == "abst" {
					refusedWithItsName(t, data)
					return
				}
				compareWithLittleCMS(t, path, data)
				compared++
			})
		}
		if compared < least {
			t.Errorf("%s: only %d profiles", name, compared)
		}
	}
}

// Profiles that are for no picture (named colours, an L*a*b* space) are opened,
// too, to say what they are.
func refusedWithItsName(t *testing.T, data []byte) {
	p, err := Parse(data)
	if err == nil || p.Name == "" || !strings.HasPrefix(err.Error(), "it") {
		t.Errorf("%q, %v", p.Name, err)
	}
}

// The profiles in those packages that no export carries, and whose grids for
// pictures are coarser than 0.5 ΔE; their tables themselves are compared.
var notForPictures = map[string]string{
	"gray_to_k.icc":         "an interpreter's formula, in which black ink has the slope of pure light near L* 0",
	"ps_cmyk.icc":           "likewise",
	"ITUR_2100_PQ_FULL.ICC": "100 times brighter than white, where pictures are cut off",
}

func compareWithLittleCMS(t *testing.T, path string, data []byte) {
	p, err := Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(p.Name, "without a name") {
		t.Errorf("no name found")
	}
	chart := deviceChart(p.Channels)
	want := transicc(t, path, 1, chart)
	worst := 0.0
	for i, device := range chart {
		got := p.Colour(device)
		de := distance(got, want[i])
		if worst = max(worst, de); de > 0.2 {
			t.Errorf("device %.4f: %.3f, LittleCMS %.3f, ΔE %.3f", device, got, want[i], de)
		}
	}
	t.Logf("%q: ΔE at most %.4f", p.Name, worst)
	if p.ToLab != nil && notForPictures[filepath.Base(path)] == "" {
		compareGrid(t, p, chart, want)
	}
}

// compareGrid holds what pictures are read through against LittleCMS, too.
func compareGrid(t *testing.T, p Profile, chart []Values, want []colour.Lab) {
	t.Helper()
	g := NewGrid(p.ToLab, p.Channels, codeMax+1, 1)
	worst := 0.0
	for i, device := range chart {
		var place [MostChannels]uint32
		for c := range p.Channels {
			place[c] = g.Places(c)[uint32(device[c]*codeMax+0.5)]
		}
		around := g.Around3(place[0], place[1], place[2])
		if p.Channels == 4 {
			around = g.Around4(place[0], place[1], place[2], place[3])
		}
		got := g.Colour(&around)
		de := distance(got, want[i])
		if worst = max(worst, de); de > 0.5 {
			t.Errorf("device %.4f: in pictures %.3f, LittleCMS %.3f, ΔE %.3f", device, got, want[i], de)
		}
	}
	t.Logf("in pictures: ΔE at most %.4f", worst)
}

// transicc is LittleCMS's opinion: the colours of device values under an intent
// (1: relative, 3: absolute colorimetric).
func transicc(t *testing.T, path string, intent int, chart []Values) []colour.Lab {
	t.Helper()
	if _, err := exec.LookPath("transicc"); err != nil {
		t.Fatalf("%v: install liblcms2-utils", err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	channels, full := channelsOf[string(data[16:20])], 255.0
	if channels == 4 {
		full = 100
	}
	var input strings.Builder
	for _, device := range chart {
		for _, v := range device[:channels] {
			fmt.Fprintf(&input, "%.6f ", v*full)
		}
		fmt.Fprintln(&input)
	}
	cmd := exec.Command("transicc", "-n", fmt.Sprintf("-t%d", intent), "-c0", "-i", path, "-o", "*Lab")
	cmd.Stdin = strings.NewReader(input.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("transicc: %v", err)
	}
	list := make([]colour.Lab, len(chart))
	numbers := strings.NewReader(string(out))
	for i := range list {
		if _, err := fmt.Fscan(numbers, &list[i].L, &list[i].A, &list[i].B); err != nil {
			t.Fatalf("transicc said %q: %v", out, err)
		}
	}
	return list
}

// The paper's white and the darkest print of every press and printer profile in
// those packages, as LittleCMS has them: Lab (0, 0, 0) to the device and back.
func (d packages) papers(t *testing.T) {
	wanted := []string{"default_cmyk.icc", "ISOcoated_v2_300_bas.icc", "cmyk.icm"}
	for source := range d {
		for path, data := range d.profilesIn(t, source) {
			if string(data[12:16]) != "prtr" {
				continue
			}
			name := filepath.Base(path)
			wanted = slices.DeleteFunc(wanted, func(w string) bool { return w == name })
			p, err := PaperOf(data)
			if err != nil {
				t.Fatal(err)
			}
			ink := inkOfBlack(t, path)
			relative, absolute := transicc(t, path, 1, []Values{ink})[0], transicc(t, path, 3, []Values{{}, ink})
			t.Logf("%s: white %.2f, black %.2f, relative %.2f; LittleCMS %.2f, %.2f, %.2f",
				name, p.White, p.Black, p.RelativeBlack, absolute[0], absolute[1], relative.L)
			if math.Abs(p.RelativeBlack-relative.L) > 0.5 || distance(p.White, absolute[0]) > 0.5 || distance(p.Black, absolute[1]) > 0.5 {
				t.Errorf("%s: %+v", name, p)
			}
		}
	}
	if len(wanted) > 0 {
		t.Errorf("no %q in those packages", wanted)
	}
}

// inkOfBlack is what LittleCMS prints Lab (0, 0, 0) with.
func inkOfBlack(t *testing.T, path string) (ink Values) {
	t.Helper()
	cmd := exec.Command("transicc", "-n", "-t1", "-c0", "-i", "*Lab", "-o", path)
	cmd.Stdin = strings.NewReader("0 0 0\n")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("transicc: %v", err)
	}
	if _, err := fmt.Sscan(string(out), &ink[0], &ink[1], &ink[2], &ink[3]); err != nil {
		t.Fatalf("transicc said %q: %v", out, err)
	}
	for c := range ink {
		ink[c] /= 100
	}
	return ink
}

// deviceChart is device colours: a ramp into the shadows, a grid, and some
// colours that lie anywhere.
func deviceChart(channels int) []Values {
	var chart []Values
	for i := 0; i <= 16; i++ {
		v := float64(i) / 255
		if channels == 4 {
			v = 1 - v
		}
		chart = append(chart, Values{v, v, v, v})
	}
	side := map[int]int{1: 52, 3: 6, 4: 4}[channels]
	count := 1
	for range channels {
		count *= side
	}
	for i := range count {
		var v Values
		for c := range channels {
			v[c] = float64(i%side) / float64(side-1)
			i /= side
		}
		chart = append(chart, v)
	}
	for i := range 150 { // Weyl's sequence
		var v Values
		for c := range channels {
			x := float64(i+1) * []float64{0.8191725, 0.6710436, 0.5497005, 0.4503}[c]
			v[c] = float64(int((x-float64(int(x)))*255)) / 255
		}
		chart = append(chart, v)
	}
	return chart
}
