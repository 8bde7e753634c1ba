package legible

import (
	"strings"
	"testing"
	"unicode/utf8"
)

func TestLine(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"plain", "quay at dusk.tif", "quay at dusk.tif"},
		{"accents and other scripts", "Bålfärd – 港.tif", "Bålfärd – 港.tif"},
		{"a terminal's escape", "a\x1b[31mb", `a\x1b[31mb`},
		{"line ends", "a\r\nb", `a\r\nb`},
		{"an override of the writing direction", "a\u202efit.exe", `a\u202efit.exe`},
		{"an invisible character", "a\u200bb", `a\u200bb`},
		{"bytes that aren't UTF-8", "a\xff\xfeb", `a\xff\xfeb`},
		{"the replacement character itself", "a\ufffdb", "a\ufffdb"},
		{"markup, which is text", "<b>&amp;", "<b>&amp;"},
	} {
		if got := Line(c.in); got != c.want {
			t.Errorf("%s: %q became %q, want %q", c.name, c.in, got, c.want)
		}
	}
}

func TestPlain(t *testing.T) {
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
		if got := Plain(c.in); got != c.want {
			t.Errorf("%s: Plain(%q) = %q, want %q", c.name, c.in, got, c.want)
		}
	}
}

func TestPlainLinesKeepsLines(t *testing.T) {
	if got, want := PlainLines("cause\r\nremedy\n\x1b[2J\u202e"), "cause\nremedy\n[2J"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A name ends where the next one begins in a menu: it is bounded however long and
// however strange the text is that it comes from.
func TestNameIsBounded(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"plain", "harbour rag", "harbour rag"},
		{"terminal escape and direction", "a\x1b[31mb\u202ec", "a[31mbc"},
		{"padding", "slip gloss\x00\x00", "slip gloss"},
		{"no characters", "a\xff\ufffdb", "ab"},
		{"nothing visible", "\u200e\n\t\xff", ""},
		{"long", strings.Repeat("ä\x00", 3*MostOfName), strings.Repeat("ä", MostOfName)},
	} {
		if got := Name(c.in); got != c.want {
			t.Errorf("%s: %q became %q, want %q", c.name, c.in, got, c.want)
		}
	}
	if got := Name(strings.Repeat("\u0301", 1000)); utf8.RuneCountInString(got) > maxMarks {
		t.Errorf("a tower of marks became %d characters", utf8.RuneCountInString(got))
	}
}
