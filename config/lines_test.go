package config

import (
	"maps"
	"strings"
	"testing"
)

func TestIndexLines(t *testing.T) {
	const content = `# a comment with a [header] = in it
top = 1
[desk]
name = "a # no comment, \" and no end" # [no.header]
[[display]]
  name = 'north \'  # the quote is closed
match = [ "a", # one
  "]", 'b',
  [1, 2], ]
after = 2026-02-14 09:10:00
[[display]]
text = """
name = "inside"
[inside]
two quotes at the end"""""
name = '''
inside = 1'''
"white k" = 1
[display.more]
deep.er = 1
deep."est er" = 2
[room]
light = { k = 4000, at.the = { screen = 1 },
  lx = 3 }
bench = [ { name = "a" },
  { name = "b" } ]
last = 1`
	display := place("").in("display")
	room := place("").in("room")
	want := map[place]int{
		place("").in("top"):                               2,
		place("").in("desk").in("name"):                   4,
		display:                                           5,
		display.nth(0):                                    5,
		display.nth(0).in("name"):                         6,
		display.nth(0).in("match"):                        7,
		display.nth(0).in("match").nth(3).nth(1):          9,
		display.nth(0).in("after"):                        10,
		display.nth(1):                                    11,
		display.nth(1).in("text"):                         12,
		display.nth(1).in("name"):                         16,
		display.nth(1).in("white k"):                      18,
		display.nth(1).in("more"):                         19,
		display.nth(1).in("more").in("deep").in("er"):     20,
		display.nth(1).in("more").in("deep").in("est er"): 21,
		room:                     22,
		room.in("light").in("k"): 23,
		room.in("light").in("at").in("the").in("screen"): 23,
		room.in("light").in("lx"):                        24,
		room.in("bench").nth(1).in("name"):               26,
		room.in("last"):                                  27,
	}
	for _, ends := range []string{"\n", "\r\n"} {
		lines := indexLines("\ufeff" + strings.ReplaceAll(content, "\n", ends))
		for p, line := range want {
			if lines[p] != line {
				t.Errorf("%q: line %d, want %d", p, lines[p], line)
			}
		}
		for p := range maps.Keys(lines) {
			if strings.Contains(string(p), "inside") {
				t.Errorf("%q is inside a string", p)
			}
		}
	}
}

func TestNearest(t *testing.T) {
	words := []string{"name", "white_cd_m2", "white_k", "white_xy", "contrast", "hood", "held"}
	for typed, want := range map[string]string{
		"nmae":        "name",
		"white_cdm2":  "white_cd_m2",
		"WHITE-CD-M2": "white_cd_m2",
		"cd_m2":       "white_cd_m2",
		"contrst":     "contrast",
		"hod":         "hood",
		"brightness":  "",
		"":            "",
		"x":           "",
	} {
		if got, ok := nearest(typed, words); got != want || ok != (want != "") {
			t.Errorf("nearest to %q is %q, want %q", typed, got, want)
		}
	}
}

func TestEdits(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"abc", "abc", 0}, {"abc", "acb", 1}, {"kitten", "sitting", 3}, {"größe", "grösse", 2}} {
		if got := edits(c.a, c.b); got != c.want {
			t.Errorf("from %q to %q it takes %d edits, got %d", c.a, c.b, c.want, got)
		}
	}
}
