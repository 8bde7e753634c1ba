package agent

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/tray"
	"lampblack/rules"
)

// A file name on Linux is bytes; the outcomes hold text. The menu must still know
// what was told of it.
func TestOutcomeOfANameThatIsNoText(t *testing.T) {
	dir, now := t.TempDir(), time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	e := journal.Entry{Path: "/to-print/caf\xe9\xe8.tif", Size: 1, ModTime: now, Report: &rules.Report{}}
	mustNot(t, TellOutcome(dir, now, e, rules.AsJudged, rules.AsJudged.Found()))
	outcomes, _, err := journal.ReadOutcomes(dir)
	if err != nil || len(outcomes) != 1 {
		t.Fatalf("%+v, %v", outcomes, err)
	}
	if o := outcomes[0]; journal.Identify(o.Path, o.Size, o.ModTime) != identityOf(e) {
		t.Errorf("told of %q, which is not %q", o.Path, e.Path)
	}
}

func TestDamagedOutcomesAreSaid(t *testing.T) {
	for text, want := range map[string]string{
		"":       "",
		"x\n":    "1 line among the outcomes is damaged and left out",
		"x\ny\n": "2 lines among the outcomes are damaged and left out",
	} {
		dir := t.TempDir()
		mustNot(t, os.WriteFile(filepath.Join(dir, "outcomes.jsonl"), []byte(text), 0o600))
		if _, note, err := ReadLearnt(dir); note != want || err != nil {
			t.Errorf("of %q it is said %q, %v; want %q", text, note, err, want)
		}
	}
}

// TestTakeBackOutcome: an outcome that a click told by a slip is taken back like all
// else, and what was told before counts again.
func TestTakeBackOutcome(t *testing.T) {
	l := testLoop(t, "")
	now := morning
	l.o.StateDir = t.TempDir()
	l.o.Now = func() time.Time { return now }
	report := &rules.Report{Purpose: rules.ForPrint}
	report.Prediction.Targets.Spread = &rules.Spread{}
	e := journal.Entry{Path: "/to-print/quay.tif", Size: 1, ModTime: morning.Add(-time.Hour), Report: report}
	l.voice.addPrint(e)
	tell := func(word rules.Outcome) {
		now = now.Add(time.Minute)
		l.onCommand(tray.Command{Kind: tray.TellOutcome, Print: printID(e), Outcome: word})
	}
	takeBack := func() {
		now = now.Add(time.Minute)
		l.onCommand(tray.Command{Kind: tray.TakeBack})
	}
	tell(rules.AsJudged)
	tell(rules.MuchDarker)
	if got, want := l.desk.justLogged(now), "quay.tif came out much darker"; got != want {
		t.Errorf("the menu offers to take back %q, want %q", got, want)
	}
	takeBack()
	if o := l.desk.told[identityOf(e)]; o.Word != rules.AsJudged || l.desk.profile.Learnt.Prints != 1 || l.desk.justLogged(now) != "" {
		t.Errorf("taken back, it came out %q, and %d prints teach; on offer is %q", o.Word, l.desk.profile.Learnt.Prints, l.desk.justLogged(now))
	}
	takeBack() // there is nothing more
	if o := l.desk.told[identityOf(e)]; o.Word != rules.AsJudged {
		t.Errorf("taken back twice, it came out %q", o.Word)
	}
	tell(rules.BitDarker)
	now = now.Add(10 * time.Minute)
	takeBack() // too late
	if o := l.desk.told[identityOf(e)]; o.Word != rules.BitDarker {
		t.Errorf("taken back too late, it came out %q", o.Word)
	}
}
