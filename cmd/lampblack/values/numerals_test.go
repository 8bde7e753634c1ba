package values

import (
	"slices"
	"strings"
	"testing"

	"lampblack/config/legible"
)

func TestNumerals(t *testing.T) {
	for _, c := range []struct {
		of   numeral
		text string
		want float64
	}{
		{luxFigure, "48", 48}, {luxFigure, "48lx", 48}, {luxFigure, " 48  Lux ", 48}, {luxFigure, "1,5", 1.5}, {luxFigure, "0,125", 0.125},
		{kelvinFigure, "4000 K", 4000}, {isoFigure, "ISO400", 400}, {isoFigure, "iso 400", 400},
		{shareFigure, "90%", 0.9}, {shareFigure, "0,9", 0.9}, {shareFigure, "18 %", 0.18},
		{sizeFigure, "20 cm", 20}, {stopsFigure, "-0,6", -0.6}, {stopsFigure, "−0.6", -0.6}, {stopsFigure, "+1 stop", 1},
		{whiteFigure, "120 cd/m²", 120}, {relativeFigure, "1e-9", 1e-9},
	} {
		if got, err := c.of.read(c.text); err != nil || got != c.want {
			t.Errorf("%q is %v, %v; want %v", c.text, got, err, c.want)
		}
	}
	for _, c := range []struct {
		of         numeral
		text, want string
	}{
		{luxFigure, "1e8", `"1e8" is not a number of lux like 48`}, {luxFigure, "12O lx", `"12O lx" is not a number of lux`},
		{luxFigure, "1,500", `"1,500": write it 1500 or 1.500`}, {luxFigure, "90%", "is not a number of lux"}, {luxFigure, "", `"" is not`},
		{luxFigure, "-3", "-3 is not a room light"}, {kelvinFigure, "48 lx", "is not a colour temperature in kelvin like 4000"},
		{shareFigure, "101%", "101% is not what a sheet reflects"}, {relativeFigure, "NaN", "is not a relative luminance like"},
		{relativeFigure, "inf", "is not a relative"}, {stopsFigure, "5", "5 is not a number of stops between -4 and 4"},
	} {
		if got, err := c.of.read(c.text); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q is %v, %v; want an error with %q", c.text, got, err, c.want)
		}
	}
}

// TestCommas is the package's rule for commas and points, case by case: what is taken,
// and how to write what is not.
func TestCommas(t *testing.T) {
	for text, want := range map[string]float64{"0,5": 0.5, "1,5": 1.5, "12,50": 12.5, "0,125": 0.125, "-0,6": -0.6, "1.250": 1.25, "1250.5": 1250.5} {
		if got, err := anyFigure.read(text); err != nil || got != want {
			t.Errorf("%q is %v, %v; want %v", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"4,000": "4000 or 4.000", "1,250": "1250 or 1.250", "-1,250": "-1250 or -1.250", "1,250.5": "1250.5", "1.250,5": "1250.5",
		"1'250": "1250", "1’250": "1250", "1 250": "1250", "1\u00a0250,75": "1250.75", "1,250,000": "1250000", "1.250.000": "1250000", "about 1,250.5": "1250.5",
	} {
		_, err := anyFigure.read(text)
		if err == nil || !strings.HasSuffix(err.Error(), ": write it "+want) {
			t.Errorf("%q: %v, want the advice %s", text, err, want)
		}
	}
	for _, text := range []string{"1,2,3", "1,25,000", "0,5.5", "01,250.5", ",", "1,,5", "1 25"} {
		if got, err := anyFigure.read(text); err == nil || strings.Contains(err.Error(), "write it") {
			t.Errorf("%q is %v, %v; want it to be no number", text, got, err)
		}
	}
	for text, of := range map[string]numeral{"4,000": kelvinFigure, "4,000 K": kelvinFigure, "ISO 6,400.0": isoFigure, "400,000 lx": luxFigure} {
		_, err := of.read(text)
		if err == nil || strings.Contains(err.Error(), " or ") || !strings.Contains(err.Error(), "write it") {
			t.Errorf("%q: %v, want the one way that can be meant", text, err)
		}
	}
	var n Count
	if err := n.UnmarshalText([]byte("4,000")); err == nil || err.Error() != `"4,000": write it 4000` {
		t.Errorf("a count: %v", err)
	}
}

// TestNumber: it goes by the same rule, and a text that may be two numbers is told from
// one that is none.
func TestNumber(t *testing.T) {
	for text, want := range map[string]float64{"0,5": 0.5, "117,5": 117.5, "12,50": 12.5, "-0.6": -0.6, "1e3": 1000} {
		if v, ways, ok := Number(text); !ok || v != want || ways != nil {
			t.Errorf("%q is %v, %q, %v; want %v", text, v, ways, ok, want)
		}
	}
	for text, want := range map[string][]string{"4,000": {"4000", "4.000"}, "1'250": {"1250"}, "1,5,0": nil, "nan": nil, "": nil} {
		if v, ways, ok := Number(text); ok || !slices.Equal(ways, want) {
			t.Errorf("%q is %v, %q, %v; want no number, and the ways %q", text, v, ways, ok, want)
		}
	}
}

// FuzzNumerals: whatever is typed, it is a number that can be meant or one sentence,
// and every way of writing that a sentence advises is taken.
func FuzzNumerals(f *testing.F) {
	for _, text := range []string{"48 lx", "0,5", "4,000", "1.250,5", "1'250", "f/5,6", "1/30 s", "90%", "−0.6", "1 000 000,5", "\x1b[2J"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, figure := range []numeral{luxFigure, kelvinFigure, isoFigure, shareFigure, sizeFigure, stopsFigure, stepFigure, whiteFigure, relativeFigure, secondsFigure, apertureFigure} {
			v, err := figure.read(text)
			if err == nil && !(figure.low <= v && v <= figure.high) {
				t.Errorf("%q is %v, which is not %s", text, v, figure.like)
			}
			if err != nil && legible.Line(err.Error()) != err.Error() {
				t.Errorf("the sentence would steer a terminal: %q", err)
			}
			for _, way := range figure.meant(text) {
				if _, err := figure.read(way); err != nil {
					t.Errorf("%q is to be written %s, which is refused: %v", text, way, err)
				}
			}
		}
	})
}

func TestLonghand(t *testing.T) {
	for v, want := range map[float64]string{48: "48", 1.5: "1.5", 200000: "200000", 1e8: "100 000 000", 1234567.5: "1 234 567.5"} {
		if got := Longhand(v); got != want {
			t.Errorf("%g is %q, want %q", v, got, want)
		}
	}
}
