package journal

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"lampblack/rules"
)

// These tests stand at the borders: the last line, byte or year on one side, and the
// first on the other.

// An entry may take 1 MiB with its newline, is read back then, and no byte more.
func TestLongestLine(t *testing.T) {
	const most = 1_048_576
	dir := t.TempDir()
	j := open(t, dir)
	e := entry(1)
	e.Unread = "x"
	e.Unread = strings.Repeat("x", 1+most-len(line(t, e)))
	must(t, j.Append(e))
	wantSizes(t, dir, 0, 2)
	e.Unread += "x"
	if err := j.Append(e); err == nil || !strings.Contains(err.Error(), "1048577 bytes") {
		t.Errorf("an entry that is too long: %v", err)
	}
	for length, damaged := range map[int]bool{most - 1: false, most: true} { // without the newline
		in := newLines(strings.NewReader(strings.Repeat("x", length) + "\nend"))
		got, err := in.next()
		if (err == errDamaged) != damaged || !damaged && len(got) != length {
			t.Errorf("a line of %d bytes: %d, %v; want damaged %v", length, len(got), err, damaged)
		}
		if got, err := in.next(); err != nil || string(got) != "end" {
			t.Errorf("after it comes %.20q, %v", got, err)
		}
	}
}

// What a line lacks makes it damaged, but for a version of tomorrow.
func TestWhatALineMustHave(t *testing.T) {
	const at, report = `"at":"2026-03-02T09:30:00Z"`, `,"report":{"verdict":"holds"}`
	for text, want := range map[string]error{
		`{"v":1,` + at + `,"path":"/a"}`:                nil,
		`{"v":1,` + at + `,"path":"/a"` + report + `}`:  nil,
		`{"v":1,` + at + `,"path":""}`:                  errDamaged,
		`{"v":1,` + at + `,"path":""` + report + `}`:    errDamaged,
		`{"v":1,"path":"/a"}`:                           errDamaged,
		`{"v":1,"path":"/a"` + report + `}`:             errDamaged,
		`{"v":1}`:                                       errDamaged,
		`{` + at + `,"path":"/a"}`:                      errDamaged,
		`{"v":0,` + at + `,"path":"/a"` + report + `}`:  errDamaged,
		`{"v":-1,` + at + `,"path":"/a"}`:               errDamaged,
		`{"v":2,` + at + `,"path":"/a"}`:                ErrNewer,
		`{"v":2,` + at + `,"path":"/a"` + report + `}`:  ErrNewer,
		`{"v":2,"path":5}`:                              ErrNewer,
		`{"v":1,` + at + `,"path":5}`:                   errDamaged,
		`{"v":1,` + at + `,"path":"/a"` + report:        errDamaged,
		`{"v":1,` + at + `,"path":"/a"` + report + `}x`: errDamaged,
		`[]`: errDamaged,
		``:   errDamaged,
	} {
		e, err := decode([]byte(text))
		h, headErr := decodeHead([]byte(text))
		if err != want || headErr != want {
			t.Errorf("%s: %v, its head %v; want %v", text, err, headErr, want)
		}
		if (e.Path == "/a") != (want == nil) || h.Path != e.Path || !h.At.Equal(e.At) {
			t.Errorf("%s: gives %+v, its head %+v", text, e, h)
		}
	}
	for text, want := range map[string]error{
		`{"v":1,` + at + `,"path":"/a"}`:                  nil,
		`{"v":1,` + at + `,"reset":true}`:                 nil,
		`{"v":1,` + at + `}`:                              errDamaged,
		`{"v":1,"path":"/a"}`:                             errDamaged,
		`{"v":1,"reset":true}`:                            errDamaged,
		`{"v":2,` + at + `,"path":"/a"}`:                  ErrNewer,
		`{` + at + `,"path":"/a"}`:                        errDamaged,
		`{"v":1,` + at + `,"path":"/a","found_stops":[]}`: errDamaged,
	} {
		if o, err := decodeOutcome([]byte(text)); err != want || err != nil && o.Path != "" {
			t.Errorf("outcome %s: %+v, %v; want %v", text, o, err, want)
		}
	}
}

func TestWhichLinesAreBalanced(t *testing.T) {
	for text, want := range map[string]bool{
		`{}`: true, `[]`: true, `{"a":[{"b":1}]}`: true, `{"}":"]"}`: true, `{"a":"\"}"}`: true, `{"a":"\\"}`: true, `x{}`: true,
		``: false, `{`: false, `{}x`: false, `{}{}`: false, `}`: false, `{"a":"}`: false, `{"a":"\`: false, `{"a":"\"}`: false, `{[}`: false, `{"a":1`: false,
	} {
		if got := balanced([]byte(text)); got != want {
			t.Errorf("%s is balanced: %v, want %v", text, got, want)
		}
	}
}

// Which years' files are opened for bounds in a year: one more on either side, for
// other zones.
func TestWhichYearsAreSearched(t *testing.T) {
	in := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		year                     int
		since, until, both, none bool
	}{
		{2024, false, true, false, true}, {2025, true, true, true, true}, {2026, true, true, true, true},
		{2027, true, true, true, true}, {2028, true, false, false, true},
	} {
		path := fmt.Sprintf("/journal/journal-%d.jsonl", c.year)
		for f, want := range map[*Filter]bool{{From: in}: c.since, {To: in}: c.until, {From: in, To: in}: c.both, {}: c.none} {
			if got := f.mayBeIn(path); got != want {
				t.Errorf("%d, since %v, until %v: searched %v, want %v", c.year, f.From, f.To, got, want)
			}
		}
	}
}

// At least the latest 21 000 exports are known, in three parts and a fourth that fills.
func TestHowManyAreKnown(t *testing.T) {
	j := open(t, t.TempDir())
	if j.states.share != 7000 || j.contents.share != 7000 {
		t.Errorf("shares of %d and %d, want 7000", j.states.share, j.contents.share)
	}
	for n, want := range map[int]int{1: 1, 3: 1, 4: 2, 6: 2, 7: 3, 9: 3, 10: 4} {
		if got := newRecent[int](n).share; got != want {
			t.Errorf("the share of %d is %d, want %d", n, got, want)
		}
	}
	for i := range 1000 {
		if j.states.fold(i) == 0 {
			t.Fatal("0 stands for a content that is not known")
		}
	}
}

func TestIdentityAsText(t *testing.T) {
	at := time.Unix(5, 7)
	if got := Identify("/a", 3, at).String(); got != "/a\x003\x005000000007" {
		t.Errorf("%q", got)
	}
	if Identify("/a\xff", 3, at) != Identify("/a\ufffd", 3, at) || Identify("/a", 3, at) == Identify("/a", 3, at.Add(1)) {
		t.Error("an identity is that of the path as it is written, and of the nanosecond")
	}
}

// The end of a file that can't be read, or has gone, is an error and not an empty end.
func TestEndThatCannotBeRead(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, fileName(2026))
	write(t, dir, 2026, line(t, entry(1)))
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	must(t, err)
	if e, err := seekEnd(f, 1); e != nil || err == nil {
		t.Errorf("of a file that can't be read: %v, %v", e, err)
	}
	j := open(t, t.TempDir())
	if err := j.prepare(f, 5); err == nil || !strings.Contains(err.Error(), "can't be read") {
		t.Errorf("prepared for the next line: %v", err)
	}
	must(t, f.Close())
	if e, err := seekEnd(f, 1); e != nil || err == nil {
		t.Errorf("of a file that is closed: %v, %v", e, err)
	}
	if e, err := openEnd(filepath.Join(dir, "none"), 1); e != nil || !errors.Is(err, os.ErrNotExist) {
		t.Errorf("of a file that isn't there: %v, %v", e, err)
	}
	if _, _, err := lastLines(f, 5, 1); err == nil {
		t.Error("lines of a file that is closed")
	}
	none := func(head) error { t.Error("a line came"); return nil }
	if err := tail([]string{filepath.Join(dir, "none")}, 1, decodeHead, none); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the tail of a file that isn't there: %v", err)
	}
	came := 0
	count := func(head) error { came++; return nil }
	if err := tail([]string{filepath.Join(dir, "none"), path}, 1, decodeHead, count); err != nil || came != 1 {
		t.Errorf("%d lines came, %v; want one, and no look into an older file", came, err)
	}
	enough := errors.New("enough")
	if err := tail([]string{path}, 1, decodeHead, func(head) error { return enough }); err != enough {
		t.Errorf("the tail ends with %v, want the caller's error", err)
	}
}

// A drive that fails in the middle is told, with what was skipped until then.
func TestReadingBreaksOff(t *testing.T) {
	broken := errors.New("input/output error")
	text := "garbage\n" + line(t, entry(1)) + "\n \n"
	reader := func() io.Reader { return io.MultiReader(strings.NewReader(text), iotest.ErrReader(broken)) }
	for _, spread := range []bool{false, true} {
		seen := 0
		fn := func(Entry) error { seen++; return nil }
		var skipped int
		var err error
		if spread {
			skipped, err = readLinesSpread(reader(), "j", Filter{}.picker(), decode, fn)
		} else {
			skipped, err = readLines(reader(), "j", decode, fn)
		}
		if !errors.Is(err, broken) || !strings.Contains(err.Error(), "can't be read on") || seen > 1 {
			t.Errorf("spread %v: %d entries, %v", spread, seen, err)
		}
		if !spread && (skipped != 1 || seen != 1) {
			t.Errorf("%d entries and %d skipped before it, want 1 and 1", seen, skipped)
		}
	}
}

// What was skipped is summed over the years, also when a later year ends it.
func TestSkippedIsSummed(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, 2025, "garbage\n"+line(t, entry(1))+"garbage\n")
	write(t, dir, 2026, "garbage\n\n \n"+line(t, entry(2)))
	wantSizes(t, dir, 3, 2, 3)
	if got, skipped := found(t, dir, Filter{}); fmt.Sprint(got) != "[2 3]" || skipped != 3 {
		t.Errorf("a search has %v and %d skipped", got, skipped)
	}
	write(t, dir, 2027, "garbage\n"+`{"v":2}`+"\n"+line(t, entry(3)))
	n := 0
	fn := func(Entry) error { n++; return nil }
	if skipped, err := Read(dir, fn); !errors.Is(err, ErrNewer) || skipped != 4 || n != 2 {
		t.Errorf("read: %d entries, %d skipped, %v", n, skipped, err)
	}
	n = 0
	if skipped, err := Search(t.Context(), dir, Filter{}, fn); !errors.Is(err, ErrNewer) || skipped != 4 || n != 2 {
		t.Errorf("search: %d entries, %d skipped, %v", n, skipped, err)
	}
}

// A journal that isn't one is an error for every reader, and never an empty journal.
func TestFolderThatIsNone(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "file")
	must(t, os.WriteFile(dir, nil, 0o600))
	nothing := func(Entry) error { return nil }
	_, errRead := Read(dir, nothing)
	_, errSearch := Search(t.Context(), dir, Filter{}, nothing)
	last, errLast := ReadLast(dir, 1)
	_, found, errFind := Find(dir, "/a")
	j, errOpen := Open(dir)
	outcomes, _, errOutcomes := ReadOutcomes(dir)
	for name, err := range map[string]error{
		"Read": errRead, "Search": errSearch, "ReadLast": errLast, "Find": errFind, "Open": errOpen,
		"ReadOutcomes": errOutcomes, "AppendOutcome": AppendOutcome(dir, outcome("a.tif", 0.3, 0.2)),
		"TakeBackOutcome": TakeBackOutcome(dir, outcome("a.tif", 0.3, 0.2), evening),
	} {
		if err == nil {
			t.Errorf("%s takes a file for a journal", name)
		}
	}
	if last != nil || found || j != nil || outcomes != nil {
		t.Errorf("of no journal there is %v, %v, %v, %v", last, found, j, outcomes)
	}
}

// An entry for a former year goes to that year's file, whose last line may be cut off;
// what stands before that is looked at, lest a newer version's file is written to.
func TestFormerYearOfANewerVersion(t *testing.T) {
	for text, want := range map[string]error{
		`{"v":2}` + "\n":            ErrNewer,
		`{"v":2}` + "\n" + `{"v":`:  ErrNewer,
		`{"v":2}`:                   ErrNewer,
		"garbage\n":                 nil,
		line(t, entry(7)):           nil,
		line(t, entry(7)) + `{"v":`: nil,
		"x":                         nil,
	} {
		dir := t.TempDir()
		j := open(t, dir)
		write(t, dir, 2020, text)
		e := entry(1)
		e.At = time.Date(2020, 5, 1, 0, 0, 0, 0, time.UTC)
		if err := j.Append(e); !errors.Is(err, want) {
			t.Errorf("%q: %v, want %v", text, err, want)
		}
		after := textOf(t, filepath.Join(dir, fileName(2020)))
		if want != nil {
			if after != text {
				t.Errorf("%q has become %q", text, after)
			}
			continue
		}
		end := ""
		if !strings.HasSuffix(text, "\n") {
			end = "\n"
		}
		if after != text+end+line(t, e) {
			t.Errorf("%q has become %q", text, after)
		}
		if told := j.Recovered(); strings.Contains(told, "was cut off") != (end != "") || j.Recovered() != "" {
			t.Errorf("%q: told %q, want it told once if a line was cut off", text, told)
		}
	}
}

// Outcomes go on a line of their own, and only into a file of this format.
func TestOutcomesBehindWhatIsThere(t *testing.T) {
	for text, want := range map[string]struct {
		skipped int
		newer   bool
	}{"": {0, false}, "x": {1, false}, "x\n": {1, false}, "\n": {0, false}, `{"v":2}` + "\n": {0, true}, `x` + "\n" + `{"v":2}`: {0, true}} {
		dir := t.TempDir()
		path := filepath.Join(dir, "outcomes.jsonl")
		must(t, os.WriteFile(path, []byte(text), 0o600))
		err := AppendOutcome(dir, outcome("a.tif", 0.3, 0.2))
		if errors.Is(err, ErrNewer) != want.newer || !want.newer && err != nil {
			t.Errorf("%q: %v", text, err)
		}
		if want.newer {
			if after := textOf(t, path); after != text {
				t.Errorf("%q has become %q", text, after)
			}
			continue
		}
		if got, skipped, err := ReadOutcomes(dir); err != nil || len(got) != 1 || skipped != want.skipped {
			t.Errorf("%q: %d outcomes, %d skipped, %v", text, len(got), skipped, err)
		}
	}
}

// To learn from, an outcome needs both a prediction and what was found.
func TestWhatIsLearntFrom(t *testing.T) {
	none := math.NaN()
	got := Judged([]Outcome{outcome("a", 0.3, none), outcome("b", none, 0.2), outcome("c", none, none), outcome("d", 0.1, 0.2)})
	if len(got) != 1 || got[0].Predicted != 0.1 || got[0].Found != 0.2 || !got[0].At.Equal(evening.Add(-time.Hour)) {
		t.Errorf("%+v, want what was found of d alone", got)
	}
}

// A demand that can't be read leaves an error on the command line.
func TestWhereOfTheCommandLine(t *testing.T) {
	var w Where
	if err := w.UnmarshalText([]byte("room > 100")); err != nil || w.name != rules.RoomLight || w.sign != ">" || w.value != 100 {
		t.Errorf("%+v, %v", w, err)
	}
	if err := w.UnmarshalText([]byte("room")); err == nil {
		t.Error("no error about a demand that compares nothing")
	}
	for text, want := range map[string]bool{"surround=1": true, "surround=1.01": false, "surround=101%": true, "surround=100 %": true, "room=1.01": true} {
		if _, err := parseWhere(text); (err == nil) != want {
			t.Errorf("%s: %v, want it taken: %v", text, err, want)
		}
	}
	if _, err := numberWith("bright", nil); err == nil || !strings.HasPrefix(err.Error(), `"bright" is not a number: `) {
		t.Errorf("a number without a unit: %v", err)
	}
	for sign, want := range map[string][3]bool{ // of 1, 2 and 3
		"<": {true, false, false}, "<=": {true, true, false}, ">": {false, false, true}, ">=": {false, true, true},
		"=": {false, true, false}, "!=": {true, false, true},
	} {
		for i, holds := range want {
			v := float64(i + 1)
			if got := (Where{sign: sign, value: 2}).compares(v, v); got != holds {
				t.Errorf("%v %s 2: %v, want %v", v, sign, got, holds)
			}
		}
	}
}

func TestVerdictOfAnEntry(t *testing.T) {
	if got := entry(1).Verdict(); got != rules.Unread {
		t.Errorf("an export that could not be read is %q", got)
	}
	if got := judged(1, "/a", rules.Drab, 1).Verdict(); got != rules.Drab {
		t.Errorf("%q, want drab", got)
	}
}

// Whoever deletes the journal's file, or the folder, loses what was in it and nothing
// that comes after.
func TestFileThatIsDeletedUnderneath(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "journal")
	j := open(t, dir)
	must(t, j.Append(entry(1)))
	must(t, os.Remove(filepath.Join(dir, fileName(2026))))
	must(t, j.Append(entry(2)))
	wantSizes(t, dir, 0, 3)
	must(t, os.RemoveAll(dir))
	must(t, j.Append(entry(3)))
	must(t, j.Append(entry(4)))
	wantSizes(t, dir, 0, 4, 5)
	must(t, j.file.Close()) // as a drive that fails
	if err := j.Append(entry(5)); err == nil || j.file != nil {
		t.Errorf("written to a file that is closed: %v", err)
	}
	if e := entry(5); j.Known(e.Path, e.Size, e.ModTime) {
		t.Error("an entry that was not kept is known")
	}
	must(t, j.Append(entry(6)))
	wantSizes(t, dir, 0, 4, 5, 7)
	must(t, j.file.Close())
	must(t, os.Remove(filepath.Join(dir, fileName(2026))))
	if err := j.Append(entry(7)); err == nil || !strings.Contains(err.Error(), "can't be closed") {
		t.Errorf("the file that is gone could not be closed: %v", err)
	}
	must(t, j.Append(entry(8)))
	wantSizes(t, dir, 0, 9)
	must(t, j.file.Close())
	if err := j.Close(); err == nil {
		t.Error("a file that could not be closed was, it says")
	}
}

// A search asks how many processors there are, and leaves it at that.
func TestSearchLeavesTheProcessors(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(2))
	dir := t.TempDir()
	write(t, dir, 2026, line(t, entry(1)))
	found(t, dir, Filter{})
	if n := runtime.GOMAXPROCS(0); n != 2 {
		t.Errorf("%d processors are used after a search, want 2", n)
	}
}

// A damaged line counts where its beginning, and the verdict in it, could be wanted.
func TestDamageIsCountedWhereItCouldBeWanted(t *testing.T) {
	dir := t.TempDir()
	whole := line(t, judged(1, "/srv/tidemark/quay.tif", rules.Drab, 48))
	unread := entry(2)
	unread.Unread = "it ends early"
	write(t, dir, 2026, whole+whole[:len(whole)-9]+"\n"+strings.TrimSuffix(line(t, unread), "}\n")+"\n")
	for _, c := range []struct {
		f       Filter
		skipped int
	}{
		{Filter{}, 2},
		{Filter{Verdicts: []rules.Verdict{rules.Drab}}, 2}, // the second says nothing of itself: its end is missing
		{Filter{Verdicts: []rules.Verdict{rules.Holds}}, 1},
		{Filter{Names: []string{"boat"}}, 1},
		{Filter{Names: []string{"quay"}}, 2},
		{Filter{To: day}, 1},
	} {
		if _, skipped := found(t, dir, c.f); skipped != c.skipped {
			t.Errorf("%+v: %d damaged lines, want %d", c.f, skipped, c.skipped)
		}
	}
}

// A line that was cut off in a file that can't be written stays so, and that is told.
func TestCutOffLineThatCannotBeEnded(t *testing.T) {
	path := filepath.Join(t.TempDir(), fileName(2026))
	writeFile(t, path, "x")
	f, err := os.Open(path)
	must(t, err)
	defer f.Close()
	j := open(t, t.TempDir())
	if err := j.prepare(f, 1); err == nil || !strings.Contains(err.Error(), "can't be written") || j.Recovered() != "" {
		t.Errorf("%v, want that it can't be written", err)
	}
}

// The end of a file is read in pieces of 64 KiB; a line that ends with a piece's first
// byte, or begins with it, is found where it is.
func TestLastLinesAtTheEndsOfPieces(t *testing.T) {
	for length, front := range map[int]string{65_534: "\n", 65_535: "\n", 65_536: "\n", 65_537: "\n", 65_538: "a\n"} {
		text := front + strings.Repeat("x", length)
		offset, count, err := lastLines(strings.NewReader(text), int64(len(text)), 1)
		if err != nil || offset != int64(len(front)) || count != 1 {
			t.Errorf("a last line of %d bytes: at %d, %d lines, %v", length, offset, count, err)
		}
	}
}
