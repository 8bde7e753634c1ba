package rules

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"
)

// Whole sentences, as a person reads them.

func unmeasured(p *Profile) {
	p.Displays[0].White, p.Displays[0].Measured = Assume[Luminance](160), Assume(time.Time{})
}

// TestNotices is a table of whole notices on the quay, at one desk after another.
func TestNotices(t *testing.T) {
	for _, c := range []struct {
		changes     []func(*Profile)
		title, body string
	}{
		{nil,
			"Should hold: as at your targets (±0.1 stop)",
			"quay.tif."},
		{[]func(*Profile){white(200)},
			"Likely dark: about ¾ stop in the shadows (±0.1)",
			"quay.tif. The screen's white is 200 cd/m² (target 90–120). Set the screen's white to about 95 cd/m², or lift this file by +0.8."},
		{[]func(*Profile){white(140), lux(180), notHeld},
			"Likely dark: about ⅓ stop (±0.1)",
			"quay.tif. The screen's white is probably 208 cd/m² (target 90–120). Set the screen's white to about 103 cd/m² and hold it there, or lift this file by +0.4."},
		{[]func(*Profile){white(160), lux(14), around(0.05), measured(45)},
			"Likely dark: about 1.2 stops in the shadows (±0.1)",
			"quay.tif. The screen's white is 160 cd/m² (target 90–120). Set the screen's white to about 90 cd/m², which leaves about +0.5 stop, or lift this file by +1.0."},
		{[]func(*Profile){around(0.003)},
			"Likely dark: about ⅓ stop in the shadows (±0.1)",
			"quay.tif. The surround is 0.3 % of white (target 15–30 %). Set the editor's surround to a grey of about 20 % of white (sRGB 124, L* 52), or lift this file by +0.2."},
		{[]func(*Profile){lux(2)},
			"Likely dark: about 1 stop in the shadows (±0.1)",
			"quay.tif. The room is 2 lx (target 16–64). Bring the room light up to about 48 lx at the screen, or lift this file by +0.8. Lamps get hot: use the switch or dimmer."},
		{[]func(*Profile){around(0.95)},
			"Likely light: about 1 stop in the shadows (±0.1)",
			"quay.tif. The surround is 95 % of white (target 15–30 %). Set the editor's surround to a grey of about 20 % of white (sRGB 124, L* 52), or lower this file by 0.6."},
		{[]func(*Profile){room()},
			"Can't tell: there is no reading of the room light",
			"quay.tif. The room is assumed to be 48 lx. Log the room light: up to 64 lx at the screen is good."},
		{[]func(*Profile){readAgo(48, 20*time.Hour)},
			"Can't tell: the last reading of the room light is 20 h old",
			"quay.tif. The room is 48 lx. Log the room light again: up to 64 lx at the screen is good."},
		{[]func(*Profile){lux(150)},
			"Can't tell: the room is too bright to judge a print in",
			"quay.tif. The room is 150 lx (target 16–64). Dim the room light below 64 lx at the screen, then look at the picture again. Lamps get hot: use the switch or dimmer."},
		{[]func(*Profile){measured(400)},
			"Can't tell: the screen was measured 400 days ago",
			"quay.tif. Measure the screen's white again, and note the day in the profile."},
		{[]func(*Profile){white(114)},
			"Should hold: +0.2 stop off your targets (±0.1)",
			"quay.tif."},
		{[]func(*Profile){white(128)},
			"Can't tell: it is close",
			"quay.tif. The screen's white is 128 cd/m² (target 90–120). Set the screen's white to about 95 cd/m², or lift this file by +0.3."},
		{[]func(*Profile){unmeasured},
			"Likely dark: about ½ stop in the shadows (±0.3)",
			"quay.tif. The screen's white is assumed to be 160 cd/m² (target 90–120). Set the screen's white to about 95 cd/m², or lift this file by +0.5."},
		{[]func(*Profile){unmeasured, func(p *Profile) { p.Displays[0].White.Value = 100 }},
			"Can't tell: nobody has measured the screen",
			"quay.tif. Measure the screen's white again, and note the day in the profile."},
	} {
		got := NoticeFor(evaluated(c.changes...))
		if got.Title != c.title {
			t.Errorf("title\n  %s\nwant\n  %s", got.Title, c.title)
		}
		if got.Body != c.body {
			t.Errorf("%s: body\n  %s\nwant\n  %s", got.Title, got.Body, c.body)
		}
	}
}

// TestDrabNotice: whatever is lost to speak of is named, or else what is lost most.
func TestDrabNotice(t *testing.T) {
	for _, c := range []struct {
		seen, left, colourful Figure
		want                  string
	}{
		{140, 91, 0.98, "Likely drab: about 35 % of the shadow steps lost"},
		{84, 71, 0.925, "Likely drab: about 7 % less colourful and 15 % of the shadow steps lost"},
		{140, 139, 0.89, "Likely drab: about 11 % less colourful"},
		{140, 150, 0.89, "Likely drab: about 11 % less colourful"},
		{140, 91, Unknown, "Likely drab: about 35 % of the shadow steps lost"},
		{140, 140, 1.02, "Likely drab: shadow steps or colours may be lost"},
		{5, 1, Unknown, "Likely drab: shadow steps or colours may be lost"},
	} {
		r := &Report{Verdict: Drab}
		r.Prediction.Steps = ShadowSteps{Screen: c.seen, AtTargets: c.left}
		r.Prediction.Targets.Colourfulness = c.colourful
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
		{report(ScreenLuminance, Condition{Name: CalibrationAge, AgeHours: none}), "nobody has said when the screen was measured"},
		{report(ScreenLuminance, Condition{Name: CalibrationAge, AgeHours: 24, InTarget: true}), "it is close, and hangs on the screen's white"},
		{report(CalibrationAge, Condition{Name: CalibrationAge, AgeHours: 2400}), "the screen was measured 100 days ago"},
		{report(SurroundGrey, Condition{Name: SurroundGrey, InTarget: true}), "it is close, and hangs on the editor's surround"},
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
		"lampblack.toml:3: room_lx is −5 lx":      "lampblack.toml:3: room_lx is −5 lx. The last good one stays in force.",
		"lampblack.toml:3: did you mean room_lx?": "lampblack.toml:3: did you mean room_lx? The last good one stays in force.",
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
		"The screen is too bright: probably 208 cd/m² (target 90–120); 140 cd/m² measured, but not held (held = false) in a bright room",
		"The white point is too cool: 7500 K (target 5600–6500)",
		"The calibration is due: 45 days old (target up to 30 days)",
		"The surround is too dark: 5 % of white (target 15–30 %)",
		"The screen's contrast is 900 : 1",
	}
	if !slices.Equal(got.Conditions, want) {
		t.Errorf("conditions\n%s\nwant\n%s", strings.Join(got.Conditions, "\n"), strings.Join(want, "\n"))
	}
	const all = "The room is too bright, the screen too bright, the white point too cool, the calibration due and the surround too dark"
	if got.Headline != all || got.Last != "No export yet" {
		t.Errorf("headline %q, last %q", got.Headline, got.Last)
	}
	for headline, changes := range map[string][]func(*Profile){
		"The desk is as it should be":                                nil,
		"The screen is too bright, the rest as it should be":         {white(200)},
		"The room is too bright and the screen too bright":           {white(200), lux(100)},
		"As far as anyone has measured, the desk is as it should be": {room()},
	} {
		c := Resolve(tidemark(changes...), noon)
		if got := Summarise(&c, p.Quiet, evaluated()); got.Headline != headline || got.Last != "quay.tif: should hold: as at your targets (±0.1 stop)" {
			t.Errorf("headline %q, last %q; want %q", got.Headline, got.Last, headline)
		}
	}
	web := evaluated(white(200))
	web.Purpose = ForScreen
	if got := Summarise(&c, p.Quiet, web).Last; got != "quay.tif: for the screen, not judged as a print" {
		t.Errorf("last %q", got)
	}
	c = Resolve(tidemark(readAgo(48, 30*24*time.Hour)), noon)
	stale := Summarise(&c, p.Quiet, nil)
	if stale.Headline != "As far as anyone has measured, the desk is as it should be" ||
		stale.Conditions[2] != "The room is not known any more: 48 lx, read at the screen 30 days ago (target 16–64)" {
		t.Errorf("an old reading: %q, %q", stale.Headline, stale.Conditions)
	}
	// A rough reading is rough; it is age that makes the room unknown.
	rough := tidemark(room(Reading{At: noon, Light: 48, Place: AtScreen, Sigma: 0.9}))
	c = Resolve(rough, noon.Add(12*time.Hour))
	if got := Summarise(&c, p.Quiet, nil).Conditions[2]; !strings.HasPrefix(got, "The room is right: 48 lx") {
		t.Errorf("a rough reading of three lives: %q", got)
	}
	c = Resolve(rough, noon.Add(12*time.Hour+time.Second))
	if got := Summarise(&c, p.Quiet, nil).Conditions[2]; !strings.HasPrefix(got, "The room is not known any more: 48 lx") {
		t.Errorf("a reading of more than three lives: %q", got)
	}
	c = Resolve(tidemark(unmeasured, room()), noon)
	unknown := Summarise(&c, p.Quiet, nil).Conditions
	if unknown[0] != "The screen is too bright: assumed to be 160 cd/m² (target 90–120)" ||
		unknown[1] != "The calibration is of unknown age (target up to 30 days)" || unknown[3] != "The room is assumed right: 48 lx (target 16–64)" {
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
		{lowerFirst("Likely dark"), "likely dark"}, {lowerFirst(""), ""},
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
	sentences := append([]string{n.Title, n.Body, many.Title, many.Body, s.Headline, s.Last}, s.Conditions...)
	for _, text := range append(sentences, Lines(r)...) {
		for _, bad := range []string{"NaN", "Inf", "%!", "  ", "−0.0", "+0.0", "()", "..", " ."} {
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
