package config

import (
	"fmt"
	"strings"
	"testing"

	"lampblack/rules"
)

// The last value that is possible and the first beyond it, of keys whose range has an
// end in the nature of the thing: a share or a reflectance is never more than all.
func TestRangesEndWhereTheyMust(t *testing.T) {
	for _, c := range []struct {
		table, key          string
		good, below, beyond float64
	}{
		{"target", "reference_surround", 1, -0.01, 1.01},
		{"target", "reference_surround", 0, -0.01, 1.01},
		{"surround", "relative_Y", 1, -0.01, 1.01},
		{"surround", "picture_share", 1, -0.01, 1.01},
		{"surround", "lightness", 100, -0.1, 100.1},
		{"surround", "grey", 255, -1, 256},
		{"room", "meter_uncertainty", 1, 0, 1.01},
	} {
		mistake := func(v float64) string {
			text := fmt.Sprintf("[%s]\n%s = %v\n", c.table, c.key, v)
			if _, _, err := Parse("edges.toml", []byte(text), "/home/anna"); err != nil {
				return err.Error()
			}
			return ""
		}
		if said := mistake(c.good); strings.Contains(said, "allowed is") {
			t.Errorf("%s.%s = %v: %s", c.table, c.key, c.good, said)
		}
		for _, v := range []float64{c.below, c.beyond} {
			if want := fmt.Sprintf("%s.%s: found", c.table, c.key); !strings.Contains(mistake(v), want) {
				t.Errorf("%s.%s = %v: %q, want %q", c.table, c.key, v, mistake(v), want)
			}
		}
	}
}

// Exactly one display edits, wherever in the file it says so.
func TestWhichDisplayEdits(t *testing.T) {
	for _, c := range []struct {
		says string // of each display, whether it says that it edits
		want int
	}{
		{"-", 0}, {"e", 0}, {"--", 0}, {"-e", 1}, {"e-", 0}, {"ee", 0}, {"--e", 2}, {"-ee", 1},
	} {
		displays := make([]rules.Display, len(c.says))
		for i := range displays {
			displays[i].Edits = c.says[i] == 'e'
		}
		chooseEditing(displays)
		for i, d := range displays {
			if d.Edits != (i == c.want) {
				t.Errorf("%q: display %d edits: %v, want that of %d alone", c.says, i, d.Edits, c.want)
			}
		}
	}
}
