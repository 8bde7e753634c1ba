package log

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
)

// Every kind is in the sample on which the tests of the log play, sounds like a fact,
// and has a name of its own.
func TestKinds(t *testing.T) {
	for _, k := range kinds {
		if !slices.ContainsFunc(sampleLog, func(f Fact) bool { return f.Kind() == k.table }) {
			t.Errorf("no %s is in the sample", k.table)
		}
		if known, ok := kindNamed(k.table); !ok || known.name != k.name || k.name == "" || k.table == withdrawnTable {
			t.Errorf("the table %s is that of %q, and of %q", k.table, k.name, known.name)
		}
	}
	if got, want := Kinds(), "a reading, a calibration, a screen's white or a surround"; got != want {
		t.Errorf("the kinds are %q, want %q", got, want)
	}
}

func TestWords(t *testing.T) {
	for i, want := range []string{
		"41 lx at the screen", "1230 lx at the desk", `the calibration of the "north" bench \ ü`, `the surround "light grey"`,
		"the white of 140 cd/m² of north bench", "410 lx at the print",
	} {
		if got := sampleLog[i].Words(); got != want {
			t.Errorf("%d is told as %q, want %q", i, got, want)
		}
	}
}

// hum is a kind of fact that this test makes up: how many hertz a display hums at.
type hum struct {
	About
	Hertz float64
}

func (*hum) Kind() string { return "hum" }

func (h *hum) Words() string { return figure(h.Hertz) + " Hz of " + h.Display }

func (h *hum) fields(f *fields) {
	moment(f, needed, "at", &h.At)
	number(f, needed, "hz", &h.Hertz, 16, 20_000)
	h.source(f)
	line(f, needed, "display", &h.Display)
}

func (h *hum) layOver(p *rules.Profile, _ time.Time) {
	if d := displayNamed(p, h.Display); d != nil {
		d.Contrast = rules.Stated(h.Hertz) // no display has a hum of its own
	}
}

// A kind takes a type and a line in the list: whatever the log does, it then does with
// it, too.
func TestANewKind(t *testing.T) {
	known := kinds
	t.Cleanup(func() { kinds = known })
	kinds = append(slices.Clone(kinds), kindOf[hum]("hum"))

	path := filepath.Join(t.TempDir(), "readings.toml")
	writeSample(t, path)
	h := &hum{About{At: morning, Display: "north bench", Source: rules.FromSensor}, 50}
	louder := &hum{About{At: morning.Add(time.Hour), Display: "north bench"}, 100}
	if err := Append(path, louder, h); err != nil {
		t.Fatal(err)
	}
	l, recovered := readLog(t, path)
	if want := append(slices.Clone(sampleLog), louder, h); !reflect.DeepEqual(l, want) || recovered != "" {
		t.Fatalf("the log is %v, %q", said(l), recovered)
	}
	if err := Append(path, &hum{About{At: morning, Display: "north bench"}, 5}); err == nil || !strings.Contains(err.Error(), "5 Hz of north bench, of 2026-03-01 09:10:00 +0000 UTC, makes no sense as a hum") {
		t.Errorf("of a hum that nobody hears it says %v", err)
	}
	if !l.Has(h) || l.Has(&hum{h.About, 51}) || len(Of[*hum](l)) != 2 {
		t.Error("it isn't found, or another is")
	}
	if c := l.Apply(tidemark(t), morning).Displays[0].Contrast; c != rules.Stated(100.0) {
		t.Errorf("laid over, it is %v", c)
	}
	back, ok, err := TakeBackLast(path, morning.Add(2*time.Hour))
	if err != nil || !ok || !reflect.DeepEqual(back, h) || back.Words() != "50 Hz of north bench" {
		t.Errorf("taken back was %+v, %v, %v", back, ok, err)
	}
	if err := NewFile(path).TakeBack(louder, morning.Add(3*time.Hour)); err != nil {
		t.Error(err)
	}
	if l, recovered := readLog(t, path); !reflect.DeepEqual(l, sampleLog) || recovered != "" {
		t.Errorf("left is %v, %q", said(l), recovered)
	}
	if !strings.HasSuffix(Kinds(), " or a hum") {
		t.Errorf("the kinds are %s", Kinds())
	}
}

// Entries from before a fact had a source are read as before, and those of a source
// that a later version knows, as they are.
func TestSources(t *testing.T) {
	const old = "[[white]]\nat = 2026-03-01T09:10:00Z\ncd_m2 = 118.0\ndisplay = \"north bench\"\n"
	l, broken := parse(old + strings.Replace(old, "display", "source = \"the moon\"\ndisplay", 1))
	if len(l) != 2 || len(broken) > 0 || l[0].Told().Source != "" || l[1].Told().Source != "the moon" {
		t.Errorf("got %v, broken %v", said(l), broken)
	}
	for _, s := range []rules.Source{rules.FromProfile, rules.FromClick, rules.FromCommand, rules.FromCamera, rules.FromSensor,
		rules.FromPhotograph, rules.FromPrints, rules.FromSystem} {
		f := &Surround{About{At: morning, Source: s, Display: "north bench"}, "black"}
		text, err := encode(f.Kind(), f)
		want := "[[surround]]\nat = 2026-03-01T09:10:00Z\nsource = \"" + string(s) + "\"\ndisplay = \"north bench\"\nnamed = \"black\"\n"
		if err != nil || text != want {
			t.Errorf("it is written as %q, %v; want %q", text, err, want)
		}
		if l, _ := parse(text); len(l) != 1 || !reflect.DeepEqual(l[0], f) {
			t.Errorf("%s comes back as %v", s, said(l))
		}
	}
}

// A log of 100 000 entries, torn in its middle, loses the torn one alone; what was
// logged last is taken back.
func TestLongLog(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	var b strings.Builder
	for i := range 100_000 {
		fmt.Fprintf(&b, "[[reading]]\nat = %s\nlx = 41.0\n", morning.Add(time.Duration(i)*time.Minute).Format(time.RFC3339))
		if i != 50_000 {
			b.WriteString("place = \"screen\"\n")
		}
	}
	if err := os.WriteFile(path, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	l, recovered := readLog(t, path)
	if len(l) != 99_999 || !strings.HasPrefix(recovered, path+":200001: ") { // after 50 000 entries of four lines
		t.Errorf("it has %d entries, and says %q", len(l), recovered)
	}
	if n := len(l.Apply(tidemark(t), morning).Readings); n != 99_999 { // the profile's own one says the same as the first
		t.Errorf("laid over, there are %d", n)
	}
	last, ok, err := TakeBackLast(path, morning)
	if err != nil || !ok || !last.Told().At.Equal(morning.Add(99_999*time.Minute)) {
		t.Errorf("taken back was %+v, %v, %v", last, ok, err)
	}
	if l, _ := readLog(t, path); len(l) != 99_998 {
		t.Errorf("left are %d", len(l))
	}
}
