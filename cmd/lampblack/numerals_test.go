package main

import (
	"strings"
	"testing"
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
		{luxFigure, "1,500", "is not a number of lux"}, {luxFigure, "90%", "is not a number of lux"}, {luxFigure, "", `"" is not`},
		{luxFigure, "-3", "-3 is not a room light"}, {kelvinFigure, "48 lx", "is not a colour temperature in kelvin like 4000"},
		{shareFigure, "101%", "101% is not what a sheet reflects"}, {relativeFigure, "NaN", "is not a relative luminance like"},
		{relativeFigure, "inf", "is not a relative"}, {stopsFigure, "5", "5 is not a number of stops between -4 and 4"},
	} {
		if got, err := c.of.read(c.text); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q is %v, %v; want an error with %q", c.text, got, err, c.want)
		}
	}
}

func TestLonghand(t *testing.T) {
	for v, want := range map[float64]string{48: "48", 1.5: "1.5", 200000: "200000", 1e8: "100 000 000", 1234567.5: "1 234 567.5"} {
		if got := longhand(v); got != want {
			t.Errorf("%g is %q, want %q", v, got, want)
		}
	}
}
