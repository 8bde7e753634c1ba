package journal

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
)

var evening = time.Date(2026, 3, 1, 19, 0, 0, 0, time.UTC)

func outcome(name string, predicted, found float64) Outcome {
	return Outcome{At: evening, Path: "/tidemark/" + name, Size: 5, ModTime: evening.Add(-time.Hour),
		Predicted: rules.Figure(predicted), Tone: rules.Figure(predicted), Raised: rules.Unknown, Word: rules.BitDarker, Found: rules.Figure(found)}
}

func appendAll(t *testing.T, dir string, outcomes ...Outcome) {
	t.Helper()
	for _, o := range outcomes {
		if err := AppendOutcome(dir, o); err != nil {
			t.Fatal(err)
		}
	}
}

func TestOutcomesRoundTrip(t *testing.T) {
	dir := t.TempDir()
	appendAll(t, dir, outcome("a.tif", 0.3, 0.25), outcome("b.tif", 0.1, 0), outcome("a.tif", 0.3, 0.7))
	got, skipped, err := ReadOutcomes(dir)
	if err != nil || skipped != 0 {
		t.Fatal(skipped, err)
	}
	written := evening.Add(-time.Hour)
	want := []rules.Judged{{At: written, Tone: 0.3, Found: 0.7}, {At: written, Tone: 0.1, Found: 0}}
	if pairs := Judged(got); !reflect.DeepEqual(pairs, want) {
		t.Errorf("pairs %v, want %v: the last word on an export counts", pairs, want)
	}
}

func TestOutcomesReset(t *testing.T) {
	dir := t.TempDir()
	appendAll(t, dir, outcome("a.tif", 0.3, 0.25), Outcome{At: evening, Reset: true}, outcome("b.tif", 0.1, 0))
	got, _, err := ReadOutcomes(dir)
	if err != nil || len(got) != 1 || filepath.Base(got[0].Path) != "b.tif" {
		t.Errorf("after a reset there is %v (%v), want b.tif alone", got, err)
	}
}

// TestOutcomesFlatter: the first version's flatter is read as drab, and says nothing of
// lightness.
func TestOutcomesFlatter(t *testing.T) {
	dir := t.TempDir()
	flat := outcome("a.tif", 0.3, math.NaN())
	flat.Word = rules.Flatter
	appendAll(t, dir, flat)
	got, _, err := ReadOutcomes(dir)
	if err != nil || len(got) != 1 || got[0].Word != rules.DrabPrint || len(Judged(got)) != 0 {
		t.Errorf("got %v (%v)", got, err)
	}
}

// TestOutcomesParts: the parts of a prediction, and the raise, come back as they were
// written; lines without them lack them, and are not taken for nothing.
func TestOutcomesParts(t *testing.T) {
	dir := t.TempDir()
	raised := outcome("a.tif", 0.6, 0.1)
	raised.Tone, raised.White, raised.Raised = 0.35, 0.7, 0.4
	appendAll(t, dir, raised)
	old := `{"v":1,"at":"2026-03-01T19:00:00Z","path":"/tidemark/old.tif","size":5,"mtime":"2026-03-01T18:00:00Z","predicted_stops":0.3,"found_stops":0.2}` + "\n"
	text, err := os.ReadFile(filepath.Join(dir, outcomesFile))
	must(t, err)
	must(t, os.WriteFile(filepath.Join(dir, outcomesFile), append(text, old...), 0o600))
	got, skipped, err := ReadOutcomes(dir)
	if err != nil || skipped != 0 || len(got) != 2 || got[0].Lacks() || !got[1].Lacks() || got[1].Raised.Known() {
		t.Fatalf("%+v, %d skipped, %v", got, skipped, err)
	}
	want := []rules.Judged{{At: raised.ModTime, Tone: 0.35, White: 0.7, Found: 0.5}}
	if pairs := Judged(got); len(pairs) != 1 || math.Abs(float64(pairs[0].Found-want[0].Found)) > 1e-12 || pairs[0].Tone != 0.35 || pairs[0].White != 0.7 {
		t.Errorf("pairs %+v, want %+v: what was judged would have been so much darker", pairs, want)
	}
}

// TestOutcomesDamaged: what is no outcome teaches nothing and breaks nothing,
// and a line that was cut off is not glued to the next.
func TestOutcomesDamaged(t *testing.T) {
	dir := t.TempDir()
	appendAll(t, dir, outcome("a.tif", 0.3, 0.25))
	path := filepath.Join(dir, outcomesFile)
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	hostile := `{"v":1,"at":"2026-03-01T19:00:00Z","path":"x","found_stops":1e400}` + "\n" +
		`{"v":1,"at":"2026-03-01T19:00:00Z","path":"y","predicted_stops":-900,"tone_stops":-900,"white_stops":0,"found_stops":900}` + "\n[]\nnull\n\x00\xff\n"
	if err := os.WriteFile(path, append(text, hostile+`{"v":1,"at":"20`...), 0o600); err != nil {
		t.Fatal(err)
	}
	appendAll(t, dir, outcome("b.tif", 0.1, 0))
	got, skipped, err := ReadOutcomes(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 3 || filepath.Base(got[2].Path) != "b.tif" || skipped != 5 {
		t.Errorf("%d outcomes, %d lines skipped: want a, y and b, and 5 skipped", len(got), skipped)
	}
	if learnt := rules.Learn(Judged(got), rules.JudgedUnsaid); learnt.Prints != 2 {
		t.Errorf("learnt from %d prints, want 2: nobody means 900 stops", learnt.Prints)
	}
}

func TestFind(t *testing.T) {
	dir := t.TempDir()
	j, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	for i, path := range []string{"/a/quay.tif", "/b/quay.tif", "/a/quay.tif", "/a/boat \"shed\".tif"} {
		e := Entry{At: evening.AddDate(i-3, 0, 0), Path: path, Size: int64(i + 1), ModTime: evening, Unread: "x", Silence: "y"}
		if err := j.Append(e); err != nil {
			t.Fatal(err)
		}
	}
	for file, size := range map[string]int64{"/a/quay.tif": 3, "/b/quay.tif": 2, "quay.tif": 3, `boat "shed".tif`: 4, "nothing.tif": 0, "/c/quay.tif": 0} {
		e, found, err := Find(dir, file)
		if err != nil || found != (size > 0) || e.Size != size {
			t.Errorf("Find(%q) = size %d, %v, %v; want size %d", file, e.Size, found, err, size)
		}
	}
}

// TestOutcomesTakenBack: what was taken back was never told; what was told of the
// export before counts again, and other exports keep theirs, also across a reset.
func TestOutcomesTakenBack(t *testing.T) {
	dir := t.TempDir()
	first, slip := outcome("a.tif", 0.3, 0.25), outcome("a.tif", 0.3, 0.7)
	slip.At = evening.Add(time.Minute)
	alone := outcome("c.tif", 0.1, 0.2)
	appendAll(t, dir, first, outcome("b.tif", 0.1, 0), slip, alone)
	want := func(when string, wanted ...float64) {
		t.Helper()
		got, skipped, err := ReadOutcomes(dir)
		if err != nil || skipped != 0 || len(got) != len(wanted) {
			t.Fatalf("%s: %+v, %d skipped, %v", when, got, skipped, err)
		}
		for i, o := range got {
			if float64(o.Found) != wanted[i] {
				t.Errorf("%s: %s was found %v, want %v", when, o.Path, o.Found, wanted[i])
			}
		}
	}
	want("told", 0.7, 0, 0.2)
	for _, o := range []Outcome{slip, alone} {
		if err := TakeBackOutcome(dir, o, evening.Add(2*time.Minute)); err != nil {
			t.Fatal(err)
		}
	}
	want("taken back", 0.25, 0)
	if err := TakeBackOutcome(dir, alone, evening.Add(3*time.Minute)); err != nil {
		t.Fatal(err)
	}
	want("taken back twice", 0.25, 0)
	appendAll(t, dir, outcome("c.tif", 0.1, 0.3))
	want("told again", 0.25, 0, 0.3)
	must(t, ForgetOutcomes(dir, evening.Add(4*time.Minute)))
	want("forgotten")
	must(t, TakeBackOutcome(dir, first, evening.Add(5*time.Minute)))
	want("of what is forgotten, one is taken back")
	appendAll(t, dir, outcome("d.tif", 0.1, -0.4))
	want("told after all was forgotten", -0.4)
}

// TestForgettingIsTakenBack: step by step, the last first, whatever it was; what is told
// after all was forgotten stays beside what comes back.
func TestForgettingIsTakenBack(t *testing.T) {
	dir := t.TempDir()
	late := outcome("b.tif", 0.1, 0.7)
	late.At = evening.Add(2 * time.Hour)
	appendAll(t, dir, outcome("a.tif", 0.3, 0.25))
	must(t, ForgetOutcomes(dir, evening.Add(time.Hour)))
	appendAll(t, dir, late)
	lines := func() int { return strings.Count(textOf(t, filepath.Join(dir, outcomesFile)), "\n") }
	for i, want := range []struct {
		reset bool
		left  []float64
	}{{false, nil}, {true, []float64{0.25}}, {false, nil}} {
		before := lines()
		o, found, err := TakeBackLastOutcome(dir, evening.Add(3*time.Hour))
		must(t, err)
		got, skipped, err := ReadOutcomes(dir)
		must(t, err)
		if !found || o.Reset != want.reset || skipped != 0 || len(got) != len(want.left) || lines() != before+1 {
			t.Fatalf("step %d takes back %+v, leaves %+v, %d skipped", i, o, got, skipped)
		}
		for k, f := range want.left {
			if float64(got[k].Found) != f {
				t.Errorf("step %d leaves %+v", i, got)
			}
		}
	}
	if o, found, err := TakeBackLastOutcome(dir, evening); found || err != nil {
		t.Errorf("there is nothing, and %+v is taken back, %v", o, err)
	}
}
