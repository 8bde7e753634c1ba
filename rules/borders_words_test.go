package rules

import (
	"strings"
	"testing"
	"time"
)

// Words at the borders of their numbers: each row is what a person would read there.

func TestRoughlyAtItsEdges(t *testing.T) {
	for _, c := range []struct {
		stops float64
		want  string
	}{
		{0, "less than ⅛ stop"}, {0.12, "less than ⅛ stop"}, {0.13, "about ⅙ stop"}, {0.19, "about ⅙ stop"},
		{0.21, "about ¼ stop"}, {0.28, "about ¼ stop"}, {0.3, "about ⅓ stop"}, {0.41, "about ⅓ stop"},
		{0.43, "about ½ stop"}, {0.57, "about ½ stop"}, {0.59, "about ⅔ stop"}, {0.69, "about ⅔ stop"},
		{0.71, "about ¾ stop"}, {0.86, "about ¾ stop"}, {0.88, "about 1 stop"}, {1.14, "about 1 stop"},
		{1.5, "about 1.5 stops"}, {1.9, "about 2 stops"}, {3.05, "about 3 stops"},
	} {
		if got := roughly(c.stops); got != c.want {
			t.Errorf("%g: %q, want %q", c.stops, got, c.want)
		}
	}
}

func TestNumbersAtTheirEdges(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{signed(0.04), "0.0"}, {signed(-0.04), "0.0"}, {signed(0.26), "+0.3"}, {signed(-1.5), "−1.5"},
		{stopsText(1.04), "1 stop"}, {stopsText(1.1), "1.1 stops"}, {stopsText(-0.3), "0.3 stop"},
		{inStops(0.04), "as light as you saw it"}, {inStops(0.3), "0.3 stop darker"}, {inStops(-1.5), "1.5 stops lighter"},
		{percent(0), "0 %"}, {percent(0.004), "0.4 %"}, {percent(0.005), "0.5 %"}, {percent(0.006), "1 %"}, {percent(0.124), "12 %"}, {percent(1.5), "150 %"},
		{about(99.6), "100"}, {about(104), "100"}, {about(106), "110"}, {about(7.25), "7.2"},
		{plural(1, "print"), "1 print"}, {plural(2, "print"), "2 prints"}, {plural(0.5, "day"), "0.5 days"},
		{roundOff(0.96), "1"}, {roundOff(1.4), "1"}, {roundOff(0.34), "0.3"},
		{short(9.96), "10"}, {short(10.4), "10"}, {short(-0.04), "0"},
		{twentieths(0.01), "0.05"}, {twentieths(0.34), "0.35"}, {twentieths(0.31), "0.3"}, {twentieths(1), "1.0"},
		{upperFirst("åpent"), "Åpent"}, {lowerFirst("Åpent"), "åpent"}, {upperFirst(""), ""},
		{shutter(1.0 / 125), "1/125 s"}, {shutter(0.25), "1/4 s"}, {shutter(0.3), "0.3 s"}, {shutter(2), "2 s"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

func TestSpanAtItsEdges(t *testing.T) {
	for _, c := range []struct {
		d    time.Duration
		want string
	}{
		{0, "less than a minute"}, {59 * time.Second, "less than a minute"}, {time.Minute, "1 min"}, {89 * time.Minute, "89 min"},
		{100 * time.Minute, "2 h"}, {35 * time.Hour, "35 h"}, {37 * time.Hour, "2 days"}, {47 * 24 * time.Hour, "47 days"},
	} {
		if got := span(c.d); got != c.want {
			t.Errorf("%v: %q, want %q", c.d, got, c.want)
		}
	}
}

func TestOutcomesInWords(t *testing.T) {
	for _, c := range []struct {
		word  Outcome
		found Figure
		want  string
	}{
		{AsJudged, Unknown, "as judged on the screen"}, {BitDarker, 2, "a bit darker"}, {DrabPrint, Unknown, "drab"},
		{"", 0.004, "as judged on the screen"}, {"", -0.004, "as judged on the screen"}, {"", 0.006, "0.01 stop darker"},
		{"", 0.256, "0.26 stop darker"}, {"", -0.5, "0.5 stop lighter"}, {"", 0.75, "0.75 stop darker"},
	} {
		if got := OutcomeText(c.word, c.found); got != c.want {
			t.Errorf("%q, %v: %q, want %q", c.word, c.found, got, c.want)
		}
	}
}

// Grey of a fifth of white is sRGB 124 and L* 52, by hand: 255·(1.055·0.2^(1/2.4) − 0.055)
// and 116·0.2^(1/3) − 16.
func TestCheckSurroundText(t *testing.T) {
	const want = "Check that the editor's surround is a grey of 20 % of white (sRGB 124, L* 52), and note it."
	if got := checkSurroundText(0.2); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// The age of a reading is the reason from an hour on.
func TestDoubtOfRoomByAge(t *testing.T) {
	for _, c := range []struct {
		c    Condition
		want string
	}{
		{Condition{Assumed: true, AgeHours: 5}, "there is no reading of the room light"},
		{Condition{AgeHours: 0.9}, "it is close, and depends on the room light"},
		{Condition{AgeHours: 1}, "the last reading of the room light is 60 min old"},
		{Condition{AgeHours: 1.2}, "the last reading of the room light is 72 min old"},
	} {
		if got := doubtOfRoom(&Report{}, c.c); got != c.want {
			t.Errorf("%+v: %q, want %q", c.c, got, c.want)
		}
	}
}

// A sheet at half of 18 % is log2(½)/1.25 = 0.8 stop darker than a meter means it, at
// twice that as much brighter.
func TestLevelLines(t *testing.T) {
	for _, c := range []struct {
		level, evenness Figure
		lines           int
		says            string
	}{
		{0.09, 0.1, 1, "came out at 9 % of the picture's white, and a metered sheet comes out at 18 % (ISO 12232): by a camera's usual curve that is 0.8 stop darker"},
		{0.36, 0.1, 1, "that is 0.8 stop brighter"},
		{0.18, 0.1, 1, "as the meter meant it"},
		{0.185, 0.25, 1, "as the meter meant it"},
		{0.18, 0.26, 2, "as the meter meant it"},
		{0.18, 0.5, 2, "It isn't even (± 0.5 stop)"},
		{Unknown, Unknown, 1, "is not known, so the meter is believed"},
	} {
		got := Metered{Level: c.level, Evenness: c.evenness}.levelLines()
		if len(got) != c.lines || !strings.Contains(strings.Join(got, "\n"), c.says) {
			t.Errorf("level %v, evenness %v: %q, want %q", c.level, c.evenness, got, c.says)
		}
	}
}

// A picture fits into a size whichever of its sides is told first.
func TestFittedPPI(t *testing.T) {
	pic := &Picture{Width: 6000, Height: 4000}
	for _, size := range [][2]float64{{30, 40}, {40, 30}} {
		near(t, "ppi", fittedPPI(pic, size), 2.54*150, 1e-9) // the long side of 40 cm decides
	}
	for _, size := range [][2]float64{{20, 40}, {40, 20}} {
		near(t, "ppi", fittedPPI(pic, size), 2.54*200, 1e-9) // the short one of 20 cm
	}
}

func TestSurroundsByEye(t *testing.T) {
	want := map[string]float64{"black": 0.003, "dark grey": 0.05, "mid grey": 0.20, "light grey": 0.50, "white": 0.95}
	names := SurroundNames()
	if strings.Join(names, ", ") != "black, dark grey, mid grey, light grey, white" {
		t.Errorf("%q", names)
	}
	for name, y := range want {
		if got, ok := SurroundNamed(name); got != y || !ok {
			t.Errorf("%s: %v, %v", name, got, ok)
		}
	}
	if y, ok := SurroundNamed("grey"); ok || y != 0 {
		t.Errorf("a grey of no name is %v", y)
	}
}

// The ends of what is always in view are among the ticks, so that they can be read; a
// white point's lie between its round thousands.
func TestScalesEndAtTicks(t *testing.T) {
	for _, k := range catalogue {
		if k.scale == nil || k.name == WhitePoint {
			continue
		}
		found := map[float64]bool{}
		for _, v := range k.scale.Ticks {
			found[v] = true
		}
		if !found[k.scale.From] || !found[k.scale.To] {
			t.Errorf("%s: %g to %g aren't among %v", k.name, k.scale.From, k.scale.To, k.scale.Ticks)
		}
	}
}
