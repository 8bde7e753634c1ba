package tray

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

func TestCleanLine(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"plain", "harbour_&_rag.tif holds", "harbour_&_rag.tif holds"},
		{"umlauts and fractions", "Größe: ½ stop", "Größe: ½ stop"},
		{"line breaks and tabs", "a\r\nb\nc\td", "a b c d"},
		{"unicode line breaks", "a\u2028b\u2029c", "a b c"},
		{"terminal escape", "a\x1b[31mred\x07", "a[31mred"},
		{"zero byte", "a\x00b", "ab"},
		{"C1 control", "a\u0085b", "ab"},
		{"bidi override", "photo\u202egnp.exe", "photognp.exe"},
		{"bidi isolate", "\u2067abc\u2069", "abc"},
		{"invisible", "a\u200b\u200d\ufeff\u00adb", "ab"},
		{"private use", "a\ue000b", "ab"},
		{"not UTF-8", "a\xff\xfeb", "a\ufffd\ufffdb"},
		{"tower of marks", "a" + strings.Repeat("\u0301", 40) + "b", "a\u0301\u0301\u0301b"},
		{"marks start anew", "a\u0301\u0301b\u0301", "a\u0301\u0301b\u0301"},
		{"markup stays text", "<b>x</b> &amp; $(id) `id`", "<b>x</b> &amp; $(id) `id`"},
		{"outer spaces", "  a b \n", "a b"},
		{"nothing visible", "\u200e\n\t", ""},
	} {
		if got := cleanLine(c.in); got != c.want {
			t.Errorf("%s: cleanLine(%q) = %q, want %q", c.name, c.in, got, c.want)
		}
	}
}

func TestCleanTextKeepsLines(t *testing.T) {
	if got, want := cleanText("cause\r\nremedy\n\x1b[2J\u202e"), "cause\nremedy\n[2J"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func FuzzClean(f *testing.F) {
	f.Add("a\x00\u202e\xff\n")
	f.Fuzz(func(t *testing.T, s string) {
		got := cut(cleanLine(s), maxLine)
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
		{"quay-at-dusk-final-003.tif: likely drab: about 15 %", 43, "quay-at-…l-003.tif: likely drab: about 15 %"},
		{"abcdefghij", 5, "ab…ij"},
		{"abcdefghij", 4, "a…ij"},
		{"abcdefghij", 1, "…"},
	} {
		if got := cut(c.in, c.max); got != c.want {
			t.Errorf("cut(%q, %d) = %q, want %q", c.in, c.max, got, c.want)
		}
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
