//go:build unix

package journal

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lampblack/config/private"
	"lampblack/rules"
)

// TestLinks: neither the journal's folder nor a file in it is a link that anybody
// follows, to write or to read.
func TestLinks(t *testing.T) {
	for _, name := range []string{"", "journal-2026.jsonl", "outcomes.jsonl"} {
		away, dir := t.TempDir(), filepath.Join(t.TempDir(), "journal")
		j := open(t, away)
		must(t, j.Append(entry(1)))
		must(t, j.Close())
		must(t, AppendOutcome(away, Outcome{At: entry(1).At, Path: "a", Predicted: 0, Word: rules.AsJudged}))
		before := contents(t, away)
		if name == "" {
			must(t, os.Symlink(away, dir))
		} else {
			must(t, os.Mkdir(dir, 0o700))
			must(t, os.Symlink(filepath.Join(away, name), filepath.Join(dir, name)))
		}
		var errs []error
		if name != "outcomes.jsonl" {
			_, openErr := Open(dir)
			_, readErr := Read(dir, func(Entry) error { return nil })
			_, _, findErr := Find(dir, "a")
			_, lastErr := ReadLast(dir, 1)
			errs = append(errs, openErr, readErr, findErr, lastErr)
		}
		if name != "journal-2026.jsonl" {
			_, _, readErr := ReadOutcomes(dir)
			errs = append(errs, AppendOutcome(dir, Outcome{At: entry(1).At, Path: "b"}), readErr)
		}
		for i, err := range errs {
			if !errors.Is(err, private.ErrLink) || !strings.Contains(err.Error(), dir) || strings.Contains(err.Error(), "drive") {
				t.Errorf("%q is a link, %d: %v", name, i, err)
			}
		}
		if got := contents(t, away); got != before {
			t.Errorf("%q is a link, and what it leads to holds %q now", name, got)
		}
	}
}

// TestLinkWhileOpen: a year's file that becomes a link to itself is let go.
func TestLinkWhileOpen(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	must(t, j.Append(entry(1)))
	file := filepath.Join(dir, "journal-2026.jsonl")
	must(t, os.Rename(file, file+".away"))
	must(t, os.Symlink(file+".away", file))
	if err := j.Append(entry(2)); !errors.Is(err, private.ErrLink) {
		t.Errorf("appended through a link: %v", err)
	}
	must(t, os.Remove(file))
	must(t, os.Rename(file+".away", file))
	must(t, j.Append(entry(2)))
	must(t, j.Close())
}

func contents(t *testing.T, dir string) string {
	t.Helper()
	var all strings.Builder
	entries, err := os.ReadDir(dir)
	must(t, err)
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		must(t, err)
		all.WriteString(e.Name() + ": " + string(text))
	}
	return all.String()
}
