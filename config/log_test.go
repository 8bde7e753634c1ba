package config

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
	"lampblack/rules/light"
)

var morning = time.Date(2026, 3, 1, 9, 10, 0, 0, time.UTC)

var sampleLog = Log{
	Readings: []rules.Reading{
		{At: morning, Light: 41, Place: rules.AtScreen},
		{At: morning.Add(time.Hour), Light: 1234.5, Place: rules.OnDesk, Kelvin: 3000, Sigma: 0.35, Note: `the "blind" half down \ ü`},
		{At: morning.Add(3 * time.Hour), Light: 410, Place: rules.AtPrint},
	},
	Calibrated: []Mark{{morning.Add(2 * time.Hour), `the "north" bench \ ü`}},
	Surrounds:  []SurroundMark{{morning.Add(2 * time.Hour), "light grey"}},
	Whites:     []WhiteMark{{morning.Add(3 * time.Hour), 140, 0.3, "north bench"}},
}

// writeSample writes sampleLog entry by entry, the last reading last.
func writeSample(t *testing.T, path string) {
	t.Helper()
	last := len(sampleLog.Readings) - 1
	var errs []error
	for _, r := range sampleLog.Readings[:last] {
		errs = append(errs, AppendReading(path, r))
	}
	errs = append(errs,
		NewLogFile(path).Append(Log{Calibrated: sampleLog.Calibrated[:1]}),
		NewLogFile(path).Append(Log{Surrounds: sampleLog.Surrounds[:1]}),
		AppendWhite(path, sampleLog.Whites[0]),
		AppendReading(path, sampleLog.Readings[last]))
	for _, err := range errs {
		if err != nil {
			t.Fatal(err)
		}
	}
}

func readLog(t *testing.T, path string) (Log, string) {
	t.Helper()
	l, recovered, err := ReadLog(path)
	if err != nil {
		t.Fatal(err)
	}
	return l, recovered
}

func TestLogThereAndBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "deep", "readings.toml")
	if l, recovered := readLog(t, path); !reflect.DeepEqual(l, Log{}) || recovered != "" {
		t.Errorf("no file gave %v, %q", l, recovered)
	}
	writeSample(t, path)
	l, recovered := readLog(t, path)
	if !reflect.DeepEqual(l, sampleLog) || recovered != "" {
		t.Errorf("got %+v, %q, want %+v", l, recovered, sampleLog)
	}
	rs, _, err := ReadReadings(path)
	if err != nil || !reflect.DeepEqual(rs, sampleLog.Readings) {
		t.Errorf("got readings %v, %v", rs, err)
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
	if err := AppendReading(path, sampleLog.Readings[0]); err != nil {
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
	if err := AppendReading(path, rules.Reading{At: morning, Light: 48, Place: rules.OnDesk, Kelvin: 3000, Sigma: 0.3, Note: "blind half down"}); err != nil {
		t.Fatal(err)
	}
	got, err = os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	want += "[[reading]]\nat = 2026-03-01T09:10:00Z\nlx = 48.0\nk = 3000.0\nuncertainty = 0.3\nnote = \"blind half down\"\nplace = \"desk\"\n"
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
		if countOf(l) != want || !isPrefix(l) {
			t.Fatalf("cut at %d: got %+v, want %d entries of %+v", n, l, want, sampleLog)
		}
		if torn := strings.Count(string(cut), "[[") > want || strings.HasSuffix(string(cut), "\n["); torn != (recovered != "") && n > 1 {
			t.Fatalf("cut at %d (%q): recovered is %q", n, cut, recovered)
		}
		next := rules.Reading{At: morning.Add(9 * time.Hour), Light: 9, Place: rules.OnDesk}
		if err := AppendReading(path, next); err != nil {
			t.Fatal(err)
		}
		l, _ = readLog(t, path)
		if countOf(l) != want+1 || l.Readings[len(l.Readings)-1] != next {
			t.Fatalf("cut at %d, then appended: got %+v", n, l)
		}
	}
}

func countOf(l Log) int {
	return len(l.Readings) + len(l.Calibrated) + len(l.Surrounds) + len(l.Whites)
}

// countEntries counts the entries whose last line is whole.
func countEntries(cut string) int {
	n := 0
	for line := range strings.Lines(cut) {
		line = strings.TrimSuffix(line, "\n")
		for _, last := range []string{"place = ", "display = ", "named = "} {
			if rest, ok := strings.CutPrefix(line, last); ok && len(rest) > 1 && strings.HasSuffix(rest, `"`) && !strings.HasSuffix(rest, `\"`) {
				n++
			}
		}
	}
	return n
}

func isPrefix(l Log) bool {
	return reflect.DeepEqual(l.Readings, sampleLog.Readings[:len(l.Readings)]) ||
		len(l.Readings) == 0
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
			if len(l.Readings) != 2 || l.Readings[0].Light != 41 || l.Readings[1].Light != 42 {
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
	if l, recovered := readLog(t, path); countOf(l) != 0 || recovered != want {
		t.Errorf("got %+v, %q", l, recovered)
	}
}

func TestCommentsAndBlankLinesAreNoTear(t *testing.T) {
	l, broken := parseLog("\ufeff# by hand\r\n\r\n[[reading]] # once\r\nplace = 'desk'\r\nat = 2026-03-01T09:10:00Z\r\nlx = 41 # about\r\nwith = \"a later version's key\"")
	if len(l.Readings) != 1 || len(broken) > 0 {
		t.Errorf("got %+v, broken %v", l, broken)
	}
}

func TestAppendRefusesWhatMakesNoSense(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	for _, err := range []error{
		AppendReading(path, rules.Reading{At: morning, Light: -1, Place: rules.AtScreen}),
		AppendReading(path, rules.Reading{At: morning, Light: rules.Lux(math.NaN()), Place: rules.AtScreen}),
		AppendReading(path, rules.Reading{At: morning, Light: 40}),
		AppendReading(path, rules.Reading{Light: 40, Place: rules.AtScreen}),
		AppendReading(path, rules.Reading{At: morning, Light: 40, Place: rules.AtScreen, Kelvin: 100}),
		AppendReading(path, rules.Reading{At: morning, Light: 40, Place: rules.AtScreen, Sigma: 2}),
		AppendReading(path, rules.Reading{At: morning, Light: 40, Place: rules.AtScreen, Note: "two\nlines"}),
		NewLogFile(path).Append(Log{Calibrated: []Mark{Mark{At: morning}}}),
		NewLogFile(path).Append(Log{Surrounds: []SurroundMark{SurroundMark{At: morning, Name: "blue"}}}),
		AppendWhite(path, WhiteMark{At: morning, White: 0, Display: "north bench"}),
	} {
		if err == nil || !strings.Contains(err.Error(), "makes no sense") {
			t.Errorf("got %v", err)
		}
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("a refused entry was written")
	}
}

func TestAppendTellsWhatTheSystemSaid(t *testing.T) {
	if err := AppendReading(t.TempDir(), sampleLog.Readings[0]); err == nil || !strings.Contains(err.Error(), "was not logged") {
		t.Errorf("a folder as log: %v", err)
	}
	if _, _, err := ReadLog(t.TempDir()); err == nil {
		t.Error("a folder was read as a log")
	}
}

func TestApply(t *testing.T) {
	p, _, err := Parse("desk.toml", []byte(Example), "/home/anna")
	if err != nil {
		t.Fatal(err)
	}
	before, _, _ := Parse("desk.toml", []byte(Example), "/home/anna")
	evening := morning.Add(10 * time.Hour)
	l := Log{
		Readings: []rules.Reading{
			{At: evening, Light: 12, Place: rules.OnDesk},
			{At: morning, Light: 41, Place: rules.AtScreen}, // the profile has it too
			{At: morning.Add(-time.Hour), Light: 30, Place: rules.AtScreen},
			{At: morning, Light: 50, Place: rules.AtScreen},
		},
		Calibrated: []Mark{{evening, "north bench"}, {morning, "north bench"}, {morning.AddDate(-1, 0, 0), "south bench"}, {evening, "gone"}},
		Surrounds:  []SurroundMark{{evening, "white"}, {morning, "black"}},
		Whites:     []WhiteMark{{evening, 140, 0.3, "north bench"}, {morning, 100, 0, "south bench"}, {evening, 90, 0, "gone"}},
	}
	q := l.Apply(p, morning)
	if !reflect.DeepEqual(p, before) {
		t.Error("Apply changed the profile it was given")
	}
	var lights []light.Lux
	for _, r := range q.Readings {
		lights = append(lights, r.Light)
	}
	if !reflect.DeepEqual(lights, []light.Lux{30, 41, 50, 12}) {
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
