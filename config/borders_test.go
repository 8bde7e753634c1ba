package config

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/BurntSushi/toml"

	"lampblack/rules"
)

// What else a table needs so that one key of it can be tried.
var needed = map[string]string{
	"display": "name = \"north bench\"\n", "paper": "name = \"harbour rag\"\n", "viewing": "name = \"hall wall\"\n",
	"folder": "path = \"/prints\"\npurpose = \"print\"\n", "reading": "at = 2026-03-01T09:10:00Z\nplace = \"screen\"\n",
}

// oneKey parses a profile of one table with one key more than it needs.
func oneKey(table, key, value string) error {
	text := fmt.Sprintf("[%s]\n%s = %s\n", table, key, value)
	if need, many := needed[table]; many {
		text = fmt.Sprintf("[[%s]]\n%s%s = %s\n", table, need, key, value)
	}
	if table == "reading" && key != "lx" {
		text += "lx = 41\n"
	}
	_, _, err := Parse("borders.toml", []byte(text), "/home/anna")
	return err
}

// Every number of the profile has a first and a last value that is possible, as the
// example says; a hair beyond either is a mistake that says so.
func TestRangeOfEveryNumber(t *testing.T) {
	checked := map[string]bool{}
	for _, c := range []struct {
		table, key string
		low, high  float64
	}{
		{"display", "white_cd_m2", 1, 10_000}, {"display", "white_k", 4000, 25_000}, {"display", "white_xy", 0.2, 0.5},
		{"display", "contrast", 1.01, 10_000_000}, {"display", "diffuse_cd_m2_lx", 0, 0.3}, {"display", "most_cd_m2", 1, 10_000},
		{"target", "white_cd_m2", 1, 10_000}, {"target", "white_k", 4000, 25_000}, {"target", "surround", 0, 1},
		{"target", "reference_cd_m2", 1, 10_000}, {"target", "reference_k", 4000, 25_000}, {"target", "room_lx", 1, 100_000},
		{"target", "reference_lx", 0.1, 100_000}, {"target", "reference_surround", 0, 1}, {"target", "recalibrate_days", 1, 3650},
		{"surround", "relative_Y", 0, 1}, {"surround", "grey", 0, 255}, {"surround", "lightness", 0, 100}, {"surround", "picture_share", 0, 1},
		{"room", "reading_hours", 0.1, 8760}, {"room", "lamps_k", 1700, 25_000}, {"room", "meter_uncertainty", 0.01, 1},
		{"reading", "lx", 0, 200_000}, {"reading", "k", 1700, 25_000}, {"reading", "uncertainty", 0.01, 1},
		{"paper", "white_L", 50, 100}, {"paper", "dmax", 0.5, 4},
		{"viewing", "lx", 1, 200_000}, {"viewing", "k", 1700, 25_000},
		{"folder", "poll_seconds", 1, 3600}, {"folder", "size_cm", 1, 1000},
		{"quiet", "noticeable_stops", 0.01, 5}, {"quiet", "clear_stops", 0.01, 5}, {"quiet", "colourfulness_ratio", 0, 1},
		{"quiet", "contrast_ratio", 0, 1}, {"quiet", "steps_lost", 0, 1}, {"quiet", "probability", 0, 1}, {"quiet", "gap_minutes", 0, 10_080},
	} {
		checked[c.table+"."+c.key] = true
		of, _ := tableNamed(c.table)
		k, _ := of.key(c.key)
		typed := func(v float64) string {
			if k.kind == kindInterval || k.kind == kindWhiteXY {
				return fmt.Sprintf("[%v, %v]", plainNumber(v), plainNumber(v))
			}
			return plainNumber(v)
		}
		hair := 0.005
		if k.kind == kindWhole {
			hair = 1
		}
		is := fmt.Sprintf("%s.%s: found", c.table, c.key)
		for _, v := range []float64{c.low, c.high} {
			if err := oneKey(c.table, c.key, typed(v)); err != nil && strings.Contains(err.Error(), is) && strings.Contains(err.Error(), "allowed is") {
				t.Errorf("%s: %v", typed(v), err)
			}
		}
		for _, v := range []float64{c.low - hair, c.high + hair} {
			if err := oneKey(c.table, c.key, typed(v)); err == nil || !strings.Contains(err.Error(), is) {
				t.Errorf("%s.%s = %s: %v; want a mistake", c.table, c.key, typed(v), err)
			}
		}
	}
	for _, of := range schema {
		for _, k := range of.keys {
			if number := k.low != 0 || k.high != 0; number && !checked[of.name+"."+k.name] {
				t.Errorf("%s.%s is a number whose range nobody promises here", of.name, k.name)
			}
		}
	}
}

// What was found is named in the words of the file, whatever it is.
func TestWhatWasFoundIsNamed(t *testing.T) {
	for _, c := range []struct{ table, key, value, want string }{
		{"display", "white_cd_m2", "{a = 1}", "found a table, allowed is"},
		{"display", "white_cd_m2", "true", "found true, allowed is"},
		{"display", "white_cd_m2", "[1, 2]", "found [1 cd/m², 2 cd/m²], allowed is"},
		{"display", "white_cd_m2", "[1, 2, 3]", "found a list of 3, allowed is"},
		{"display", "white_cd_m2", "[]", "found a list of 0, allowed is"},
		{"display", "white_cd_m2", "07:30:00", "found the time 07:30:00, allowed is"},
		{"display", "white_cd_m2", "2026-03-01T07:30:00Z", "found the date and time 2026-03-01 07:30:00, allowed is"},
		{"display", "hood", "2026-03-01", "found the date 2026-03-01, allowed is"},
		{"folder", "match", "[\"\"]", "found the text \"\" in the list, allowed are texts in quotes"},
		{"folder", "match", "[\"*.tif\", 3]", "found 3 in the list, allowed are texts in quotes"},
		{"folder", "match", "3", "found 3, allowed is a list of file name patterns"},
		{"folder", "match", "[]", "an empty list matches no file"},
		{"folder", "match", "[\"[\"]", "\"[\" is not a pattern"},
		{"folder", "match", "[\"a/b\"]", "\"a/b\" has a folder in it"},
		{"target", "surround", "[0.3, 0.15]", "the low end 0.3 is above the high end 0.15"},
		{"target", "surround", "[0, 15, 0, 30]", "decimals take a point"},
		{"target", "surround", "[0, 15, 0]", "found a list of 3, allowed is"},
		{"surround", "grey", "117.5", "found 117.5, allowed is a whole number from 0 to 255"},
		{"desk", "name", "\"  \"", "found the text \"  \", allowed is a text in quotes"},
		{"desk", "name", "\"" + strings.Repeat("x", 61) + "\\n\"", "found \"" + strings.Repeat("x", 60) + "…\", a text with a line end"},
	} {
		err := oneKey(c.table, c.key, c.value)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s.%s = %s: %v; want %s", c.table, c.key, c.value, err, c.want)
		}
		if c.key == "surround" && strings.Count(c.value, ",") == 2 && strings.Contains(err.Error(), "decimals") {
			t.Errorf("%s: %v: three numbers are no decimals with commas", c.value, err)
		}
	}
}

func TestPlainNumbers(t *testing.T) {
	for n, want := range map[float64]string{
		0: "0", 10_000: "10000", 0.0045: "0.0045", -3: "-3", 1e-6: "0.000001", 9e-7: "9e-07",
		999_999_999_999_999: "999999999999999", 1e15: "1e+15", -1e15: "-1e+15", 2e15: "2e+15",
	} {
		if got := plainNumber(n); got != want {
			t.Errorf("%v is written %s, want %s", n, got, want)
		}
	}
	for n, want := range map[int]int{0: 0, 60: 60, 61: 61, 500: 61} { // with its ellipsis
		if got := len([]rune(shorten(strings.Repeat("å", n)))); got != want {
			t.Errorf("%d letters are shortened to %d, want %d", n, got, want)
		}
	}
}

// A folder for photographs of the light is doubted only where it is one for exports.
func TestLightFolderOfItsOwn(t *testing.T) {
	const folders = "[[folder]]\npath = \"/prints\"\npurpose = \"print\"\n[[folder]]\npath = \"/web\"\npurpose = \"screen\"\n"
	for light, want := range map[string]string{
		"":                                   "",
		"[room]\nlight_folder = \"/l\"":      "",
		"[room]\nlight_folder = \"/prints\"": "desk.toml:8: room.light_folder: line 2 watches the same folder",
		"[room]\nlight_folder = \"/web/\"":   "desk.toml:8: room.light_folder: line 5 watches the same folder",
	} {
		_, doubts, err := Parse("desk.toml", []byte(folders+light), "")
		if err != nil || (len(doubts) > 0) != (want != "") || len(doubts) > 1 || !strings.HasPrefix(doubts.Error(), want) {
			t.Errorf("%s: %v, %v; want %s", light, doubts, err, want)
		}
	}
}

// Both ways to load look for days that have yet to come; Parse has no clock.
func TestLoadDoubtsDaysToCome(t *testing.T) {
	day := time.Now().AddDate(1, 0, 0).Format(time.DateOnly)
	text := "[[display]]\nname = \"north bench\"\nmeasured = " + day + "\n"
	path := writeProfile(t, text)
	_, fromLoad, err := Load(path)
	_, fromFile, err2 := LoadFile(path)
	_, fromParse, err3 := Parse(path, []byte(text), "")
	if err = errors.Join(err, err2, err3); err != nil {
		t.Fatal(err)
	}
	for name, doubts := range map[string]Mistakes{"Load": fromLoad, "LoadFile": fromFile} {
		if len(doubts) != 1 || doubts[0].Line != 3 || !strings.Contains(doubts[0].Text, "has yet to come") {
			t.Errorf("%s: %v, want a doubt about line 3", name, doubts)
		}
	}
	if len(fromParse) != 0 {
		t.Errorf("Parse: %v, want no doubt", fromParse)
	}
}

func TestProfileOfTheLargestSize(t *testing.T) {
	dir := t.TempDir()
	for size, fits := range map[int]bool{262_144: true, 262_145: false} {
		path := filepath.Join(dir, fmt.Sprint(size))
		if err := os.WriteFile(path, []byte("#"+strings.Repeat("x", size-1)), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, _, err := LoadFile(path); (err == nil) != fits {
			t.Errorf("%d bytes: %v", size, err)
		}
	}
}

// A first profile whose folder can't be made is an error, and so is one that is there.
func TestStarterThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := WriteStarter(filepath.Join(file, "lampblack", "profile.toml"), Answers{}); err == nil {
		t.Error("a folder was made below a file")
	}
	if err := WriteStarter(file, Answers{}); !errors.Is(err, fs.ErrExist) {
		t.Errorf("over a file: %v", err)
	}
	if text, err := os.ReadFile(file); err != nil || string(text) != "x" {
		t.Errorf("the file is now %q, %v", text, err)
	}
}

// A place far below the profile's three tables is not told apart any more.
func TestPlacesAreBounded(t *testing.T) {
	for length, grows := range map[int]bool{0: true, 1000: true, 1001: false} {
		p := place(strings.Repeat("x", length))
		if got := p.in("key") != p; got != grows {
			t.Errorf("a place of %d bytes goes deeper: %v, want %v", length, got, grows)
		}
	}
}

// From a word to another it takes as many edits as back.
func TestEditsBothWays(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"abc", "", 3}, {"abc", "ab", 1}, {"abc", "a", 2}, {"abcd", "bcd", 1}, {"abcd", "bc", 2}, {"abxcd", "abcd", 1},
		{"ab", "ba", 1}, {"abcd", "badc", 2}, {"ca", "abc", 3}, {"white_kk", "white_k", 1}, {"xyz", "abc", 3},
	} {
		if there, back := edits(c.a, c.b), edits(c.b, c.a); there != c.want || back != c.want {
			t.Errorf("%q and %q are %d and %d edits apart, want %d", c.a, c.b, there, back, c.want)
		}
	}
}

// A word is near when a third of its letters differ, and no more.
func TestHowNearIsNear(t *testing.T) {
	for _, c := range []struct{ typed, word, want string }{
		{"abcdxx", "abcdef", "abcdef"}, {"abcxxx", "abcdef", ""}, {"xb", "ab", "ab"}, {"xy", "ab", ""},
		{"abxxx", "abcde", ""}, {"abcdx", "abcde", "abcde"}, {"cde", "abcdefgh", "abcdefgh"}, {"cd", "abcdefgh", ""},
	} {
		if got, ok := nearest(c.typed, []string{c.word}); got != c.want || ok != (c.want != "") {
			t.Errorf("%q is near %q, %v; want %q", c.typed, got, ok, c.want)
		}
	}
	if got, _ := nearest("hoood", []string{"hold", "hood", "hooded"}); got != "hood" {
		t.Errorf("nearest is %q, want hood", got)
	}
	if got, _ := nearest("abcx", []string{"abca", "abcb"}); got != "abca" {
		t.Errorf("nearest of two as near is %q, want the first", got)
	}
}

// Whatever line the library names, the mistake is on a line of the file.
func TestSyntaxMistakeIsInTheFile(t *testing.T) {
	for named, want := range map[int]int{-1: 1, 0: 1, 1: 1, 2: 2, 3: 3, 4: 3, 9: 3} {
		m := syntaxMistake("desk.toml", "a = 1\nb = 2\n", toml.ParseError{Position: toml.Position{Line: named}, Message: "what it says"})
		if m.Line != want {
			t.Errorf("line %d becomes %d, want %d", named, m.Line, want)
		}
	}
}

// Without a line, or a key, a mistake names neither.
func TestMistakeNamesWhatItHas(t *testing.T) {
	for _, c := range []struct {
		m    Mistake
		want string
	}{
		{Mistake{File: "desk.toml", Line: 1, Key: "display", Text: "is wrong"}, "desk.toml:1: display: is wrong"},
		{Mistake{File: "desk.toml", Key: "display", Text: "is wrong"}, "desk.toml: display: is wrong"},
		{Mistake{File: "desk.toml", Line: 2, Text: "is wrong"}, "desk.toml:2: is wrong"},
	} {
		if got := c.m.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Whatever the index is given, it moves on; and it knows where a text ends.
func TestIndexMovesOn(t *testing.T) {
	for text, want := range map[string]int{ // the line of b
		"a = [}]\nb = 1":                     2,
		"a = {]}\nb = 1":                     2,
		"]\nb = 1":                           2,
		"a = \"x \\\" b = 0\"\nb = 1":        2,
		"a = 'x \\'\nb = 1":                  2,
		"a = '''x \\'''\nb = 1":              2,
		"a = \"\"\"\\\"\"\"\nb\"\"\"\nb = 1": 3,
		"a = \"\"\"x\"\"\"\"\"\nb = 1":       2, // two quotes of its own at its end
		"a = ''''x''''\nb = 1":               2,
		"a = \"\"\nb = 1":                    2,
		"a = [\"]\", \"x\"]\nb = 1":          2,
		"a = {\"}\" = 1, c = 2}\nb = 1":      2,
		"a = {b = 1}\n[c]\nb = 2\n":          0,
		"a = [[1], [\n2]]\nb = 1":            3,
		"a = \"x":                            0,
	} {
		if got := indexLines(text)[place("").in("b")]; got != want {
			t.Errorf("%q: b is on line %d, want %d", text, got, want)
		}
	}
}

func TestProfileThatIsNotThere(t *testing.T) {
	path := filepath.Join(t.TempDir(), "profile.toml")
	for name, load := range map[string]func(string) (*rules.Profile, Mistakes, error){"Load": Load, "LoadFile": LoadFile} {
		if p, _, err := load(path); p != nil || !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s: %v, %v", name, p, err)
		}
	}
}

// A reference room as light as the room may be is no doubt; a lighter one is.
func TestReferenceRoomAtTheLimit(t *testing.T) {
	for lx, doubts := range map[string]int{"64": 0, "63.9": 0, "64.1": 1} {
		_, got, err := Parse("desk.toml", []byte("[target]\nroom_lx = 64\nreference_lx = "+lx+"\n"), "")
		if err != nil || len(got) != doubts {
			t.Errorf("%s: %v, %v; want %d doubts", lx, got, err, doubts)
		}
	}
}

// A path that can't be told is one mistake, and brings on no other.
func TestPathThatCannotBeToldIsOneMistake(t *testing.T) {
	const text = "[room]\nlight_folder = \"~bob/light\"\n[[folder]]\npath = \"~bob/light\"\npurpose = \"print\"\n"
	_, doubts, err := Parse("desk.toml", []byte(text), "/home/anna")
	if wrong, ok := err.(Mistakes); !ok || len(wrong) != 2 || wrong[0].Line != 2 || wrong[1].Line != 4 || len(doubts) != 0 {
		t.Errorf("%v, and doubts %v; want one mistake each on line 2 and 4", err, doubts)
	}
}

// A path is put right where that can be done in single quotes.
func TestHintsOfPaths(t *testing.T) {
	for typed, want := range map[string]string{
		`"C:\temp\new"`:   `write: path = 'C:\temp\new'`,
		`"/temp\there's"`: `for example: path = "~/Pictures/to-print"`,
		`"joe's\there"`:   `for example: path = "~/Pictures/to-print"`,
		`""`:              `for example: path = "~/Pictures/to-print"`,
		`5`:               `for example: path = "~/Pictures/to-print"`,
		`"C:\bin\foo\rs"`: `write: path = 'C:\bin\foo\rs'`,
	} {
		_, _, err := Parse("desk.toml", []byte("[[folder]]\npurpose = \"print\"\npath = "+typed+"\n"), "")
		if wrong, ok := err.(Mistakes); !ok || wrong[0].Hint != want {
			t.Errorf("%s: %v, want %s", typed, err, want)
		}
	}
}

// Of two numbers each must be possible, whatever the other is.
func TestBothEndsOfAnInterval(t *testing.T) {
	for typed, want := range map[string]bool{"[0, 1]": true, "[-1, 0.3]": false, "[0.1, 2]": false, "[-1, 2]": false, "[\"0\", 1]": false, "[0, true]": false} {
		if err := oneKey("target", "surround", typed); (err == nil) != want {
			t.Errorf("%s: %v, want it taken: %v", typed, err, want)
		}
	}
}

// A folder for photographs of the light is looked for like those for exports.
func TestLoadLooksForTheLightFolder(t *testing.T) {
	there := t.TempDir()
	for path, doubts := range map[string]int{there: 0, filepath.Join(there, "missing"): 1} {
		_, got, err := Load(writeProfile(t, "[room]\nlight_folder = '"+path+"'\n"))
		if err != nil || len(got) != doubts || doubts > 0 && (got[0].Line != 2 || got[0].Key != "room.light_folder") {
			t.Errorf("%s: %v, %v; want %d doubts about line 2", path, got, err, doubts)
		}
	}
}
