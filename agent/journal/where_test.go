package journal

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"lampblack/config"
	"lampblack/rules"
)

// bare reads the numbers of the tests, of which "two" may be either 2 or 2.000.
func bare(text string) (v float64, ways []string, ok bool) {
	if text == "two" {
		return 0, []string{"2000", "2.000"}, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, nil, err == nil
}

func TestWhere(t *testing.T) {
	e := judged(1, "/a", rules.Holds, 100) // 160 of everything else
	e.Report.Conditions[1].Assumed = true
	for text, want := range map[string]bool{
		"room>100": false, "room>=100": true, "room<100": false, "room<=100": true, "room=100": true, "room!=100": false,
		"room > 99.5": true, " Room Light>99 lx ": true, "room<1e3lux": true, "r=100": true,
		"screen=160 cd/m²": true, "screen luminance < 161cd/m2": true, "white point=160K": true,
		"surround>15999%": true, "surround>16000%": false, "calibration>159 days": true,
		"room=out": true, "room != out": false, "room=in": false, "white=assumed": true, "white=MEASURED": false, "room=measured": true,
	} {
		w, err := ParseWhere(text, bare)
		must(t, err)
		if got := w.Holds(e); got != want {
			t.Errorf("%q holds = %v, want %v", text, got, want)
		}
	}
	for text, value := range map[string]rules.Figure{
		"room=48": 48.4, "room=4.5": 4.46, "white point=6000 K": 6003.7, "calibration=3 days": 3.9, "calibration<=3": 3.9,
		"surround=20 %": 0.2034, "surround=5%": 0.054, "surround=0.2": 0.2, "surround=0.3%": 0.003, "room=48.37": 48.37,
	} {
		w := where(t, text)
		as := judged(1, "/a", rules.Holds, value)
		for i := range as.Report.Conditions {
			as.Report.Conditions[i].Value = value
		}
		unlike := w
		if unlike.sign = "!="; !w.Holds(as) || unlike.Holds(as) {
			t.Errorf("%q doesn't hold of %v, which is shown so", text, value)
		}
	}
	unread := entry(2)
	lacks := judged(3, "/a", rules.Holds, 100)
	lacks.Report.Conditions = nil
	for _, text := range []string{"room<1000", "room!=5", "room=out", "room!=out"} {
		if w := where(t, text); w.Holds(unread) || w.Holds(lacks) {
			t.Errorf("%q holds of an export that has no such condition", text)
		}
	}
	unknown := judged(4, "/a", rules.Holds, rules.Unknown)
	for _, text := range []string{"room<1000", "room!=5", "room>=0"} {
		if where(t, text).Holds(unknown) {
			t.Errorf("%q holds of an unknown light", text)
		}
	}
}

func TestWhereMistakes(t *testing.T) {
	for text, want := range map[string]string{
		"room":        `there is no comparison in "room": write it like "room > 100", "screen <= 120" or "room = out", in quotes`,
		"":            `there is no comparison in ""`,
		"rom>100":     `"rom" is no condition: they are screen luminance, white point, room light, surround, calibration age`,
		">100":        `"" is no condition`,
		"s>1":         `"s" is the beginning of several conditions`,
		"room!100":    `there is no comparison in "room!100": it is one of <= >= != < > =`,
		"room>bright": `"bright" is not a number in lx: write it like`,
		"room>":       `"" is not a number in lx`,
		"room>10 K":   `"10 k" is not a number in lx`,
		"room>two lx": `"two lx": write it 2000 or 2.000`,
		"room>nan":    `"nan" is not a number in lx`,
		"room>1e999":  `"1e999" is not a number`,
		"room>out":    `"out" is no number: with out only = and != make sense`,
		"room=>100":   `">100" is not a number`,
		"surround>10": `"10" is no surround, whose white is 1: write it like "surround > 10 %"`,
	} {
		if _, err := ParseWhere(text, bare); err == nil || !strings.HasPrefix(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

// TestWhereShort: a short name is of one condition, whatever others begin with it; the
// whole name is, too.
func TestWhereShort(t *testing.T) {
	for text, want := range map[string]string{
		"screen>1": rules.ScreenLuminance, "SCREEN luminance>1": rules.ScreenLuminance, "surround=in": rules.SurroundGrey,
		"screen contrast > 500": rules.ScreenContrast, "screen c=900:1": rules.ScreenContrast, "screen c < 900 : 1": rules.ScreenContrast,
	} {
		if w, err := ParseWhere(text, bare); err != nil || w.name != want {
			t.Errorf("%q is about %q, %v; want %q", text, w.name, err, want)
		}
	}
}

// FuzzWhere: whatever is demanded, the answer is a demand that can be put to any
// entry, or one sentence. Space around a sign changes nothing.
func FuzzWhere(f *testing.F) {
	for _, text := range []string{"room>100", "room light <= 64 lx", "surround!=20%", "screen = out", "white=assumed", "room", "=", "s<1", "room>>1", "calibration\n>\t1e9day"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		w, err := ParseWhere(text, bare)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\r") {
				t.Errorf("%q: more than a line: %v", text, err)
			}
			return
		}
		spaced, err := ParseWhere("  "+strings.Replace(text, w.sign, " "+w.sign+" ", 1), bare)
		if err != nil || spaced != w {
			t.Errorf("%q gives %+v, with space %+v, %v", text, w, spaced, err)
		}
		w.Holds(entry(1))
		w.Holds(judged(1, "/a", rules.Holds, rules.Figure(w.value)))
	})
}

// TestEveryConditionCanBeNamed: whoever adds a condition is told here.
func TestEveryConditionCanBeNamed(t *testing.T) {
	for _, c := range rules.Resolve(config.Default(), time.Now()).List {
		if w, err := ParseWhere(c.Name+" = in", bare); err != nil || w.name != c.Name {
			t.Errorf("%q can't be named: %v", c.Name, err)
		}
	}
}
