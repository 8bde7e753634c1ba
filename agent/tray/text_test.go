package tray

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"lampblack/config/legible"
	"lampblack/rules"
)

func FuzzClean(f *testing.F) {
	f.Add("a\x00\u202e\xff\n")
	f.Fuzz(func(t *testing.T, s string) {
		got := cut(legible.Plain(s), maxLine)
		if !utf8.ValidString(got) || utf8.RuneCountInString(got) > maxLine {
			t.Fatalf("%q became %q", s, got)
		}
		for _, r := range got {
			if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
				t.Fatalf("%q became %q, with %U", s, got, r)
			}
		}
	})
}

func TestCutKeepsBothEnds(t *testing.T) {
	for _, c := range []struct {
		in   string
		max  int
		want string
	}{
		{"short", 5, "short"},
		{"ääääääää: darker", 13, "ääääää…darker"},
		{"abcdefghij", 5, "ab…ij"},
		{"abcdefghij", 4, "a…ij"},
		{"abcdefghij", 1, "…"},
	} {
		if got := cut(c.in, c.max); got != c.want {
			t.Errorf("cut(%q, %d) = %q, want %q", c.in, c.max, got, c.want)
		}
	}
}

// TestLastLine: the verdict stays whole as long as enough of the name does.
func TestLastLine(t *testing.T) {
	name := strings.Repeat("quay", 20)
	for _, c := range []struct{ file, text, want string }{
		{"", "No export yet", "No export yet"},
		{"quay.tif", "likely drab: about 15 %", "quay.tif: likely drab: about 15 %"},
		{name + ".tif", "likely drab: about 15 %", "quayquayquayquayquayquayquayquay…quayquayquayquayquayquayquay.tif: likely drab: about 15 %"},
		{name, strings.Repeat("v", 76), name[:5] + "…" + name[len(name)-6:] + ": " + strings.Repeat("v", 76)},
		{"a: " + name + name, "drab", "a: " + name[:38] + "…" + name[len(name)-42:] + ": drab"},
		{"\u202equay\n.tif", "dr\x00ab", "quay .tif: drab"},
	} {
		if got := lastLine(rules.LastExport{File: c.file, Text: c.text}); got != c.want {
			t.Errorf("of %q, %q\n%s, want\n%s", c.file, c.text, got, c.want)
		}
	}
	long := rules.LastExport{File: name, Text: strings.Repeat("v", 77)} // with room for too little of the name
	got := lines([]string{lastLine(long)}, 1)[0].text
	if utf8.RuneCountInString(got) != maxLine || !strings.HasPrefix(got, name[:44]+"…") {
		t.Errorf("with a long text it is %q", got)
	}
}

func TestEscapeLabel(t *testing.T) {
	const name = "a_b & c__d.tif"
	for goos, want := range map[string]string{
		"linux":   "a__b & c____d.tif",
		"freebsd": "a__b & c____d.tif",
		"windows": "a_b && c__d.tif",
		"darwin":  name,
	} {
		if got := escapeLabel(goos, name); got != want {
			t.Errorf("%s: %q, want %q", goos, got, want)
		}
	}
}

func TestEscapeMarkup(t *testing.T) {
	got := escapeMarkup(`<img src="x">'&amp;`)
	if want := "&lt;img src=&quot;x&quot;&gt;&#39;&amp;amp;"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
