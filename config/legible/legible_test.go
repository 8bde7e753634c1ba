package legible

import "testing"

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
