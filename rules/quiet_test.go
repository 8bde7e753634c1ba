package rules

import (
	"testing"
	"time"
)

func TestDecide(t *testing.T) {
	ago := func(d time.Duration) time.Time { return noon.Add(-d) }
	dark := &Report{Purpose: ForPrint, Verdict: Darker, Main: ScreenLuminance}
	unsure := &Report{Purpose: ForPrint, Verdict: Unsure, Unsettled: RoomLight}
	leaning := func(darker, lighter float64, far string) *Report {
		s := &Spread{Darker: darker, Lighter: lighter}
		return &Report{Purpose: ForPrint, Verdict: Unsure, Unsettled: RoomLight, Prediction: Prediction{Targets: Against{Spread: s}}, far: far}
	}
	tooBright := &Report{Purpose: ForPrint, Verdict: Unsure, Unsettled: RoomLight, far: RoomLight,
		Conditions: []Condition{{Name: RoomLight, Value: 400, Target: [2]Figure{16, 64}}}}
	holds := &Report{Purpose: ForPrint, Verdict: Holds}
	lighter := &Report{Purpose: ForPrint, Verdict: Lighter}
	screen := &Report{Purpose: ForScreen, Verdict: Darker, Main: ScreenLuminance}
	said := func(v Verdict, about string, age time.Duration) History {
		return History{Said: []Said{{ago(age), v, about}}}
	}
	for _, c := range []struct {
		name    string
		report  *Report
		history History
		want    Sentence
	}{
		{"dark, and nothing said yet", dark, History{}, Sentence{}},
		{"for the screen", screen, History{}, Sentence{SilenceForScreen, "the folder is for the screen"}},
		{"holds", holds, History{}, Sentence{SilenceNoWarning, "nothing to warn of"}},
		{"lighter", lighter, History{}, Sentence{SilenceNoWarning, "nothing to warn of"}},
		{"resting", dark, History{RestUntil: noon.Add(time.Second)}, Sentence{SilenceResting, "resting"}},
		{"rest just over", dark, History{RestUntil: noon}, Sentence{}},
		{"rest long over", dark, History{RestUntil: ago(time.Hour)}, Sentence{}},
		{"for the screen before resting", screen, History{RestUntil: noon.Add(time.Hour)}, Sentence{SilenceForScreen, "the folder is for the screen"}},
		{"said within the gap", dark, said(Darker, ScreenLuminance, 19*time.Minute), Sentence{SilenceSaid, "said 19 min ago about the same cause"}},
		{"gap over", dark, said(Darker, ScreenLuminance, 20*time.Minute), Sentence{}},
		{"said about another cause", dark, said(Darker, RoomLight, time.Minute), Sentence{}},
		{"another verdict of the same cause", dark, said(Drab, ScreenLuminance, time.Minute), Sentence{}},
		{"asked for the reading this morning", unsure, said(Unsure, RoomLight, 3*time.Hour), Sentence{SilenceSaid, "said 3 h ago about the same cause"}},
		{"asked yesterday", unsure, said(Unsure, RoomLight, unsureGap), Sentence{}},
		{"asked for something else", unsure, said(Unsure, ScreenLuminance, time.Hour), Sentence{}},
		{"dark right after asking", dark, said(Unsure, RoomLight, time.Minute), Sentence{}},
		{"told of a bright room this morning", tooBright, said(Unsure, RoomLight, 5*time.Hour), Sentence{SilenceSaid, "said 5 h ago about the same cause"}},
		{"told of a bright room yesterday", tooBright, said(Unsure, RoomLight, unsureGap), Sentence{}},
		{"may be light", leaning(0.1, 0.5, ""), History{}, Sentence{SilencePerhapsLight, "it may come out light, which is never warned of"}},
		{"may be dark", leaning(0.5, 0.1, ""), History{}, Sentence{}},
		{"may be light in a room too bright to judge in", leaning(0.1, 0.5, RoomLight), History{}, Sentence{}},
		{"the older notice counts too", dark, History{Said: []Said{
			{ago(10 * time.Minute), Darker, ScreenLuminance}, {ago(time.Minute), Unsure, RoomLight}}}, Sentence{SilenceSaid, "said 10 min ago about the same cause"}},
	} {
		if got := Decide(c.report, tidemark().Quiet, c.history, noon); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestAbout(t *testing.T) {
	for _, c := range []struct {
		report Report
		want   string
	}{
		{Report{Verdict: Darker, Main: ScreenLuminance}, ScreenLuminance},
		{Report{Verdict: Unsure, Unsettled: CalibrationAge}, CalibrationAge},
		{Report{Verdict: Darker}, ""},
	} {
		if got := c.report.About(); got != c.want {
			t.Errorf("%s: about %q, want %q", c.report.Verdict, got, c.want)
		}
	}
}
