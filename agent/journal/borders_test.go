package journal

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
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

// To learn from, an outcome needs both a prediction and what was found.
func TestWhatIsLearntFrom(t *testing.T) {
	none := math.NaN()
	got := Judged([]Outcome{outcome("a", 0.3, none), outcome("b", none, 0.2), outcome("c", none, none), outcome("d", 0.1, 0.2)})
	if len(got) != 1 || got[0].Tone != 0.1 || got[0].Found != 0.2 || !got[0].At.Equal(evening.Add(-time.Hour)) {
		t.Errorf("%+v, want what was found of d alone", got)
	}
}

func TestWhereAtItsEdges(t *testing.T) {
	if w, err := ParseWhere("room > 100", bare); err != nil || w.name != rules.RoomLight || w.sign != ">" || w.value != 100 {
		t.Errorf("%+v, %v", w, err)
	}
	for text, want := range map[string]bool{"surround=1": true, "surround=1.01": false, "surround=101%": true, "surround=100 %": true, "room=1.01": true} {
		if _, err := ParseWhere(text, bare); (err == nil) != want {
			t.Errorf("%s: %v, want it taken: %v", text, err, want)
		}
	}
	if _, err := numberWith("bright", nil, bare); err == nil || !strings.HasPrefix(err.Error(), `"bright" is not a number: `) {
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

// What was appended is among the last at once, and not only after a start.
func TestLastOfAnOpenJournal(t *testing.T) {
	j := open(t, t.TempDir())
	for i := range 7 {
		must(t, j.Append(entry(i)))
	}
	if got := fmt.Sprint(sizes(j.Last(2)), sizes(j.Last(9))); got != "[7 6] [7 6 5 4 3]" {
		t.Errorf("the last are %s", got)
	}
}
