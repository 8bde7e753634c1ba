package autostart

import (
	"encoding/xml"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

// nasty are words that quoting gets wrong.
var nasty = []string{"plain", "two words", `quo"te`, "$HOME", "`id`", `back\slash`, "100 %", "%f", "tab\tbed", "ü & <b>", "'"}

// TestExecLineThereAndBack undoes what the Desktop Entry Specification says is
// done to a string value and then to the Exec key.
func TestExecLineThereAndBack(t *testing.T) {
	want := append([]string{"/opt/lampblack"}, nasty...)
	if got := words(t, execLine(want[0], want[1:])); !reflect.DeepEqual(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func words(t *testing.T, line string) (out []string) {
	t.Helper()
	var value strings.Builder // the string value
	for i := 0; i < len(line); i++ {
		if line[i] != '\\' {
			value.WriteByte(line[i])
			continue
		}
		i++
		value.WriteString(map[byte]string{'\\': `\`, 'n': "\n", 't': "\t", 'r': "\r", 's': " "}[line[i]])
	}
	var word *strings.Builder
	for s := value.String(); s != ""; s = s[1:] {
		switch {
		case word == nil && s[0] == '"':
			word = &strings.Builder{}
		case word == nil && s[0] != ' ':
			t.Fatalf("%q stands outside of quotes", s)
		case word == nil:
		case s[0] == '"':
			out, word = append(out, word.String()), nil
		case s[0] == '\\' || strings.HasPrefix(s, "%%"):
			s = s[1:]
			word.WriteByte(s[0])
		case s[0] == '%':
			t.Fatalf("%q is a field code", s)
		default:
			word.WriteByte(s[0])
		}
	}
	return out
}

func TestReadEntry(t *testing.T) {
	entry := desktopEntry("/opt/lampblack", nil)
	for _, c := range []struct {
		text string
		on   bool
		runs string
	}{
		{entry, true, `"/opt/lampblack"`},
		{entry + "Hidden=true\n", false, `"/opt/lampblack"`},
		{entry + "Hidden = false\n", true, `"/opt/lampblack"`},
		{entry + "X-GNOME-Autostart-enabled=false\n", false, `"/opt/lampblack"`},
		{"", false, ""},
		{"\x00\x00", false, ""},
	} {
		if on, runs := readEntry(c.text); on != c.on || runs != c.runs {
			t.Errorf("%q: %v, %q, want %v, %q", c.text, on, runs, c.on, c.runs)
		}
	}
}

// TestLaunchAgent: the property list is XML, and holds the words as they are.
func TestLaunchAgent(t *testing.T) {
	text := launchAgent("/Applications/lampblack", nasty)
	if strings.Contains(text, "KeepAlive") {
		t.Error("what ended with an error, and has told why, is started again and again")
	}
	d := xml.NewDecoder(strings.NewReader(text))
	d.Strict = true
	var got []string
	inArray := false
	for {
		token, err := d.Token()
		if token == nil {
			if err.Error() != "EOF" {
				t.Fatal(err)
			}
			break
		}
		switch e := token.(type) {
		case xml.StartElement:
			inArray = inArray || e.Name.Local == "array"
			if inArray && e.Name.Local == "string" {
				var s string
				if err := d.DecodeElement(&s, &e); err != nil {
					t.Fatal(err)
				}
				got = append(got, s)
			}
		case xml.EndElement:
			inArray = inArray && e.Name.Local != "array"
		}
	}
	if want := append([]string{"/Applications/lampblack"}, nasty...); !reflect.DeepEqual(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestLasting(t *testing.T) {
	stays, err := filepath.Abs(filepath.FromSlash("/opt/lampblack/lampblack"))
	if err != nil {
		t.Fatal(err)
	}
	for exe, want := range map[string]string{
		stays: "",
		filepath.Join(os.TempDir(), "go-build1", "lampblack"): "lies in a temporary folder",
		"lampblack":                    "no absolute path",
		stays + "\nExec=/bin/mischief": "can't stand in an autostart entry",
	} {
		err := lasting(exe)
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", exe, err, want)
		}
	}
}

// TestLinkIsReplaced: an entry that is a link doesn't lead the text elsewhere.
func TestLinkIsReplaced(t *testing.T) {
	dir := t.TempDir()
	victim, link := filepath.Join(dir, "victim"), filepath.Join(dir, "autostart", "lampblack.desktop")
	if err := os.WriteFile(victim, []byte("precious"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Dir(link), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(victim, link); err != nil {
		t.Fatal(err)
	}
	if err := writeEntry(link, "an entry"); err != nil {
		t.Fatal(err)
	}
	if text, err := os.ReadFile(victim); err != nil || string(text) != "precious" {
		t.Errorf("the link's end holds %q, %v", text, err)
	}
	if text, err := os.ReadFile(link); err != nil || string(text) != "an entry" {
		t.Errorf("the entry holds %q, %v", text, err)
	}
	if err := removeEntry(link); err != nil {
		t.Error(err)
	}
	if err := removeEntry(link); err != nil {
		t.Errorf("removed twice: %v", err)
	}
	if left, _ := os.ReadDir(filepath.Dir(link)); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}
