package config

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
	"lampblack/rules/colour"
)

var update = flag.Bool("update", false, "write the golden files anew; look at the difference before you keep it")

// Dates without a zone are local time: the golden files hold it to be UTC.
func TestMain(m *testing.M) {
	time.Local = time.UTC
	os.Exit(m.Run())
}

const profiles = "../testdata/profiles"

// eachProfile runs test for all profiles of a folder.
func eachProfile(t *testing.T, folder string, test func(t *testing.T, file string, content []byte)) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(profiles, folder, "*.toml"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no profiles in %s: %v", folder, err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".toml"), func(t *testing.T) {
			content, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			test(t, file, content)
		})
	}
}

// compare holds what a profile gave against the golden file beside it.
func compare(t *testing.T, file, got string) {
	t.Helper()
	file = strings.TrimSuffix(file, ".toml") + ".txt"
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if want := string(bytes.ReplaceAll(want, []byte("\r\n"), []byte("\n"))); got != want {
		t.Errorf("got\n%s\nwant (%s)\n%s", got, file, want)
	}
}

// roundLong rounds what a processor may compute differently in the last digits.
func roundLong(s string) string {
	return regexp.MustCompile(`\d+\.\d{12,}`).ReplaceAllStringFunc(s, func(number string) string {
		v, err := strconv.ParseFloat(number, 64)
		if err != nil {
			return number
		}
		return strconv.FormatFloat(v, 'f', 9, 64)
	})
}

// mistakesOf is what is wrong with a profile that has to be wrong.
func mistakesOf(t *testing.T, file string, content []byte) Mistakes {
	t.Helper()
	p, _, err := Parse(filepath.Base(file), content, "/home/anna")
	var mistakes Mistakes
	if p != nil || !errors.As(err, &mistakes) {
		t.Fatalf("got profile %v and error %v, want mistakes alone", p, err)
	}
	return mistakes
}

func TestBadProfiles(t *testing.T) {
	eachProfile(t, "bad", func(t *testing.T, file string, content []byte) {
		mistakes := mistakesOf(t, file, content)
		for _, m := range mistakes {
			if m.Line < 1 || m.Line > 1+bytes.Count(content, []byte("\n")) {
				t.Errorf("line %d is not in the file: %v", m.Line, m)
			}
		}
		compare(t, file, mistakes.Error()+"\n")
	})
}

func TestGoodProfiles(t *testing.T) {
	eachProfile(t, "good", func(t *testing.T, file string, content []byte) {
		p, doubts, err := Parse(filepath.Base(file), content, "/home/anna")
		if err != nil {
			t.Fatal(err)
		}
		for i := range p.Folders {
			p.Folders[i].Path = filepath.ToSlash(p.Folders[i].Path)
		}
		said, err := json.MarshalIndent(p, "", "  ")
		if err != nil {
			t.Fatal(err)
		}
		compare(t, file, strings.TrimPrefix(doubts.Error()+"\n", "\n")+roundLong(string(said))+"\n")
	})
}

// A hint that is a line to paste has to be one: with it in the place of the bad
// line, there is a mistake less.
func TestHintsAreCorrect(t *testing.T) {
	eachProfile(t, "bad", func(t *testing.T, file string, content []byte) {
		all := mistakesOf(t, file, content)
		for _, m := range all {
			hint := strings.TrimPrefix(strings.TrimPrefix(m.Hint, writeSo), forExample)
			key, _, isLine := strings.Cut(hint, " = ")
			if !isLine || !strings.HasSuffix(m.Key, key) {
				continue
			}
			lines := strings.Split(string(content), "\n")
			if strings.HasPrefix(m.Text, "is missing") {
				lines[m.Line-1] += "\n" + hint
			} else {
				lines[m.Line-1] = hint
			}
			_, _, err := Parse(file, []byte(strings.Join(lines, "\n")), "/home/anna")
			if left, _ := err.(Mistakes); len(left) >= len(all) {
				t.Errorf("after %q in line %d there is still\n%v", m.Hint, m.Line, left)
			}
		}
	})
}

func TestDefaultIsWhatAnEmptyFileGives(t *testing.T) {
	p, doubts, err := Parse("desk.toml", nil, "")
	if err != nil || len(doubts) > 0 {
		t.Fatal(err, doubts)
	}
	if d := Default(); !reflect.DeepEqual(p, d) {
		t.Errorf("an empty file gives %+v, Default %+v", p, d)
	}
}

func TestDefault(t *testing.T) {
	p := Default()
	d := p.EditingDisplay()
	white, err := colour.Daylight(6500)
	if err != nil {
		t.Fatal(err)
	}
	want := rules.Display{
		Name: "screen", Edits: true,
		White:      rules.Assume(rules.Luminance(160)),
		WhitePoint: rules.Assume(white),
		Contrast:   rules.Assume(1000.0),
		Measured:   rules.Assume(time.Time{}),
		Screen:     rules.Assume(rules.ScreenFinish{Name: "matt", Diffuse: 0.0045}),
		Hood:       rules.Assume(false),
		Held:       rules.Assume(false),
	}
	if d != want || len(p.Displays) != 1 {
		t.Errorf("got display %+v, want %+v", d, want)
	}
	if p.Target != defaultTarget {
		t.Errorf("got target %+v", p.Target)
	}
	if len(p.Papers) != 1 || len(p.Viewings) != 1 || len(p.Folders) != 0 {
		t.Errorf("got %d papers, %d viewings, %d folders, want 1, 1, 0", len(p.Papers), len(p.Viewings), len(p.Folders))
	}
	p.Folders = append(p.Folders, rules.Folder{})
	if len(Default().Folders) != 0 {
		t.Error("two defaults share their folders")
	}
}

// The schema's range of white points is the daylight locus, so that build can
// rely on it.
func TestWhitePointsLieOnTheLocus(t *testing.T) {
	for _, place := range [][2]string{{"display", "white_k"}, {"target", "white_k"}, {"target", "reference_k"}} {
		table, _ := tableNamed(place[0])
		k, ok := table.key(place[1])
		if !ok {
			t.Fatalf("no key %v", place)
		}
		for _, end := range []float64{k.low, k.high} {
			if _, err := colour.Daylight(rules.Kelvin(end)); err != nil {
				t.Errorf("%v: %v", place, err)
			}
		}
	}
}

func TestLampsLieOnTheLocus(t *testing.T) {
	for _, place := range [][2]string{{"room", "lamps_k"}, {"viewing", "k"}} {
		table, _ := tableNamed(place[0])
		k, ok := table.key(place[1])
		if !ok {
			t.Fatalf("no key %v", place)
		}
		for _, end := range []float64{k.low, k.high} {
			if _, err := colour.Lamp(rules.Kelvin(end)); err != nil {
				t.Errorf("%v: %v", place, err)
			}
		}
	}
}

// The examples in the schema, which become hints, are correct themselves.
func TestSchemaExamples(t *testing.T) {
	for _, table := range schema {
		for _, k := range table.keys {
			content := table.header() + "\n" + k.line(k.example) + "\n"
			_, _, err := Parse("desk.toml", []byte(content), "/home/anna")
			mistakes, _ := err.(Mistakes)
			for _, m := range mistakes {
				if m.Line == 2 && !strings.Contains(m.Text, "there is no [[") {
					t.Errorf("%s: %v", content, m)
				}
			}
		}
	}
}
