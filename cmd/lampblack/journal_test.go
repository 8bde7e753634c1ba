package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"lampblack/agent"
	"lampblack/agent/journal"
	"lampblack/cmd/lampblack/values"
	"lampblack/config"
	"lampblack/rules"
)

// cmdJournaled is "journaled TIME LUX PATH [SENTENCE]": the journal gets the entry
// of an export at the demo desk at that time, in a room of that light; with a
// sentence, of a file that could not be read because of it.
func cmdJournaled(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 || len(args) > 4 {
		ts.Fatalf("usage: journaled TIME LUX PATH [SENTENCE]")
	}
	at, err := time.Parse(time.RFC3339, args[0])
	ts.Check(err)
	lux, err := strconv.ParseFloat(args[1], 64)
	ts.Check(err)
	e := journal.Entry{At: at, Path: args[2], Size: 1000, ModTime: at.Add(-time.Second)}
	if len(args) == 4 {
		e.Unread, e.Silence = args[3], "the file could not be read"
	} else {
		e.Report = reportAt(ts, e, rules.Lux(lux))
	}
	j, err := journal.Open(agent.JournalDir(filepath.Join(ts.Getenv("HOME"), ".local", "state", "lampblack")))
	ts.Check(err)
	ts.Check(errors.Join(j.Append(e), j.Close()))
}

func reportAt(ts *testscript.TestScript, e journal.Entry, room rules.Lux) *rules.Report {
	p, _, _, err := agent.LoadProfile(ts.MkAbs("tidemark.toml"), "")
	ts.Check(err)
	p.Readings = []rules.Reading{{At: e.At.Add(-time.Hour), Light: room, Place: rules.AtScreen}}
	return rules.Evaluate(p, rules.Export{File: e.Path, Folder: firstPrintFolder(p), Picture: bareTones()}, e.At)
}

func bareTones() rules.Picture {
	return explainCmd{Tones: []values.RelativeY{0.005, 0.02, 0.18, 0.5}}.picture()
}

// someJournal is the state directory of a journal with entries of all sorts.
func someJournal(t testing.TB) (state string, entries []journal.Entry) {
	t.Helper()
	p, _, _, err := agent.LoadProfile(filepath.Join(scripts, "tidemark.toml"), "")
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 3, 1, 10, 0, 0, 0, time.UTC)
	judged := journal.Entry{At: at, Path: "/srv/to-print/quay.tif", Size: 1, ModTime: at, Hash: "e3069283", CatchUp: true,
		Silence: "it was made while its folder was not watched", SilenceCode: rules.SilenceCatchUp,
		Gist: &rules.Gist{Width: 600, Height: 400, Dark: true, About: rules.ScreenLuminance}}
	judged.Report = rules.Evaluate(p, rules.Export{File: judged.Path, Folder: firstPrintFolder(p), Picture: bareTones()}, at)
	unread := journal.Entry{At: at, Path: "/srv/to-print/torn.jpg", Size: 2, ModTime: at, Unread: "the file ends in the middle", UnreadCode: "unfinished"}
	state = t.TempDir()
	j, err := journal.Open(agent.JournalDir(state))
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	for _, e := range []journal.Entry{judged, unread} {
		if err := j.Append(e); err != nil {
			t.Fatal(err)
		}
	}
	return state, []journal.Entry{judged, unread}
}

// ran is what a command line prints.
func ran(t *testing.T, args ...string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	if code := run(t.Context(), args, os.Stdin, &stdout, &stderr); code != ok {
		t.Fatalf("%q: exit status %d, %s", args, code, stderr.String())
	}
	return stdout.String()
}

// keysOf are the keys of lines of JSON, those of reports left out: they are
// documented with explain.
func keysOf(t *testing.T, lines string) map[string]kinds {
	t.Helper()
	keys := map[string]kinds{}
	for line := range strings.Lines(lines) {
		var o map[string]any
		if err := json.Unmarshal([]byte(line), &o); err != nil {
			t.Fatal(err)
		}
		if o["report"] != nil {
			o["report"] = map[string]any{}
		}
		collect(keys, "", o)
	}
	return keys
}

// TestReadmeKeysOfTheRest holds README's other tables against what journal --json,
// desk --json and explain --json of an unread file print, both ways.
func TestReadmeKeysOfTheRest(t *testing.T) {
	state, _ := someJournal(t)
	desk := []string{"desk", "--json", "--state", state, "--profile", filepath.Join(scripts, "tidemark.toml"), "--at", "2026-03-01T10:00:00Z"}
	var unreadable, said bytes.Buffer
	gone := filepath.Join(t.TempDir(), "gone.tif")
	if code := run(t.Context(), []string{"explain", "--json", "--profile", filepath.Join(scripts, "tidemark.toml"), gone}, os.Stdin, &unreadable, &said); code != unread {
		t.Fatalf("of a file that isn't there, exit status %d, %s", code, said.String())
	}
	for name, printed := range map[string]string{
		"The journal for programs":                ran(t, "journal", "--json", "--state", state),
		"The desk for programs":                   ran(t, desk...),
		"A file that can't be read, for programs": unreadable.String(),
	} {
		documented, actual := readmeKeys(t, name), keysOf(t, printed)
		for key := range documented {
			if actual[key] == nil {
				t.Errorf("%q has %s, which isn't printed", name, key)
			}
		}
		for key := range actual {
			if !documented[key] && (parent(key) == "" || listed(documented, parent(key))) {
				t.Errorf("%s is printed, which %q doesn't have", key, name)
			}
		}
	}
}

// TestTable: what a spreadsheet gets is what the journal has, to the last digit.
func TestTable(t *testing.T) {
	state, entries := someJournal(t)
	out := ran(t, "journal", "--csv", "--state", state)
	if strings.Count(out, "\r\n") != 3 || strings.Count(out, "\n") != 3 {
		t.Errorf("want 3 lines that end in CR LF: %q", out)
	}
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 3 {
		t.Fatalf("%d rows, want a header and 2", len(rows))
	}
	cell := func(row int, head string) string {
		for i, h := range rows[0] {
			if h == head {
				return rows[row][i]
			}
		}
		t.Fatalf("there is no column %q in %q", head, rows[0])
		return ""
	}
	r := entries[0].Report
	room := r.Condition(rules.RoomLight)
	for head, want := range map[string]rules.Figure{
		"shift of the whole (stops)":                                r.Prediction.Targets.Shift.Whole,
		"shift of the whole against the print in its light (stops)": r.Prediction.Viewing.Shift.Whole,
		"probability of darker":                                     rules.Figure(r.Prediction.Targets.Spread.Darker),
		"room light (lx)":                                           room.Value,
		"room light age (hours)":                                    room.AgeHours,
		"due to screen luminance (stops)":                           r.Cause(rules.ScreenLuminance),
	} {
		got, err := strconv.ParseFloat(cell(1, head), 64)
		if err != nil || got != float64(want) || math.IsNaN(got) {
			t.Errorf("%s: %q, %v; want %v", head, cell(1, head), err, want)
		}
		if cell(2, head) != "" {
			t.Errorf("%s of an unread file: %q", head, cell(2, head))
		}
	}
	for head, want := range map[string][2]string{
		"file": {"quay.tif", "torn.jpg"}, "verdict": {string(r.Verdict), "unread"}, "judged at": {"2026-03-01T10:00:00Z", "2026-03-01T10:00:00Z"},
		"found afterwards": {"yes", "no"}, "could not be read": {"", "the file ends in the middle"}, "room light in target": {"yes", ""},
	} {
		if cell(1, head) != want[0] || cell(2, head) != want[1] {
			t.Errorf("%s: %q and %q, want %q", head, cell(1, head), cell(2, head), want)
		}
	}
}

// TestTableOfOldAndNew: of a condition that an old export doesn't have there are empty
// cells; one that only a later version knows is in nobody's way.
func TestTableOfOldAndNew(t *testing.T) {
	_, entries := someJournal(t)
	whole := map[string]string{}
	for _, c := range columns() {
		whole[c.head] = c.cell(entries[0])
	}
	for _, d := range rules.Catalogue() {
		old := *entries[0].Report
		old.Conditions = slices.DeleteFunc(slices.Clone(old.Conditions), func(c rules.Condition) bool { return c.Name == d.Name })
		old.Conditions = append([]rules.Condition{{Name: "hum", Value: 50, Unit: "Hz"}}, old.Conditions...)
		e := entries[0]
		e.Report = &old
		for _, c := range columns() {
			want := whole[c.head]
			if strings.HasPrefix(c.head, d.Name+" ") {
				want = ""
			}
			if got := c.cell(e); got != want {
				t.Errorf("without %s: %s is %q, want %q", d.Name, c.head, got, want)
			}
		}
	}
}

// TestEveryConditionHasItsColumn: whoever adds a condition is told here.
func TestEveryConditionHasItsColumn(t *testing.T) {
	for _, c := range rules.Resolve(config.Default(), time.Now()).List {
		if !slices.ContainsFunc(columns(), func(col column) bool { return col.head == c.Name+" in target" }) {
			t.Errorf("%q has no column", c.Name)
		}
	}
}

func TestPlainCell(t *testing.T) {
	for words, want := range map[string]string{
		"quay.tif": "quay.tif", "": "", " ": " ",
		"=1+1.tif": "'=1+1.tif", "+1": "'+1", "-1": "'-1", "@x": "'@x", "  =1": "'  =1", "＝1": "'＝1",
		"\t=1": `\t=1`, "\r=1": `\r=1`, "a=1": "a=1", "\x1b]0;": `\x1b]0;`, "'=1": "'=1",
	} {
		if got := plainCell(words); got != want {
			t.Errorf("%q becomes %q, want %q", words, got, want)
		}
	}
}

// FuzzEntry: whatever a journal holds, it is shown in each way without falling
// over, and nothing of it becomes a formula or steers the terminal.
func FuzzEntry(f *testing.F) {
	f.Add([]byte(`{"v":1,"at":"2026-03-02T09:30:00Z","path":"=a.tif","report":{"verdict":"darker","conditions":[{"name":"","value":null}]}}`))
	f.Add([]byte(`{"v":1,"at":"2026-03-02T09:30:00Z","path":"/a\u001b[1m","unread":"@x"}`))
	f.Add([]byte(`{"v":1,"at":"2026-03-02T09:30:00Z","path":"\\","report":{"verdict":"drab","conditions":[{"name":"room light"}],"causes":[{"name":"glare","stops":null}],"remedies":[{}],"prediction":{"targets":{"spread":{"measure":"x"}}}}}`))
	f.Add([]byte(`{"v":1,"at":"2026-03-02T09:30:00Z","path":"a","report":{"verdict":"unsure","unsettled":"surround","remedy":{"name":"lift"},"prediction":{"targets":{"spread":{}}}}}`))
	f.Fuzz(func(t *testing.T, line []byte) {
		var e journal.Entry
		if json.Unmarshal(line, &e) != nil {
			return
		}
		var out bytes.Buffer
		v := &voice{out: &out}
		v.print(entryLine(e, "came out drab"))
		v.print(strings.Join(wholeEntry(e, ""), "\n"))
		table := newTable(v)
		if err := errors.Join(table.add(e), table.end()); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(bytes.NewReader(out.Bytes()[bytes.Index(out.Bytes(), []byte("judged at,")):])).ReadAll()
		if err != nil || len(rows) != 2 {
			t.Fatalf("%d rows, %v", len(rows), err)
		}
		for i, cell := range rows[1] {
			_, err := strconv.ParseFloat(cell, 64)
			if cell != "" && strings.ContainsAny(cell[:1], "=+-@\t\r") && err != nil {
				t.Errorf("%s is %q, which a spreadsheet may take for a formula", rows[0][i], cell)
			}
		}
		if i := strings.IndexFunc(strings.ReplaceAll(out.String(), "\r\n", "\n"), steers); i >= 0 {
			t.Errorf("the output would steer a terminal: %q", out.String())
		}
	})
}
