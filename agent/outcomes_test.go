package agent

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"lampblack/agent/journal"
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
