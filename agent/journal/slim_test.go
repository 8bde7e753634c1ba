package journal

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"lampblack/rules"
)

func TestCurvesAreNotKept(t *testing.T) {
	dir := t.TempDir()
	e := entry(1)
	e.Report = report()
	j := open(t, dir)
	must(t, j.Append(e))
	if len(e.Report.Prediction.Targets.Curve) != 33 || len(e.Report.Prediction.Viewing.Curve) != 33 {
		t.Error("Append has changed the caller's report")
	}
	all, _ := readAll(t, dir)
	got := all[0].Report
	if got.Prediction.Targets.Curve != nil || got.Prediction.Viewing.Curve != nil {
		t.Error("the journal has kept the curves")
	}
	got.Prediction.Targets.Curve = e.Report.Prediction.Targets.Curve
	got.Prediction.Viewing.Curve = e.Report.Prediction.Viewing.Curve
	if asText(t, got) != asText(t, e.Report) {
		t.Errorf("kept, besides the curves:\n%s\nwant:\n%s", asText(t, got), asText(t, e.Report))
	}
}

func asText(t *testing.T, r *rules.Report) string {
	t.Helper()
	b, err := json.Marshal(r)
	must(t, err)
	return string(b)
}

// Lines of before, which have curves, stand beside those of today.
func TestLinesWithCurves(t *testing.T) {
	dir := t.TempDir()
	old := entry(1)
	old.Report = report()
	write(t, dir, 2026, line(t, old))
	j := open(t, dir)
	must(t, j.Append(entry(2)))
	wantSizes(t, dir, 0, 2, 3)
	all, _ := readAll(t, dir)
	if got := all[0].Report.Prediction.Targets.Curve; len(got) != 33 || got[32].Shift != 32.0/77 {
		t.Errorf("the curve of an old line reads %v", got)
	}
	if !j.Known(old.Path, old.Size, old.ModTime) {
		t.Error("an export of an old line is not known")
	}
}

// A line is what ten years of it would be: this keeps it from growing unseen.
// The report is a real one, as explain prints it.
func TestLineIsSlim(t *testing.T) {
	e := realEntry(t)
	if whole := len(line(t, e)); whole < 7000 {
		t.Fatalf("the real report takes %d bytes with its curves: it is none", whole)
	}
	e.Report, e.Gist = slim(e.Report), gistOf(1)
	const bare, perCondition = 3800, 400 // each with the codes of what is said of it
	if got, most := len(line(t, e)), bare+perCondition*len(e.Report.Conditions); got > most {
		t.Errorf("a line takes %d bytes, want %d at most with %d conditions", got, most, len(e.Report.Conditions))
	}
}

func TestOutcomesOfANewerVersion(t *testing.T) {
	for _, text := range []string{`{"v":2}` + "\n", "garbage\n" + `{"v":2,"reset":"maybe"}` + "\n" + `{"v":1`} {
		dir := t.TempDir()
		path := filepath.Join(dir, outcomesFile)
		writeFile(t, path, text)
		err := AppendOutcome(dir, Outcome{At: day, Path: "/a", Found: 0.5})
		if err == nil || !strings.Contains(err.Error(), outcomesFile) || !strings.Contains(err.Error(), "update") {
			t.Errorf("error %v, want a sentence that names the file and says what to do", err)
		}
		if got := textOf(t, path); got != text {
			t.Errorf("the file was touched: %q", got)
		}
	}
}
