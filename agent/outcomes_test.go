package agent

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/tray"
	"lampblack/config"
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
	if o := outcomes[0]; o.Identity() != e.Identity() {
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
		if _, note, err := ReadLearnt(dir, config.Default()); note != want || err != nil {
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
	report := &rules.Report{Purpose: rules.ForPrint, Prediction: rules.Prediction{Targets: rules.Against{Spread: &rules.Spread{}}}}
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
	if o := l.desk.told[e.Identity()]; o.Word != rules.AsJudged || l.desk.profile.Learnt.Prints != 1 || l.desk.justLogged(now) != "" {
		t.Errorf("taken back, it came out %q, and %d prints teach; on offer is %q", o.Word, l.desk.profile.Learnt.Prints, l.desk.justLogged(now))
	}
	takeBack() // there is nothing more
	if o := l.desk.told[e.Identity()]; o.Word != rules.AsJudged {
		t.Errorf("taken back twice, it came out %q", o.Word)
	}
	tell(rules.BitDarker)
	now = now.Add(10 * time.Minute)
	takeBack() // too late
	if o := l.desk.told[e.Identity()]; o.Word != rules.BitDarker {
		t.Errorf("taken back too late, it came out %q", o.Word)
	}
}

// olderJournal is a journal of the first version, word for word: entries whose reports
// know no parts of a prediction, and outcomes that repeat only the whole of it. One of
// the three has no entry any more, and of one the entry kept no luminance.
func olderJournal(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	entry := func(name, conditions string) string {
		return `{"v":1,"at":"2025-11-03T10:00:01Z","path":"/to-print/` + name + `","size":5,"mtime":"2025-11-03T10:00:00Z","report":{"file":"/to-print/` + name +
			`","purpose":"print","conditions":[` + conditions + `],"prediction":{"targets":{"shift_stops":{"whole":0.5}}},"verdict":"darker"},"silence":""}` + "\n"
	}
	outcome := func(name string) string {
		return `{"v":1,"at":"2025-11-04T10:00:00Z","path":"/to-print/` + name + `","size":5,"mtime":"2025-11-03T10:00:00Z","predicted_stops":0.5,"outcome":"a bit darker","found_stops":0.25}` + "\n"
	}
	mustNot(t, os.WriteFile(filepath.Join(dir, "journal-2025.jsonl"), []byte(
		entry("quay.tif", `{"name":"screen luminance","value":190,"unit":"cd/m²"}`)+entry("fog.tif", `{"name":"room light","value":48,"unit":"lx"}`)), 0o600))
	mustNot(t, os.WriteFile(filepath.Join(dir, "outcomes.jsonl"), []byte(outcome("quay.tif")+outcome("fog.tif")+outcome("gone.tif")), 0o600))
	return dir
}

// TestOlderOutcomes: an outcome of the first version teaches by the screen's luminance that
// its entry kept, over the reference of the profile as it is now, with that version's part
// of the white taken off; one without an entry, or whose entry kept none, teaches nothing.
func TestOlderOutcomes(t *testing.T) {
	dir, p := olderJournal(t), config.Default()
	outcomes, _, err := readOutcomes(dir)
	if err != nil || len(outcomes) != 3 {
		t.Fatalf("%+v, %v", outcomes, err)
	}
	for reference, change := range map[rules.Luminance]float64{95: 1, 190: 0} {
		p.Target.ReferenceWhite = reference
		got := olderWhites{}.judged(dir, p, outcomes)
		if len(got) != 1 || math.Abs(float64(got[0].White)-change) > 1e-12 || math.Abs(float64(got[0].Tone)-(0.5-0.35*change)) > 1e-12 || got[0].Found != 0.25 {
			t.Errorf("with a reference of %v the pairs are %+v", reference, got)
		}
		if l, note, err := ReadLearnt(dir, p); l.Prints != 1 || note != "" || err != nil {
			t.Errorf("learnt from %d prints, %q, %v", l.Prints, note, err)
		}
	}
	tellOlder := journal.Entry{Path: "/to-print/quay.tif", Size: 5, ModTime: outcomes[0].ModTime}
	found, err := journal.FindAll(dir, map[journal.Identity]bool{tellOlder.Identity(): true})
	mustNot(t, err)
	if o := asOutcome(found[tellOlder.Identity()], morning, rules.AsJudged, 0); !o.Lacks() {
		t.Errorf("an outcome told today of an entry of then takes it for one whose white was right: %+v", o)
	}
}

// TestOlderOutcomesAreLookedUpOnce: what the journal has told is remembered, and what it
// lacks as well.
func TestOlderOutcomesAreLookedUpOnce(t *testing.T) {
	dir, whites := olderJournal(t), olderWhites{}
	outcomes, _, err := readOutcomes(dir)
	mustNot(t, err)
	before := whites.judged(dir, config.Default(), outcomes)
	mustNot(t, os.Remove(filepath.Join(dir, "journal-2025.jsonl")))
	if after := whites.judged(dir, config.Default(), outcomes); len(before) != 1 || !slices.Equal(before, after) {
		t.Errorf("%+v, and with the journal gone %+v", before, after)
	}
}

// TestRelearnt: who says in the profile how prints are judged is learnt of anew.
func TestRelearnt(t *testing.T) {
	dir := t.TempDir()
	for i := range 4 {
		o := journal.Outcome{At: morning, Path: "/a", Size: int64(i), ModTime: morning, Predicted: 0.3, Tone: 0.1, White: 0.8, Raised: rules.Unknown, Found: 0.3}
		mustNot(t, journal.AppendOutcome(dir, o))
	}
	d := knowNothing("", "")
	felt := map[rules.Judging]float64{}
	for _, way := range []rules.Judging{rules.JudgedUnsaid, rules.ByItself, rules.Beside} {
		p := config.Default()
		p.Judged = way
		d.profile = p
		d.learn(dir)
		felt[way] = p.Learnt.Unabsorbed
	}
	if !(felt[rules.ByItself] < felt[rules.JudgedUnsaid] && felt[rules.JudgedUnsaid] < felt[rules.Beside]) {
		t.Errorf("the same prints teach %v", felt)
	}
}
