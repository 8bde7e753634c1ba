package rules

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"testing"
)

var (
	update = flag.Bool("update", false, "write rules/EVIDENCE.md, testdata/evidence/misses.json and testdata/pages anew; look at the difference before you keep it")
	worse  = flag.Bool("worse", false, "with -update: keep misses although a group's rms has grown")
)

// How much a figure may grow before a test says so: by more than another machine's
// rounding, by less than anybody sees.
const (
	rowTolerance = 0.005
	rmsTolerance = 0.001
)

// misses is how far off the rules were when testdata/evidence/misses.json was written.
type misses struct {
	RMS  float64            `json:"rms"`
	Rows map[string]float64 `json:"rows"` // ours less observed
}

const missesFile = "misses.json"

func (r evidenceResult) misses() misses {
	m := misses{RMS: rounded(r.rms()), Rows: map[string]float64{}}
	for _, row := range r.rows {
		m.Rows[row.key()] = rounded(row.miss())
	}
	return m
}

// rounded is v to four decimals.
func rounded(v float64) float64 { return math.Round(v*1e4) / 1e4 }

// complaints are what has got worse since, rows and rms apart, and what no longer
// matches row by row.
func (m misses) complaints(since misses) (rms, rows []string) {
	if m.RMS > since.RMS+rmsTolerance {
		rms = append(rms, fmt.Sprintf("rms %.4f, was %.4f", m.RMS, since.RMS))
	}
	for key, miss := range m.Rows {
		was, ok := since.Rows[key]
		switch {
		case !ok:
			rows = append(rows, fmt.Sprintf("%s: nothing is kept of it", key))
		case math.Abs(miss) > math.Abs(was)+rowTolerance:
			rows = append(rows, fmt.Sprintf("%s: off by %+.3f, was %+.3f", key, miss, was))
		}
	}
	for key := range since.Rows {
		if _, ok := m.Rows[key]; !ok {
			rows = append(rows, fmt.Sprintf("%s: it is gone", key))
		}
	}
	slices.Sort(rows)
	return rms, rows
}

// ratchet is m with the figures of before where they are hardly better: within the
// tolerance nothing creeps, however often the file is written.
func (m misses) ratchet(since misses) misses {
	if m.RMS > since.RMS && m.RMS <= since.RMS+rmsTolerance {
		m.RMS = since.RMS
	}
	for key, was := range since.Rows {
		if miss, ok := m.Rows[key]; ok && math.Abs(miss) > math.Abs(was) && math.Abs(miss) <= math.Abs(was)+rowTolerance {
			m.Rows[key] = was
		}
	}
	return m
}

// prototype is what a prototype of this model, which was not this code, was off by; its
// rms was taken over the samples and not at the mean of each range, so 0.01 is allowed.
// (It had 15 rows of the background inside; at the mean of its range one of them, Y 0.597
// on the screen, is outside by 0.004.)
var prototype = map[string]struct {
	rms    float64
	inside int
}{
	"background":    {0.138, 14},
	"border":        {0.157, 6},
	"csaj-stevens":  {0.139, 12},
	"lutchi-levels": {0.124, 8},
	"beside":        {0.069, 3},
	"room":          {0.123, 5},
	"colourfulness": {0.083, 6},
}

// TestEvidence holds the rules against what people saw in published experiments. It
// fails when a row or a group gets worse than it was; whoever makes one better writes
// the new figures with -update. That says what has become worse by failing once more,
// and does not write a group whose rms has grown.
func TestEvidence(t *testing.T) {
	results := evidenceResults(t)
	kept := map[string]misses{}
	readEvidence(t, missesFile, &kept)
	for _, r := range results {
		t.Logf("%s: rms %.4f %s, %d of %d inside\n%s", r.Title, r.rms(), r.Unit, r.inside(), len(r.rows), r.table())
		rms, rows := r.misses().complaints(kept[r.name])
		for _, complaint := range append(rms, rows...) {
			t.Errorf("%s: %s", r.name, complaint)
		}
		if !*update {
			continue
		}
		if len(rms) > 0 && !*worse {
			t.Errorf("%s: not written, for its rms has grown; -worse keeps it all the same", r.name)
			continue
		}
		kept[r.name] = r.misses().ratchet(kept[r.name])
	}
	if len(kept) != len(results) {
		t.Errorf("%s has %d groups, there are %d", missesFile, len(kept), len(results))
	}
	if *update {
		writeMisses(t, kept)
	}
}

func writeMisses(t *testing.T, kept map[string]misses) {
	t.Helper()
	text, err := json.MarshalIndent(kept, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(evidenceFolder+missesFile, append(text, '\n'), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestEvidenceAgainstPrototype: no group is further off than the prototype's.
func TestEvidenceAgainstPrototype(t *testing.T) {
	for _, r := range evidenceResults(t) {
		p := prototype[r.name]
		if r.rms() > p.rms+0.01 {
			t.Errorf("%s: rms %.4f, the prototype's was %.3f", r.name, r.rms(), p.rms)
		}
		if r.inside() < p.inside {
			t.Errorf("%s: %d of %d inside, the prototype had %d", r.name, r.inside(), len(r.rows), p.inside)
		}
	}
}

// TestEvidenceAgainstNothing: in every group it is better to compute than to say that
// pictures look the same everywhere.
func TestEvidenceAgainstNothing(t *testing.T) {
	for _, r := range evidenceResults(t) {
		if n := r.nothing(); r.rms() >= n.rms() {
			t.Errorf("%s: rms %.4f, and computing nothing gives %.4f", r.name, r.rms(), n.rms())
		}
	}
}

// TestEvidenceReasons: every row outside says why it is, and no other does.
func TestEvidenceReasons(t *testing.T) {
	reasons := outsideReasons(t)
	for _, r := range evidenceResults(t) {
		for _, row := range r.rows {
			switch reason, given := reasons[r.name][row.key()]; {
			case row.inside() && given:
				t.Errorf("%s: %s is inside now; take its reason out of outside.json", r.name, row.key())
			case !row.inside() && reason == "":
				t.Errorf("%s: %s is outside (ours %+.3f, observed %+.3f) and has no reason in outside.json", r.name, row.key(), row.ours, row.o.Observed)
			}
			delete(reasons[r.name], row.key())
		}
		for key := range reasons[r.name] {
			t.Errorf("%s: outside.json has a reason for %q, which is no row", r.name, key)
		}
		delete(reasons, r.name)
	}
	for name := range reasons {
		t.Errorf("outside.json has a group %q, which is none", name)
	}
}

// outsideReasons are the reasons of rows that are outside, by group and row.
func outsideReasons(t *testing.T) map[string]map[string]string {
	t.Helper()
	reasons := map[string]map[string]string{}
	readEvidence(t, "outside.json", &reasons)
	return reasons
}

// The guard itself: what it lets pass, and what it doesn't.
func TestEvidenceComplaints(t *testing.T) {
	was := misses{RMS: 0.1, Rows: map[string]float64{"a": 0.10, "b": -0.10}}
	for _, c := range []struct {
		name      string
		now       misses
		rms, rows int
	}{
		{"the same", was, 0, 0},
		{"better, and on the other side", misses{0.08, map[string]float64{"a": -0.09, "b": -0.02}}, 0, 0},
		{"within rounding", misses{0.1005, map[string]float64{"a": 0.104, "b": -0.104}}, 0, 0},
		{"a row worse", misses{0.09, map[string]float64{"a": 0.02, "b": -0.12}}, 0, 1},
		{"a row worse on the other side", misses{0.09, map[string]float64{"a": -0.12, "b": 0}}, 0, 1},
		{"the group worse, row by row hardly", misses{0.103, map[string]float64{"a": 0.104, "b": -0.104}}, 1, 0},
		{"a row gone, another new", misses{0.1, map[string]float64{"a": 0.1, "c": -0.1}}, 0, 2},
	} {
		if rms, rows := c.now.complaints(was); len(rms) != c.rms || len(rows) != c.rows {
			t.Errorf("%s: %q and %q, want %d and %d", c.name, rms, rows, c.rms, c.rows)
		}
	}
}

// The ratchet holds what is hardly worse, and follows what is better or clearly worse.
func TestEvidenceRatchet(t *testing.T) {
	was := misses{RMS: 0.1, Rows: map[string]float64{"a": 0.10, "b": -0.10, "c": 0.10}}
	got := misses{0.1005, map[string]float64{"a": 0.103, "b": -0.08, "c": 0.12, "d": 0.3}}.ratchet(was)
	want := misses{0.1, map[string]float64{"a": 0.10, "b": -0.08, "c": 0.12, "d": 0.3}}
	if got.RMS != want.RMS || !maps.Equal(got.Rows, want.Rows) {
		t.Errorf("%+v, want %+v", got, want)
	}
	if got := (misses{0.2, nil}).ratchet(was); got.RMS != 0.2 {
		t.Errorf("an rms that has grown is kept as %g", got.RMS)
	}
}

// table is the group for a terminal.
func (r evidenceResult) table() string {
	text := ""
	for _, row := range r.rows {
		word := "inside"
		if !row.inside() {
			word = "OUTSIDE"
		}
		text += fmt.Sprintf("  %-68s observed %+.2f ± %.2f  ours %+.3f  %s\n", row.key(), row.o.Observed, row.allowed(), row.ours, word)
	}
	return text
}
