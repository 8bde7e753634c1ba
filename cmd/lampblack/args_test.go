package main

import (
	"slices"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

func TestArrange(t *testing.T) {
	var cl line
	app := kong.Must(&cl, helpWords).Model
	for typed, want := range map[string]string{
		"light 48":                    "light -- 48",
		"light -3":                    "light -- -3",
		"light -.5 --note x":          "light --note=x -- -.5",
		"outcome f --stops -0.6":      "outcome --stops=-0.6 -- f",
		"outcome --stops -0.6 f":      "outcome --stops=-0.6 -- f",
		"outcome f a bit darker":      "outcome -- f a bit darker",
		"explain a -- --b":            "explain -- a --b",
		"light 48 --place Desk":       "light --place=desk -- 48",
		"journal --verdict=Drab,Dull": "journal --verdict=drab,Dull --",
		"page -o x":                   "page --out=x --",
		"strip f -o x":                "strip --out=x -- f",
		"strip f --output x":          "strip --out=x -- f",
		"page --output x":             "page --out=x --",
		"help":                        "--help",
		"help light":                  "light --help --",
		"--version":                   "version",
		"--profile p desk --json":     "desk --profile=p --json --",
		"journal --verdict=drab -3":   "journal --verdict=drab -- -3",
		"meter --aperture -4 --iso 1": "meter --aperture=-4 --iso=1 --",
	} {
		got, err := arrange(app, strings.Fields(typed))
		if err != nil || !slices.Equal(got, strings.Fields(want)) {
			t.Errorf("%q becomes %q, %v; want %q", typed, strings.Join(got, " "), err, want)
		}
	}
	for _, typed := range []string{"begin --white --room dim", "begin --white", "page -o", "light 48 --note --at=today", "light --note -- 48"} {
		if got, err := arrange(app, strings.Fields(typed)); err == nil || !strings.Contains(err.Error(), " needs a value, as in ") {
			t.Errorf("%q becomes %q, %v", typed, got, err)
		}
	}
}
