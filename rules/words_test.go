package rules

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// Whole sentences, as a person reads them.

func unmeasured(p *Profile) {
	p.Displays[0].White, p.Displays[0].Measured = Assume[Luminance](160), Assume(time.Time{})
}

// TestNotices is a table of whole notices on the quay, at one desk after another: they say
// what they said when they were last read. With -update they are written anew.
func TestNotices(t *testing.T) {
	var all strings.Builder
	for _, c := range []struct {
		desk    string
		changes []func(*Profile)
	}{
		{"everything right", nil},
		{"a bright screen", []func(*Profile){white(200)}},
		{"a screen turned up in a bright room", []func(*Profile){white(140), lux(180), notHeld}},
		{"a bright screen in the dark, on a dark grey, measured long ago", []func(*Profile){white(160), lux(14), around(0.05), measured(45)}},
		{"a black surround", []func(*Profile){around(0.003)}},
		{"hardly any light", []func(*Profile){lux(2)}},
		{"a white surround", []func(*Profile){around(0.95)}},
		{"no reading", []func(*Profile){room()}},
		{"an old reading", []func(*Profile){readAgo(48, 20*time.Hour)}},
		{"a bright room", []func(*Profile){lux(150)}},
		{"a screen measured long ago", []func(*Profile){measured(400)}},
		{"a screen at the end of its target", []func(*Profile){white(114)}},
		{"a screen just beyond its target", []func(*Profile){white(130)}},
		{"a bright screen that nobody measured", []func(*Profile){unmeasured}},
		{"a good screen that nobody measured", []func(*Profile){unmeasured, func(p *Profile) { p.Displays[0].White.Value = 100 }}},
	} {
		n := NoticeFor(evaluated(c.changes...))
		fmt.Fprintf(&all, "%s\n  %s\n  %s\n", upperFirst(c.desk), n.Title, n.Body)
	}
	golden(t, filepath.Join("testdata", "notices.txt"), all.String())
}

// TestDrabNotice: whatever is lost to speak of is named, or else what is lost most.
func TestDrabNotice(t *testing.T) {
	for _, c := range []struct {
		seen, left, colourful, contrast Figure
		want                            string
	}{
		{140, 91, 0.98, 1, "Likely drab: about 35 % of the fine detail in the shadows lost"},
		{84, 71, 0.925, 1.1, "Likely drab: about 7 % less colourful"},
		{84, 71, 0.925, 0.88, "Likely drab: about 12 % flatter"},
		{84, 71, 1, 0.88, "Likely drab: about 12 % flatter"},
		{140, 139, 0.9, 0.8, "Likely drab: about 20 % flatter"},
		{140, 139, 0.98, 0.88, "Likely drab: about 12 % flatter"},
		{140, 139, 0.89, 0.97, "Likely drab: about 11 % less colourful"},
		{140, 150, 0.89, Unknown, "Likely drab: about 11 % less colourful"},
		{140, 139, 0.99, 0.98, "Likely drab: about 2 % flatter"},
		{140, 91, Unknown, Unknown, "Likely drab: about 35 % of the fine detail in the shadows lost"},
		{140, 140, 1.02, 1.1, "Likely drab: colour, contrast or fine detail may be lost"},
		{5, 1, Unknown, Unknown, "Likely drab: colour, contrast or fine detail may be lost"},
	} {
		r := &Report{Verdict: Drab}
		r.Prediction.Steps = ShadowSteps{Screen: c.seen, AtTargets: c.left}
		r.Prediction.Targets.Colourfulness, r.Prediction.Targets.Contrast = c.colourful, c.contrast
		if got := Headline(r); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// TestDoubt has the reasons that are rare.
func TestDoubt(t *testing.T) {
	report := func(about string, conditions ...Condition) *Report {
		return &Report{Verdict: Unsure, Unsettled: about, Conditions: conditions}
	}
	none := Unknown
	for _, c := range []struct {
		report *Report
		want   string
	}{
		{report(ScreenLuminance, Condition{Name: CalibrationAge, AgeHours: none}), "it isn't known when the screen was calibrated"},
		{report(ScreenLuminance, Condition{Name: CalibrationAge, AgeHours: 24, InTarget: true}), "it is close, and depends on the screen's white"},
		{report(CalibrationAge, Condition{Name: CalibrationAge, AgeHours: 2400}), "the screen was calibrated 100 days ago"},
		{report(SurroundGrey, Condition{Name: SurroundGrey, InTarget: true}), "it is close, and depends on the editor's surround"},
		{report(""), "it is close"},
	} {
		if got := Headline(c.report); got != "Can't tell: "+c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestNoticeForMany(t *testing.T) {
	named := func(name string, changes ...func(*Profile)) *Report {
		r := evaluated(changes...)
		r.File = "/prints/" + name
		return r
	}
	unsure, dark, darker := named("a.tif", measured(400)), named("b.tif", white(160)), named("c.tif", white(300))
	if got := NoticeForMany([]*Report{dark}, 1); got != NoticeFor(dark) {
		t.Errorf("one export: %+v", got)
	}
	got := NoticeForMany([]*Report{unsure, darker, dark}, 7)
	if got.Title != Headline(darker) || !strings.HasPrefix(got.Body, "3 of 7 exports. Worst: c.tif. The screen's white is 300 cd/m²") {
		t.Errorf("seven exports: %+v", got)
	}
}

// TestBrokenProfile: a mistake becomes a sentence, and a question stays one.
func TestBrokenProfile(t *testing.T) {
	for mistake, body := range map[string]string{
		"lampblack.toml:3: room_lx is −5 lx":      "The previous version stays in use. lampblack.toml:3: room_lx is −5 lx",
		"lampblack.toml:3: did you mean room_lx?": "The previous version stays in use. lampblack.toml:3: did you mean room_lx?",
	} {
		if got := BrokenProfile(mistake); got.Title != "The profile has a mistake" || got.Body != body {
			t.Errorf("notice %+v", got)
		}
	}
}

func TestSummarise(t *testing.T) {
	p := tidemark(white(140), lux(180), notHeld, whitePointOf(7500), around(0.05), measured(45))
	c := Resolve(p, noon)
	got := Summarise(&c, p.Quiet, nil)
	want := []string{
		"The room is too bright: 180 lx, read at the screen less than a minute ago (target 16–64)",
		"The screen is too bright: probably 208 cd/m² (target 90–120); 140 cd/m² was measured, but it isn't held (held = false) in a bright room",
		"The white point is too cool: 7500 K (target 5600–6500)",
		"The calibration is due: 45 days old (target up to 30 days)",
		"The surround is too dark: 5 % of white (target 15–30 %)",
		"The screen's contrast is 900 : 1",
	}
	if !slices.Equal(got.Conditions, want) {
		t.Errorf("conditions\n%s\nwant\n%s", strings.Join(got.Conditions, "\n"), strings.Join(want, "\n"))
	}
	const all = "The room is too bright; the screen is too bright; the white point is too cool; the calibration is due; the surround is too dark"
	if got.Headline != all || got.Last.String() != "No export yet" {
		t.Errorf("headline %q, last %q", got.Headline, got.Last)
	}
	for headline, changes := range map[string][]func(*Profile){
		"The desk is as it should be":                                 nil,
		"The screen is too bright; the rest is as it should be":       {white(200)},
		"The room is too bright; the screen is too bright":            {white(200), lux(100)},
		"The desk is as it should be, as far as it has been measured": {room()},
	} {
		c := Resolve(tidemark(changes...), noon)
		if got := Summarise(&c, p.Quiet, evaluated()); got.Headline != headline || got.Last.String() != "quay.tif: should hold at your targets; at hall wall about ⅙ stop darker, and greys clearly warmer" {
			t.Errorf("headline %q, last %q; want %q", got.Headline, got.Last, headline)
		}
	}
	web := evaluated(white(200))
	web.Purpose = ForScreen
	if got := Summarise(&c, p.Quiet, web).Last.String(); got != "quay.tif: for the screen, not judged as a print" {
		t.Errorf("last %q", got)
	}
	c = Resolve(tidemark(readAgo(48, 30*24*time.Hour)), noon)
	stale := Summarise(&c, p.Quiet, nil)
	if stale.Headline != "The desk is as it should be, as far as it has been measured" ||
		stale.Conditions[2] != "The room light needs a new reading: the last was 48 lx, read at the screen 30 days ago (target 16–64)" {
		t.Errorf("an old reading: %q, %q", stale.Headline, stale.Conditions)
	}
	// A rough reading is rough; it is age that makes the room unknown.
	rough := tidemark(room(Reading{At: noon, Light: 48, Place: AtScreen, Sigma: 0.9}))
	c = Resolve(rough, noon.Add(12*time.Hour))
	if got := Summarise(&c, p.Quiet, nil).Conditions[2]; !strings.HasPrefix(got, "The room is right: 48 lx") {
		t.Errorf("a rough reading of three lives: %q", got)
	}
	c = Resolve(rough, noon.Add(12*time.Hour+time.Second))
	if got := Summarise(&c, p.Quiet, nil).Conditions[2]; !strings.HasPrefix(got, "The room light needs a new reading: the last was 48 lx") {
		t.Errorf("a reading of more than three lives: %q", got)
	}
	c = Resolve(tidemark(unmeasured, room()), noon)
	unknown := Summarise(&c, p.Quiet, nil).Conditions
	if unknown[0] != "The screen is assumed to be too bright: 160 cd/m² (target 90–120)" ||
		unknown[1] != "It isn't known when the screen was calibrated (target up to 30 days)" || unknown[3] != "The room is assumed to be right: 48 lx (target 16–64)" {
		t.Errorf("unmeasured: %q", unknown)
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{roughly(0.1), "less than ⅛ stop"}, {roughly(0.15), "about ⅙ stop"}, {roughly(0.25), "about ¼ stop"},
		{roughly(0.35), "about ⅓ stop"}, {roughly(0.5), "about ½ stop"}, {roughly(0.65), "about ⅔ stop"},
		{roughly(0.8), "about ¾ stop"}, {roughly(1), "about 1 stop"}, {roughly(1.2), "about 1.2 stops"}, {roughly(2.1), "about 2 stops"},
		{signed(0.44), "+0.4"}, {signed(-0.44), "−0.4"}, {signed(0.04), "0.0"}, {signed(-0.04), "0.0"},
		{percent(0.003), "0.3 %"}, {percent(0), "0 %"}, {percent(0.2), "20 %"}, {percent(1), "100 %"},
		{short(180), "180"}, {short(2.5), "2.5"}, {short(2), "2"}, {short(9.96), "10"},
		{plural(1, "day"), "1 day"}, {plural(0, "day"), "0 days"}, {plural(30, "day"), "30 days"},
		{span(20 * time.Second), "less than a minute"}, {span(50 * time.Minute), "50 min"}, {span(3 * time.Hour), "3 h"},
		{span(15 * 24 * time.Hour), "15 days"}, {span(-time.Hour), "less than a minute"},
		{halfWidth(Interval{Low: -0.2, High: 0.4}), "0.3"}, {halfWidth(Interval{}), "0.1"},
		{lowerFirst("Likely dark"), "likely dark"}, {lowerFirst(""), ""}, {upperFirst("ørland rag"), "Ørland rag"}, {lowerFirst("Ægir"), "ægir"},
		{upperFirst("\xffx"), "\xffx"},
		{inStops(0.24), "0.2 stop darker"}, {inStops(-1.3), "1.3 stops lighter"}, {inStops(-0.04), "as light as you saw it"}, {inStops(1), "1 stop darker"},
		{Chance(0), "less than 1 %"}, {Chance(0.0099), "less than 1 %"}, {Chance(0.01), "1 %"}, {Chance(0.99), "99 %"}, {Chance(1), "more than 99 %"},
		{fillIn("{a} and {b}", "a", "{b}", "b", 2), "{b} and 2"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// sayable fails on sentences that hold what no sentence should.
func sayable(t *testing.T, r *Report, c *Conditions, p *Profile) {
	t.Helper()
	n := NoticeFor(r)
	many := NoticeForMany([]*Report{r, r}, 3)
	s := Summarise(c, p.Quiet, r)
	sentences := append([]string{n.Title, n.Body, many.Title, many.Body, s.Headline, s.Last.String()}, s.Conditions...)
	for _, text := range append(sentences, Lines(r)...) {
		for _, bad := range []string{"NaN", "Inf", "%!", "{", "}", "  ", "−0.0", "+0.0", "()", "..", " ."} {
			if strings.Contains(strings.TrimSpace(text), bad) {
				t.Errorf("%q holds %q", text, bad)
			}
		}
		if text == "" || strings.HasSuffix(text, " ") || strings.HasSuffix(text, ":") {
			t.Errorf("%q is no whole sentence", text)
		}
	}
}

// TestRandomWords: whatever the desk, every sentence can be said.
func TestRandomWords(t *testing.T) {
	t.Parallel()
	r := seeded(51)
	seen := map[Verdict]int{}
	for range 240 {
		p := randomDesk(r)
		switch r.IntN(10) {
		case 0:
			p = tidemark()
		case 1:
			p = tidemark(white(50))
		}
		if r.IntN(5) == 0 {
			p.Readings = nil
		}
		if r.IntN(5) == 0 {
			unmeasured(p)
		}
		report := Evaluate(p, exportOf(randomPicture(r)), noon)
		c := Resolve(p, noon)
		sayable(t, report, &c, p)
		seen[report.Verdict]++
	}
	for _, v := range []Verdict{Holds, Darker, Lighter, Drab, Unsure} {
		if seen[v] == 0 {
			t.Errorf("none of the reports was %q: %v", v, seen)
		}
	}
}

func TestSigned(t *testing.T) {
	for v, want := range map[Figure]string{0.46: "+0.5", -0.26: "−0.3", 0.01: "0.0", Figure(math.Inf(1)): "–"} {
		if got := Signed(v); got != want {
			t.Errorf("%g is told as %q, want %q", float64(v), got, want)
		}
	}
	if got := Signed(Unknown); got != "–" {
		t.Errorf("no figure is told as %q", got)
	}
}

// TestPerhapsOfWhatIsRight: what is in its target is no reason for a verdict, even where setting it
// would help.
func TestPerhapsOfWhatIsRight(t *testing.T) {
	r := evaluated(white(130))
	if got := Headline(r); got != "Perhaps dark: the screen is too bright" {
		t.Errorf("%q", got)
	}
	r.Main = WhitePoint
	if got := Headline(r); got != "Perhaps dark: it is close" {
		t.Errorf("of what is right: %q", got)
	}
	r.Prediction.Targets.Spread.Drab, r.Prediction.Targets.Spread.Darker = 1, 0
	if got := Headline(r); got != "Perhaps drab: "+losses(r) {
		t.Errorf("drab: %q", got)
	}
}
