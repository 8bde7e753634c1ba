package tray

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"lampblack/rules"
)

// tidemark is a desk with something wrong.
func tidemark() State {
	return State{
		Summary: rules.Summary{
			Headline: "Likely darker: about ½ stop in the shadows",
			Conditions: []string{
				"The screen is right: 118 cd/m² (target 80–120)",
				"The room is too bright: 180 lx, read at the screen 10 min ago (target 16–64)",
				"The surround is too dark: 0.3 % of white (target 15–30 %)",
				"The calibration is good: 12 days old (target up to 30 days)",
			},
			Last:  rules.LastExport{File: "skarvik_quay & boats.tif", Text: "likely dark: about ½ stop in the shadows (±0.2)"},
			Wedge: rules.Wedge{Hollow: [5]bool{true, true}},
		},
		Surround: "black",
		Lux:      180,
		White:    118,
		Prints: []Print{
			{ID: "3", Text: "skarvik_quay & boats.tif (verdict: darker)", Chosen: true},
			{ID: "2", Text: "harbour-2.tif (came out a bit darker)"},
		},
	}
}

// typed writes the visible menu as a person would.
func typed(rows []row, indent string) string {
	var b strings.Builder
	for _, r := range rows {
		switch {
		case r.hidden:
			continue
		case r.separator:
			b.WriteString(indent + "----\n")
			continue
		case r.checked:
			b.WriteString(indent + "* " + r.text)
		default:
			b.WriteString(indent + r.text)
		}
		b.WriteString("\n" + typed(r.rows, indent+"    "))
	}
	return b.String()
}

func TestMenuOfTidemark(t *testing.T) {
	got := typed(portray(tidemark(), Options{}.withDefaults()).rows, "")
	want := `Likely darker: about ½ stop in the shadows
The screen is right: 118 cd/m² (target 80–120)
The room is too bright: 180 lx, read at the screen 10 min ago (target 16–64)
The surround is too dark: 0.3 % of white (target 15–30 %)
The calibration is good: 12 days old (target up to 30 days)
skarvik_quay & boats.tif: likely dark: about ½ stop in the shadows (±0.2)
----
Log room light (last: 180 lx)
    5 lx: only the screens glow
    16 lx: dusk in the room
    32 lx: one small lamp, turned away
    48 lx: a shaded lamp nearby
    64 lx: quiet working light
    100 lx: evening living room
    150 lx: room lamps on
    250 lx: a bright room
    400 lx: office light
    700 lx: daylight near a window
Surround now
    * black
    dark grey
    mid grey
    light grey
    white
Screen's white now (118 cd/m²)
    80 cd/m²
    90 cd/m²
    100 cd/m²
    110 cd/m²
    120 cd/m²
    140 cd/m²
    160 cd/m²
    200 cd/m²
    250 cd/m²
    300 cd/m²
How did it print?
    * skarvik_quay & boats.tif (verdict: darker)
    harbour-2.tif (came out a bit darker)
    It came out as judged on the screen
    It came out a bit darker
    It came out much darker
    It came out a bit lighter
    It came out much lighter
    It came out drab
Mark calibrated today
Open the desk page
Open profile
Rest for an hour
Quit
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// states are as different as states can be.
func states() []State {
	long := tidemark()
	long.Resting = true
	long.Surround = "a grey of no name"
	long.Logged = "room light 64 lx"
	for i := range 20 {
		long.Prints = append(long.Prints, Print{ID: fmt.Sprint(i), Text: strings.Repeat("x", 20*i+1)})
		long.Troubles = append(long.Troubles, fmt.Sprintf("The folder %d is not there.", i))
		long.Summary.Conditions = append(long.Summary.Conditions, fmt.Sprint("one more ", i))
	}
	hostile := State{Summary: rules.Summary{Headline: "\u202e\x00\n", Last: rules.LastExport{File: strings.Repeat("x", 5000), Text: "drab"}}}
	return []State{{}, tidemark(), long, hostile}
}

// TestMenuKeepsItsShape: between two states only text, hidden and checked differ.
func TestMenuKeepsItsShape(t *testing.T) {
	var shape func(rows []row) []row
	shape = func(rows []row) []row {
		bare := make([]row, len(rows))
		for i, r := range rows {
			bare[i] = row{separator: r.separator, radio: r.radio, command: r.command, rows: shape(r.rows)}
		}
		return bare
	}
	o := Options{}.withDefaults()
	first := shape(portray(State{}, o).rows)
	for i, s := range states() {
		if got := shape(portray(s, o).rows); !reflect.DeepEqual(got, first) {
			t.Errorf("state %d has a menu of another shape:\n%+v\n%+v", i, got, first)
		}
	}
}

func TestMenuTextsAreShortAndVisible(t *testing.T) {
	for i, s := range states() {
		f := portray(s, Options{}.withDefaults())
		if f.tooltip == "" {
			t.Errorf("state %d has no tooltip", i)
		}
		for _, r := range slices.Concat(f.rows, f.rows[printsAt(f.rows)].rows) {
			if !r.separator && !r.hidden && r.text == "" {
				t.Errorf("state %d has an empty row", i)
			}
			if utf8.RuneCountInString(r.text) > maxLine {
				t.Errorf("state %d: %q is too long", i, r.text)
			}
		}
	}
}

func printsAt(rows []row) int {
	return slices.IndexFunc(rows, func(r row) bool { return r.text == "How did it print?" })
}

// TestClicksNameThePrint: a click is about the print that the menu showed.
func TestClicksNameThePrint(t *testing.T) {
	f := portray(tidemark(), Options{}.withDefaults())
	rows := f.rows[printsAt(f.rows)].rows
	for _, c := range []struct {
		row  int
		want Command
		ok   bool
	}{
		{0, Command{Kind: ChoosePrint, Print: "3"}, true},
		{1, Command{Kind: ChoosePrint, Print: "2"}, true},
		{2, Command{Kind: ChoosePrint, place: 2}, false}, // hidden
		{printRows + 1, Command{Kind: TellOutcome, Print: "3", Outcome: rules.BitDarker}, true},
	} {
		if got, ok := f.named(rows[c.row].command); got != c.want || ok != c.ok {
			t.Errorf("row %d: %+v, %v, want %+v, %v", c.row, got, ok, c.want, c.ok)
		}
	}
	none := portray(State{}, Options{}.withDefaults())
	for _, r := range none.rows[printsAt(none.rows)].rows {
		if got, ok := none.named(r.command); ok {
			t.Errorf("without prints %q gives %+v", r.text, got)
		}
	}
	other := Command{Kind: LogLight, Lux: 64}
	if got, ok := (*face)(nil).named(other); got != other || !ok {
		t.Errorf("%+v became %+v, %v", other, got, ok)
	}
}

func TestLinesTellWhatIsMissing(t *testing.T) {
	for _, c := range []struct {
		in   []string
		want string
	}{
		{nil, ""},
		{[]string{"a"}, "a\n"},
		{[]string{"", "a", "\n", "b"}, "a\nb\n"},
		{[]string{"a", "b", "c"}, "a\nb\nc\n"},
		{[]string{"a", "b", "c", "d", "e"}, "a\nb\nand 3 more\n"},
	} {
		rows := lines(c.in, 3)
		if got := typed(rows, ""); got != c.want || len(rows) != 3 {
			t.Errorf("lines(%q, 3) shows %q in %d rows, want %q in 3", c.in, got, len(rows), c.want)
		}
	}
}

func TestRestingTurnsTheRowAndTheIcon(t *testing.T) {
	s := tidemark()
	s.Resting = true
	f := portray(s, Options{}.withDefaults())
	if !f.icon.Rest {
		t.Error("the icon does not rest")
	}
	if text := typed(f.rows, ""); !strings.Contains(text, "Wake up now") || strings.Contains(text, "Rest for") {
		t.Errorf("menu:\n%s", text)
	}
}

func TestLux(t *testing.T) {
	for v, want := range map[float64]string{0.5: "0.5 lx", 5: "5 lx", 64: "64 lx", 180.4: "180 lx", 999.7: "1000 lx", 1200: "1200 lx", 54321: "54321 lx"} {
		if got := lux(v); got != want {
			t.Errorf("lux(%g) = %q, want %q", v, got, want)
		}
	}
}
