package config

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
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
