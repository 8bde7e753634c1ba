package rules

import (
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"
)

// largeExport is a picture about which there is nothing to remark but its size.
func largeExport() Picture {
	return Picture{
		Width: 6000, Height: 4000, Depth: 16, PPI: 300, Profile: "Tidemark wide",
		Tones: []Tone{{Y: 0.001, Share: 0.01}, {Y: 0.2, Share: 0.99}},
	}
}

var harbourRag = Paper{Name: "harbour rag", White: Stated(0.9), DMax: Stated(1.65)}

func TestRemarks(t *testing.T) {
	print := Folder{Purpose: ForPrint}
	screen := Folder{Purpose: ForScreen}
	unknown := [2]float64{}
	const at300 = "At its 300 ppi it prints as 50.8 × 33.9 cm (20 × 13.3 in)."
	for name, test := range map[string]struct {
		change func(*Picture)
		folder Folder
		size   [2]float64
		want   []string
	}{
		"nothing but the size": {func(*Picture) {}, print, unknown, []string{at300}},
		"no folder":            {func(*Picture) {}, Folder{}, unknown, []string{at300}},
		"no resolution": {func(p *Picture) { p.PPI = Unknown }, print, unknown, []string{
			"The file states no resolution; at 300 ppi it prints as 50.8 × 33.9 cm (20 × 13.3 in).",
		}},
		"the folder's size": {func(*Picture) {}, print, [2]float64{30, 40}, []string{
			"Printed to fit 30 × 40 cm (11.8 × 15.7 in) it has 381 ppi.",
		}},
		"upright, on the folder's size": {func(p *Picture) { p.Width, p.Height = 4000, 6000 }, print, [2]float64{30, 40}, []string{
			"Printed to fit 30 × 40 cm (11.8 × 15.7 in) it has 381 ppi.",
		}},
		"too few pixels": {func(p *Picture) { p.Width, p.Height = 2700, 1800 }, print, [2]float64{40, 60}, []string{
			"Printed to fit 40 × 60 cm (15.7 × 23.6 in) it has 114 ppi.",
			"114 ppi are few for 40 × 60 cm (15.7 × 23.6 in): looked at from 72 cm it takes about 121 to be sharp.",
		}},
		"a screen's export": {func(p *Picture) { p.Width, p.Height, p.Profile, p.Depth = 2048, 1365, "sRGB IEC61966-2.1", 8 }, print, unknown, []string{
			"It has 2048 × 1365 pixels in sRGB, like a picture for the screen: is this the right folder?",
			"At its 300 ppi it prints as 17.3 × 11.6 cm (6.8 × 4.5 in).",
		}},
		"small, but of wide gamut": {func(p *Picture) { p.Width, p.Height, p.Profile = 2048, 1365, "Adobe RGB (1998)" }, print, unknown, []string{
			"At its 300 ppi it prints as 17.3 × 11.6 cm (6.8 × 4.5 in).",
		}},
		"sRGB for a laboratory": {func(p *Picture) { p.Profile, p.Depth = "sRGB", 8 }, print, unknown, []string{at300}},
		"8 bits, wide gamut": {func(p *Picture) { p.Profile, p.Depth = "ROMM-RGB", 8 }, print, unknown, []string{
			"8 bits are few for ROMM-RGB: smooth tones may show steps. Export with 16 bits.", at300,
		}},
		"clipped": {func(p *Picture) { p.Black, p.White = 0.031, 0.006 }, print, unknown, []string{
			at300,
			"3 % of the picture is clipped to black: nothing is left in those shadows.",
			"1 % of the picture is clipped to white: the paper stays bare there.",
		}},
		"a little clipped": {func(p *Picture) { p.Black, p.White = 0.004, 0.004 }, print, unknown, []string{at300}},
		"below the paper's black": {func(p *Picture) { p.Tones = []Tone{{0.01, 0.07}, {0.0248, 0.02}, {0.0249, 0.91}} }, print, unknown, []string{
			at300,
			`9 % of the picture is darker than the deepest black of "harbour rag": without black point compensation its steps merge there.`,
		}},
		"on a screen all of it is fine": {func(p *Picture) {
			p.Width, p.Height, p.Profile, p.Black, p.Depth = 1200, 800, "sRGB", 0.5, 8
			p.Tones = []Tone{{0, 1}}
		}, screen, [2]float64{100, 200}, nil},
		"wide gamut for screens": {func(p *Picture) { p.Profile = "Display P3" }, screen, unknown, []string{
			"Its colour profile is Display P3: many screens and pages will show it drab. Export with sRGB.",
		}},
	} {
		t.Run(name, func(t *testing.T) {
			pic := largeExport()
			test.change(&pic)
			folder := test.folder
			folder.Short, folder.Long = test.size[0], test.size[1]
			var got []string
			for _, note := range remarks(&pic, folder, harbourRag) {
				got = append(got, note.Text)
				if note.Code.Meaning() == "" {
					t.Errorf("a code that nobody knows: %q", note)
				}
			}
			if !reflect.DeepEqual(got, test.want) {
				t.Errorf("got  %s\nwant %s", strings.Join(got, "\n     "), strings.Join(test.want, "\n     "))
			}
			for _, note := range got {
				if utf8.RuneCountInString(note) > 130 {
					t.Errorf("too long: %s", note)
				}
			}
		})
	}
}

// What isn't known is not remarked on, and nothing divides by it.
func TestRemarksOfNothing(t *testing.T) {
	if got := remarks(&Picture{}, Folder{}, Paper{}); len(got) > 1 {
		t.Errorf("%q", got)
	}
	if got := remarks(&Picture{}, Folder{Purpose: ForPrint, Short: 30, Long: 40}, Paper{}); len(got) > 1 {
		t.Errorf("%q", got)
	}
}

// At 25 cm one minute of arc is 0.0727 mm: 349 pixels an inch.
func TestVisiblePPI(t *testing.T) {
	for _, test := range []struct {
		size   [2]float64
		lo, hi float64
	}{{[2]float64{10, 15}, 349, 350}, {[2]float64{30, 40}, 174, 175}, {[2]float64{60, 90}, 80, 81.5}} {
		if got := visiblePPI(test.size); got < test.lo || got > test.hi {
			t.Errorf("%v: %v", test.size, got)
		}
	}
}
