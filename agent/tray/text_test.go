package tray

import (
	"testing"
	"unicode"
	"unicode/utf8"

	"lampblack/config/legible"
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
