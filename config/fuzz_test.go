package config

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"

	"lampblack/rules"
)

// Whatever is typed, there is either a profile that keeps its promises or
// mistakes that point into the file.
func FuzzParse(f *testing.F) {
	f.Add([]byte(Example))
	files, err := filepath.Glob(filepath.Join(profiles, "*", "*.toml"))
	if err != nil || len(files) == 0 {
		f.Fatal(files, err)
	}
	for _, file := range files {
		content, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(content)
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		p, doubts, err := Parse("desk.toml", content, "/home/anna")
		mistakes, _ := err.(Mistakes)
		if (p == nil) != (len(mistakes) > 0) {
			t.Fatalf("got profile %v and error %v", p, err)
		}
		for _, m := range append(mistakes, doubts...) {
			if m.Line < 1 || m.Line > 1+strings.Count(string(content), "\n") || m.Text == "" {
				t.Errorf("does not point into the file: %+v", m)
			}
		}
		if p == nil {
			return
		}
		editing := 0
		for _, d := range p.Displays {
			if d.Edits {
				editing++
			}
			if xy := d.WhitePoint.Value; !(xy.X > 0 && xy.Y > 0) || !(d.White.Value >= 1) || !(d.Contrast.Value > 1) || d.Name == "" {
				t.Errorf("impossible display %+v", d)
			}
		}
		if editing != 1 {
			t.Errorf("%d displays edit", editing)
		}
		for _, f := range p.Folders {
			if f.Path == "" || len(f.Match) == 0 {
				t.Errorf("impossible folder %+v", f)
			}
		}
		if y := p.Surround.RelativeY.Value; !(y >= 0 && y <= 1) {
			t.Errorf("impossible surround %v", y)
		}
	})
}

// The index and the TOML library agree on what there is: every key that is not
// escaped has a line.
func FuzzIndexLines(f *testing.F) {
	f.Add(Example)
	f.Add("a = {b = [1, {c = 2}], d.e = '''x\n'''}\n[[f]]\n[[f.g]]\nh = \"\"\"\"\"\"\n[f.i]\nj=1")
	f.Fuzz(func(t *testing.T, content string) {
		lines := indexLines(content) // ends, whatever it is given
		root := map[string]any{}
		if _, err := toml.Decode(content, &root); err != nil || strings.ContainsAny(content, "\\\x00") {
			return
		}
		expectLines(t, lines, place(""), root)
	})
}

func expectLines(t *testing.T, lines lineIndex, at place, table map[string]any) {
	for name, v := range table {
		here := at.in(name)
		if lines[here] == 0 {
			t.Errorf("no line for %q", here)
		}
		elements, many, _ := tablesOf(v)
		for i, e := range elements {
			if many {
				expectLines(t, lines, here.nth(i), e)
			} else {
				expectLines(t, lines, here, e)
			}
		}
	}
}

// Whatever a crash leaves behind the entries, and wherever it cuts them, every
// whole entry survives and what is read makes sense.
func FuzzReadLog(f *testing.F) {
	const sample = "[[reading]]\nat = 2026-03-01T09:10:00Z\nlx = 41.0\nplace = \"screen\"\n" +
		"[[calibrated]]\nat = 2026-03-01T09:11:00Z\ndisplay = \"north bench\"\n" +
		"[[surround]]\nat = 2026-03-01T09:12:00Z\nnamed = \"mid grey\"\n" +
		"[[white]]\nat = 2026-03-01T09:13:00Z\ncd_m2 = 118.0\ndisplay = \"north bench\"\n" +
		"[[reading]]\nat = 2026-03-01T09:14:00Z\nlx = 48.0\nk = 3000.0\nnote = \"blind half down\"\nplace = \"desk\"\n"
	whole, broken := parseLog(sample)
	if len(broken) > 0 {
		f.Fatal(broken)
	}
	for _, tail := range []string{"", "[", "[[reading]]\nlx = 4", sample[:100], "\x00\x00\x00", "lx = 5\n", "# done", "\"\"\"\n", "[[reading]]\nat = [\n",
		"[[reading]]\nat = 2026-03-01T09:14:00.5Z\nlx = 048.0\nplace = \"desk\"\n", "[[reading]]\nat = 2000-01-01T0:00:00Z\nlx = 0\nplace = \"desk\"", "[[reading]]\nat = 2026-03-01T9:14:00Z\nlx = 48\nlx = 4\nplace = \"desk\"\n"} {
		f.Add(tail)
	}
	f.Fuzz(func(t *testing.T, tail string) {
		l, _ := parseLog(sample + "\n" + tail)
		for _, r := range l.Readings {
			if math.IsNaN(float64(r.Light)) || r.Light < 0 || r.Light > rules.MostLux || r.Place == "" || r.At.IsZero() ||
				!(r.Kelvin == 0 || r.Kelvin >= rules.CoolestLamp && r.Kelvin <= rules.BluestSky) || !(r.Sigma >= 0 && r.Sigma <= 1) || strings.Contains(r.Note, "\n") {
				t.Errorf("impossible reading %+v", r)
			}
		}
		if len(l.Readings) < 2 || len(l.Calibrated) < 1 || len(l.Surrounds) < 1 || len(l.Whites) < 1 {
			t.Fatalf("lost entries: %+v", l)
		}
		first := Log{l.Readings[:2], l.Calibrated[:1], l.Surrounds[:1], l.Whites[:1]}
		if !reflect.DeepEqual(first, whole) {
			t.Errorf("got %+v, want %+v", first, whole)
		}
		for _, text := range []string{tail, sample + "\n" + tail} {
			fast, left := parseLog(text)
			if slow, leftSlow := parseByLines(text); !reflect.DeepEqual(fast, slow) || !slices.Equal(left, leftSlow) {
				t.Errorf("got %+v without %v; line by line it is %+v without %v", fast, left, slow, leftSlow)
			}
		}
	})
}

// parseByLines is parseLog by the TOML library alone.
func parseByLines(content string) (l Log, broken []int) {
	for number, lines := range cutAtHeaders(strings.TrimPrefix(content, "\ufeff")) {
		for _, e := range entries(lines) {
			if !e.whole || !l.add(e) {
				broken = append(broken, number-1+e.line)
			}
		}
	}
	return l, broken
}
