package log

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"lampblack/config"
	"lampblack/rules"
)

var morning = time.Date(2026, 3, 1, 9, 10, 0, 0, time.UTC)

// sampleLog has a fact of each kind, with all that they can say and with as little as
// they need.
var sampleLog = Log{
	&Reading{Reading: rules.Reading{At: morning, Light: 41, Place: rules.AtScreen}},
	&Reading{rules.Reading{At: morning.Add(time.Hour), Light: 1234.5, Place: rules.OnDesk, Kelvin: 3000, Sigma: 0.35,
		Note: `the "blind" half down \ ü`, Source: rules.FromCommand}, "south bench"},
	&Calibrated{About{At: morning.Add(2 * time.Hour), Display: `the "north" bench \ ü`, Source: rules.FromClick}},
	&Surround{About{At: morning.Add(2 * time.Hour)}, "light grey"},
	&White{About{At: morning.Add(3 * time.Hour), Sigma: 0.3, Display: "north bench", Source: rules.FromCamera}, 140},
	&Reading{Reading: rules.Reading{At: morning.Add(3 * time.Hour), Light: 410, Place: rules.AtPrint}},
}

// readingOf is a reading as a fact.
func readingOf(at time.Time, light rules.Lux, place rules.Place) *Reading {
	return &Reading{Reading: rules.Reading{At: at, Light: light, Place: place}}
}

// displayAt is what a fact says of a display, and when.
func displayAt(at time.Time, name string) About { return About{At: at, Display: name} }

// writeSample writes sampleLog entry by entry.
func writeSample(t *testing.T, path string) {
	t.Helper()
	for _, f := range sampleLog {
		if err := Append(path, f); err != nil {
			t.Fatal(err)
		}
	}
}

func readLog(t *testing.T, path string) (Log, string) {
	t.Helper()
	l, recovered, err := Read(path)
	if err != nil {
		t.Fatal(err)
	}
	return l, recovered
}

func TestLogThereAndBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "readings.toml")
	if l, recovered := readLog(t, path); len(l) != 0 || recovered != "" {
		t.Errorf("no file gave %v, %q", l, recovered)
	}
	writeSample(t, path)
	l, recovered := readLog(t, path)
	if !reflect.DeepEqual(l, sampleLog) || recovered != "" {
		t.Errorf("got %v, %q, want %v", said(l), recovered, said(sampleLog))
	}
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("others may read the log: %v", info.Mode())
	}
}

func TestLogIsTOMLAsDocumented(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	if err := Append(path, sampleLog[0]); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	want := "[[reading]]\nat = 2026-03-01T09:10:00Z\nlx = 41.0\nplace = \"screen\"\n"
	if string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	// What may be left out stands before the quoted text that ends an entry.
	if err := Append(path, &Reading{rules.Reading{At: morning, Light: 48, Place: rules.OnDesk, Kelvin: 3000, Sigma: 0.3, Note: "blind half down", Source: rules.FromCommand}, "north bench"}); err != nil {
		t.Fatal(err)
	}
	got, err = os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	want += "[[reading]]\nat = 2026-03-01T09:10:00Z\nlx = 48.0\nk = 3000.0\nuncertainty = 0.3\nnote = \"blind half down\"\nsource = \"command\"\ndisplay = \"north bench\"\nplace = \"desk\"\n"
	if string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// Cut anywhere, a log loses its torn entry only, never makes one up, and takes
// new entries as if nothing had been.
func TestLogCutAnywhere(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	writeSample(t, path)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for n := range len(whole) + 1 {
		cut := whole[:n]
		if err := os.WriteFile(path, cut, 0o600); err != nil {
			t.Fatal(err)
		}
		want := countEntries(string(cut))
		l, recovered := readLog(t, path)
		if !reflect.DeepEqual(l, sampleLog[:want]) {
			t.Fatalf("cut at %d: got %v, want %d entries of %v", n, said(l), want, said(sampleLog))
		}
		if torn := strings.Count(string(cut), "[[") > want || strings.HasSuffix(string(cut), "\n["); torn != (recovered != "") && n > 1 {
			t.Fatalf("cut at %d (%q): recovered is %q", n, cut, recovered)
		}
		next := readingOf(morning.Add(9*time.Hour), 9, rules.OnDesk)
		if err := Append(path, next); err != nil {
			t.Fatal(err)
		}
		if l, _ = readLog(t, path); !reflect.DeepEqual(l, append(slices.Clone(sampleLog[:want]), Fact(next))) {
			t.Fatalf("cut at %d, then appended: got %v", n, said(l))
		}
	}
}

// said is a log in words, with all that its entries have.
func said(l Log) (all []string) {
	for _, f := range l {
		text, err := encode(f.Kind(), f)
		all = append(all, fmt.Sprint(f.Words(), ": ", text, err))
	}
	return all
}

// countEntries counts the entries whose last line is whole.
func countEntries(cut string) int {
	n, last := 0, ""
	for line := range strings.Lines(cut) {
		line = strings.TrimSuffix(line, "\n")
		if table, is := strings.CutPrefix(line, "[["); is {
			last = map[string]string{"reading]]": "place = ", "surround]]": "named = "}[table]
			if last == "" {
				last = "display = "
			}
		}
		if rest, ok := strings.CutPrefix(line, last); ok && len(rest) > 1 && strings.HasSuffix(rest, `"`) && !strings.HasSuffix(rest, `\"`) {
			n++
		}
	}
	return n
}

func TestBrokenEntriesLoseNoOthers(t *testing.T) {
	const first = "[[reading]]\nat = 2026-03-01T09:10:00Z\nlx = 41.0\nplace = \"screen\"\n"
	const last = "[[reading]]\nat = 2026-03-01T10:10:00Z\nlx = 42\nplace = \"desk\"\n"
	for name, between := range map[string]string{
		"zeros of a crash":    strings.Repeat("\x00", 512) + "\n",
		"other text":          "something = = else\nand more\n",
		"half a number":       "[[reading]]\nat = 2026-03-01T09:40:00Z\nlx = 4\n",
		"half a header":       "[[read\n",
		"one bracket":         "[\n",
		"single brackets":     "[reading]\nat = 2026-03-01T09:40:00Z\nlx = 4\nplace = \"desk\"\n",
		"unknown table":       "[[outcome]]\nat = 2026-03-01T09:40:00Z\n",
		"light out of range":  "[[reading]]\nat = 2026-03-01T09:40:00Z\nlx = -4\nplace = \"desk\"\n",
		"no such place":       "[[reading]]\nat = 2026-03-01T09:40:00Z\nlx = 4\nplace = \"hall\"\n",
		"a key twice":         "[[reading]]\nat = 2026-03-01T09:40:00Z\nlx = 4\nlx = 5\nplace = \"hall\"\n",
		"impossible kelvin":   "[[reading]]\nat = 2026-03-01T09:40:00Z\nlx = 4\nk = 30\nplace = \"desk\"\n",
		"a note in pieces":    "[[reading]]\nat = 2026-03-01T09:40:00Z\nlx = 4\nnote = \"blind\n",
		"no such surround":    "[[surround]]\nat = 2026-03-01T09:40:00Z\nnamed = \"blue\"\n",
		"calibrated, no name": "[[calibrated]]\nat = 2026-03-01T09:40:00Z\n",
		"letters, not UTF-8":  "[[calibrated]]\nat = 2026-03-01T09:40:00Z\ndisplay = \"\xff\"\n",
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "readings.toml")
			if err := os.WriteFile(path, []byte(first+between+last), 0o600); err != nil {
				t.Fatal(err)
			}
			l, recovered := readLog(t, path)
			if len(l) != 2 || l[0].(*Reading).Light != 41 || l[1].(*Reading).Light != 42 {
				t.Errorf("got %+v", l)
			}
			if !strings.HasPrefix(recovered, path+":5: ") || strings.Contains(recovered, "\n") {
				t.Errorf("recovered is %q, want one sentence that points at line 5", recovered)
			}
		})
	}
}

func TestManyBrokenEntriesAreOneSentence(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	if err := os.WriteFile(path, []byte("# a log\n[[reading]]\nlx = 4\n[[reading]]\n[[read"), 0o600); err != nil {
		t.Fatal(err)
	}
	want := path + ":2: an entry there and 2 more are torn or make no sense; they were left out, all others are kept"
	if l, recovered := readLog(t, path); len(l) != 0 || recovered != want {
		t.Errorf("got %+v, %q", l, recovered)
	}
}

func TestCommentsAndBlankLinesAreNoTear(t *testing.T) {
	l, broken := parse("\ufeff# by hand\r\n\r\n[[reading]] # once\r\nplace = 'desk'\r\nat = 2026-03-01T09:10:00Z\r\nlx = 41 # about\r\nwith = \"a later version's key\"")
	if len(l) != 1 || len(broken) > 0 {
		t.Errorf("got %+v, broken %v", l, broken)
	}
}

func TestAppendRefusesWhatMakesNoSense(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	for _, f := range []Fact{
		readingOf(morning, -1, rules.AtScreen),
		readingOf(morning, rules.Lux(math.NaN()), rules.AtScreen),
		readingOf(morning, 40, ""),
		readingOf(time.Time{}, 40, rules.AtScreen),
		&Reading{Reading: rules.Reading{At: morning, Light: 40, Place: rules.AtScreen, Kelvin: 100}},
		&Reading{Reading: rules.Reading{At: morning, Light: 40, Place: rules.AtScreen, Sigma: 2}},
		&Reading{Reading: rules.Reading{At: morning, Light: 40, Place: rules.AtScreen, Note: "two\nlines"}},
		&Reading{Reading: rules.Reading{At: morning, Light: 40, Place: rules.AtScreen, Source: "two\nlines"}},
		&Calibrated{About{At: morning}},
		&Surround{About{At: morning}, "blue"},
		&White{displayAt(morning, "north bench"), 0},
		&White{displayAt(morning, ""), 120},
	} {
		err := Append(path, sampleLog[0], f)
		if err == nil || !strings.Contains(err.Error(), "makes no sense") {
			t.Errorf("got %v", err)
		}
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("a refused entry was written")
	}
}

func TestAppendTellsWhatTheSystemSaid(t *testing.T) {
	if err := Append(t.TempDir(), sampleLog[0]); err == nil || !strings.Contains(err.Error(), "was not logged") {
		t.Errorf("a folder as log: %v", err)
	}
	if _, _, err := Read(t.TempDir()); err == nil {
		t.Error("a folder was read as a log")
	}
}

// tidemark is the example's profile.
func tidemark(t *testing.T) *rules.Profile {
	t.Helper()
	p, _, err := config.Parse("desk.toml", []byte(config.Example), "/home/anna")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestApply(t *testing.T) {
	p, before := tidemark(t), tidemark(t)
	evening := morning.Add(10 * time.Hour)
	l := Log{
		readingOf(evening, 12, rules.OnDesk),
		readingOf(morning, 41, rules.AtScreen), // the profile has it too
		readingOf(morning.Add(-time.Hour), 30, rules.AtScreen),
		readingOf(morning, 50, rules.AtScreen),
		&Calibrated{displayAt(evening, "north bench")}, &Calibrated{displayAt(morning, "north bench")},
		&Calibrated{displayAt(morning.AddDate(-1, 0, 0), "south bench")}, &Calibrated{displayAt(evening, "gone")},
		&Surround{About{At: evening}, "white"}, &Surround{About{At: morning}, "black"},
		&White{About{At: evening, Sigma: 0.3, Display: "north bench"}, 140}, &White{displayAt(morning.Add(time.Hour), "north bench"), 130},
		&White{displayAt(morning, "south bench"), 100}, &White{displayAt(evening, "gone"), 90},
	}
	q := l.Apply(p, morning)
	if !reflect.DeepEqual(p, before) {
		t.Error("Apply changed the profile it was given")
	}
	var lights []rules.Lux
	for _, r := range q.Readings {
		lights = append(lights, r.Light)
	}
	if !reflect.DeepEqual(lights, []rules.Lux{30, 41, 50, 12}) {
		t.Errorf("got readings %v", q.Readings)
	}
	if q.Displays[0].Measured != rules.Stated(evening) || q.Displays[1].Measured != p.Displays[1].Measured {
		t.Errorf("got calibrations %v and %v", q.Displays[0].Measured, q.Displays[1].Measured)
	}
	if q.Surround.Name != "white" || q.Surround.RelativeY != rules.Stated(0.95) || q.Surround.Backdrop != p.Surround.Backdrop {
		t.Errorf("got surround %+v", q.Surround)
	}
	if q.Displays[0].White != rules.Stated[rules.Luminance](140) || q.Displays[0].WhiteSigma != 0.3 || !q.Displays[0].WhiteAt.Equal(evening) || q.Displays[1].White != p.Displays[1].White {
		t.Errorf("got whites %v and %v", q.Displays[0].White, q.Displays[1].White)
	}
	if q := l.Apply(p, evening); q.Surround != p.Surround || !reflect.DeepEqual(q.Displays[0].White, p.Displays[0].White) {
		t.Errorf("the profile is newer, but its surround became %+v", q.Surround)
	}
}

// What tells one fact from another is what its entry can't do without.
func TestHas(t *testing.T) {
	for _, f := range sampleLog {
		if !sampleLog.Has(f) {
			t.Errorf("it doesn't know %s", f.Words())
		}
	}
	again := *sampleLog[1].(*Reading)
	again.Note, again.Source, again.Kelvin, again.Sigma = "", "", 0, 0
	if again.At = again.At.Local(); !sampleLog.Has(&again) {
		t.Error("with another note, a reading is another")
	}
	for _, f := range []Fact{
		readingOf(morning.Add(1), 41, rules.AtScreen), readingOf(morning, 41.5, rules.AtScreen), readingOf(morning, 41, rules.OnDesk),
		&White{displayAt(morning.Add(3*time.Hour), "south bench"), 140}, &White{displayAt(morning.Add(3*time.Hour), "north bench"), 141},
		&Calibrated{displayAt(morning.Add(2*time.Hour), "light grey")}, &Surround{About{At: morning.Add(2 * time.Hour)}, "white"},
	} {
		if sampleLog.Has(f) {
			t.Errorf("it takes %s for something else", f.Words())
		}
	}
}

// Both ends of the years, typed.
func TestYearsOfTheLog(t *testing.T) {
	for at, want := range map[string]int{
		"1989-12-31T23:59:59Z": 0, "1990-01-01T00:00:00Z": 1, "2199-12-31T23:59:59Z": 1, "2200-01-01T00:00:00Z": 0,
	} {
		l, broken := parse("[[reading]]\nat = " + at + "\nlx = 41.0\nplace = \"screen\"\n")
		if len(l) != want || len(broken) != 1-want {
			t.Errorf("%s: %v, broken %v", at, said(l), broken)
		}
	}
}

// Both ends of each figure, typed: what lies on them is taken, what lies beyond is not.
func TestBounds(t *testing.T) {
	const reading = "[[reading]]\nat = 2026-03-01T09:10:00Z\nlx = 41.0\n%s = %s\nplace = \"screen\"\n"
	for key, c := range map[string]struct {
		entry    string
		in, outs []string
	}{
		"lx":          {strings.Replace(reading, "lx = 41.0\n", "", 1), []string{"0", "200000", "0.0", "200000.0"}, []string{"-0.001", "200000.1", "nan", "inf", `"41"`}},
		"k":           {reading, []string{"1700", "25000.0"}, []string{"1699.9", "25000.1", "0"}},
		"uncertainty": {reading, []string{"0.01", "1", "1.0"}, []string{"0.009", "1.001", "0"}},
		"cd_m2":       {"[[white]]\nat = 2026-03-01T09:10:00Z\n%s = %s\ndisplay = \"north bench\"\n", []string{"1", "10000.0"}, []string{"0.999", "10000.1"}},
	} {
		for i, value := range append(slices.Clone(c.in), c.outs...) {
			l, broken := parse(fmt.Sprintf(c.entry, key, value))
			if want := i < len(c.in); (len(l) == 1) != want || (len(broken) == 0) != want {
				t.Errorf("%s = %s is taken: %v", key, value, len(l) == 1)
			}
		}
	}
}
