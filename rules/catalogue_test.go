package rules

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"unicode"

	"gonum.org/v1/gonum/mat"
)

// TestCatalogue: each kind of condition has what the others of its parts need.
func TestCatalogue(t *testing.T) {
	names := map[string]bool{}
	for _, k := range catalogue {
		for _, name := range append([]string{k.name}, k.short) {
			if name != "" && names[name] {
				t.Errorf("two conditions are called %q", name)
			}
			names[name] = true
		}
		switch {
		case k.resolve == nil:
			t.Errorf("%s is not resolved", k.name)
		case k.reference != nil && (k.put == nil || k.allowed == nil || k.here == nil):
			t.Errorf("%s has a reference, but can't be put there", k.name)
		case k.set != nil && k.reference == nil:
			t.Errorf("%s can be set, but to nothing", k.name)
		case k.unit.Whole != "" && !slices.Contains(k.unit.Typed, "%"):
			t.Errorf("%s is told in percent, and not typed so", k.name)
		case strings.ContainsFunc(k.name+k.unit.ASCII, func(r rune) bool { return r > unicode.MaxASCII }):
			t.Errorf("%s (%s) is not in ASCII", k.name, k.unit.ASCII)
		}
		for _, way := range k.departures {
			if way.apply != nil && (way.darkens == "" || way.lightens == "") {
				t.Errorf("%s moves the print for no reason", way.name)
			}
		}
		if s := k.scale; s != nil && (s.From >= s.To || !slices.IsSorted(s.Ticks) || s.Spacing.Place(s.From) >= s.Spacing.Place(s.To)) {
			t.Errorf("the scale of %s is %+v", k.name, *s)
		}
	}
}

// TestThereAndBack: a condition that is put somewhere is read there, and whatever a
// desk has departed to is undone by its departures, or by putting it at its target.
func TestThereAndBack(t *testing.T) {
	c := Resolve(offTarget(), noon)
	now, should := c.now(), c.reference()
	back, undone := now, now
	for _, k := range catalogue {
		if k.reference != nil {
			v := k.reference(c.target)
			back = k.put(back, v)
			if k.read != nil {
				near(t, k.name, k.read(back), v, 1e-9)
			}
		}
		for _, way := range k.departures {
			undone = way.from(undone, should)
		}
	}
	if back != should || undone != should || now == should {
		t.Errorf("the desk %+v, put back %+v, undone %+v, want %+v", now, back, undone, should)
	}
}

// TestColumns: every input has a column to itself, and says what it needs to. Those of
// the model are nobody's to measure.
func TestColumns(t *testing.T) {
	seen := map[int]string{}
	for _, in := range uncertain {
		if other, taken := seen[in.column]; taken {
			t.Errorf("%s and %s have the same column %d", other, in.name, in.column)
		}
		seen[in.column] = in.name
		if in.sigma == nil || in.apply == nil || in.model && in.renewable != nil {
			t.Errorf("%s: %+v", in.name, in)
		}
	}
	// A column once given is never another's: that would move all figures.
	for column, name := range []string{"white", "room", "reflection", "contrast", "surround", "drift", "unabsorbed", "strength", "share"} {
		if seen[column] != name {
			t.Errorf("column %d is of %q, was of %q", column, seen[column], name)
		}
	}
}

// TestMoreColumns: a column leaves those before it as they are, to the bit.
func TestMoreColumns(t *testing.T) {
	n := columns(uncertain)
	few, many := deviatesOf(n), deviatesOf(n+3)
	for i := range samples {
		for in := range n {
			if a, b := few.At(i, in), many.At(i, in); math.Float64bits(a) != math.Float64bits(b) {
				t.Fatalf("sample %d of column %d is %v, with more columns %v", i, in, a, b)
			}
		}
		if z := many.At(i, n+2); math.IsNaN(z) || z == few.At(i, n-1) {
			t.Fatalf("sample %d of a new column is %v", i, z)
		}
	}
}

// withKind puts one more condition into the catalogue for the rest of a test.
func withKind(t *testing.T, k kind) {
	t.Helper()
	before, ways, inputs, set := catalogue, departures, uncertain, deviates
	t.Cleanup(func() { catalogue, departures, uncertain, deviates = before, ways, inputs, set })
	catalogue = append(slices.Clone(catalogue), &k)
	departures = append(slices.Clone(departures), k.departures...)
	uncertain = append(slices.Clone(uncertain), k.inputs...)
	wide := deviatesOf(columns(uncertain))
	deviates = func() *mat.Dense { return wide }
}

// hum is a condition of which there is nothing but a value.
func hum(value Figure) kind {
	return kind{name: "hum", resolve: func(_ moment, _ *Conditions, k *Condition) { k.Value, k.InTarget = value, true }}
}

// movingHum is a condition that is out of its target and darkens the print, and that
// nobody can set.
func movingHum() kind {
	louder := func(d desk, by float64) desk {
		d.screen.White *= Luminance(by)
		return d
	}
	moving := hum(50)
	moving.allowed = func(Target) Range { return Range{0, 40} }
	moving.resolve = func(_ moment, _ *Conditions, k *Condition) { k.Value = 50 }
	moving.here = func(_ *Conditions, d desk) desk { return louder(d, 2) }
	moving.put = func(d desk, _ float64) desk { return louder(d, 0.5) }
	moving.reference = func(Target) float64 { return 20 }
	moving.departures = []departure{{name: "hum", apply: func(d, other desk) desk {
		d.screen.White = other.screen.White
		return d
	}}}
	moving.inputs = []input{{
		name: "hum", column: columns(uncertain),
		sigma: func(*Conditions) float64 { return 0 },
		apply: func(_ *Conditions, s drawn, _ float64) drawn {
			s.now = louder(s.now, 2)
			return s
		},
	}}
	return moving
}

// wholeText is everything that is said about a report, one piece a line.
func wholeText(r *Report, c *Conditions, q Quiet) string {
	lines := Lines(r)
	n := NoticeFor(r)
	lines = append(lines, n.Title, n.Body)
	s := Summarise(c, q, r)
	lines = append(append(lines, s.Headline, s.Last.String()), s.Conditions...)
	for _, k := range c.List {
		w := InWords(k)
		lines = append(lines, w.Name, w.Value, w.Target, w.Word, w.Origin)
	}
	return strings.Join(lines, "\n")
}

// broken are what sentences have in which a piece is missing.
var broken = []string{"NaN", "  .", " .", "()", "  :", ": \n", "is \n", "is :", "(target )", "\n.\n", " ,", ": ."}

func TestWhatAConditionLeavesOut(t *testing.T) {
	moving := movingHum()
	distant := hum(50)
	distant.far = func(Condition, Target) bool { return true }
	distant.allowed = moving.allowed
	distant.resolve = moving.resolve
	for name, tt := range map[string]struct {
		kind    kind
		verdict Verdict
		about   string
		remedy  string // its name; empty: none
		says    string
	}{
		"only told":           {hum(50), Holds, "", "", "Hum 50\n"},
		"only told, unknown":  {hum(Unknown), Holds, "", "", "The hum is not known\n"},
		"moves, can't be set": {moving, Darker, "hum", RaiseFile, "The hum is too high: 50 (target up to 40)\n"},
		"far out":             {distant, Unsure, "hum", "", "Can't tell: the hum is too high\n"},
	} {
		t.Run(name, func(t *testing.T) {
			withKind(t, tt.kind)
			p := tidemark()
			if tt.kind.departures != nil {
				// What is the hum's own is not the screen's.
				screen := *catalogue[0]
				screen.departures, screen.set = nil, nil
				catalogue[0] = &screen
				departures = slices.DeleteFunc(slices.Clone(departures), func(d departure) bool { return d.name == ScreenLuminance })
			}
			r, c := Evaluate(p, exportOf(quay()), noon), Resolve(p, noon)
			if r.Verdict != tt.verdict || r.About() != tt.about {
				t.Errorf("%s about %q, want %s about %q", r.Verdict, r.About(), tt.verdict, tt.about)
			}
			if got := r.Remedy; (got == nil) != (tt.remedy == "") || got != nil && (got.Name != tt.remedy || len(got.Text) < 10) {
				t.Errorf("remedy %+v, want %q", got, tt.remedy)
			}
			text := wholeText(r, &c, p.Quiet) + "\n"
			if !strings.Contains(text, tt.says) {
				t.Errorf("nothing says %q:\n%s", tt.says, text)
			}
			for _, b := range broken {
				if strings.Contains(text, b) {
					t.Errorf("something is missing at %q:\n%s", b, text)
				}
			}
		})
	}
}

// TestOneMoreInput: an uncertain input that is certain moves no figure.
func TestOneMoreInput(t *testing.T) {
	text := func() string {
		r := evaluated(white(130), lux(90), notHeld)
		r.Conditions = nil
		b, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	before := text()
	more := hum(50)
	sigma := 0.0
	more.inputs = []input{{
		name: "hum", column: columns(uncertain),
		sigma: func(*Conditions) float64 { return sigma },
		apply: func(_ *Conditions, s drawn, off float64) drawn {
			s.now.screen.White *= Luminance(math.Exp(off))
			return s
		},
	}}
	withKind(t, more)
	if after := text(); after != before {
		t.Errorf("before\n%s\nafter\n%s", before, after)
	}
	if sigma = 0.3; text() == before {
		t.Error("the new input is not heard")
	}
}

// TestDescriptionsOfStrangers: what only a later version knows has its name.
func TestDescriptionsOfStrangers(t *testing.T) {
	if d, known := Describe("hum"); known || d.Name != "hum" || d.Scale != nil || d.Causes != nil {
		t.Errorf("%+v, %v", d, known)
	}
	for _, d := range Catalogue() {
		if got, known := Describe(d.Name); !known || got.Name != d.Name {
			t.Errorf("%s: %+v, %v", d.Name, got, known)
		}
	}
	for name, want := range map[string]string{Glare: "glare on the screen", RoomLight: RoomLight, "hum": "hum"} {
		if got := CauseTitle(name); got != want {
			t.Errorf("%s is drawn as %q, want %q", name, got, want)
		}
	}
	if got := reasonOf(Cause{RoomLight, -0.2}, true); got != "the room is brighter than your reference, so the picture looked darker on screen" {
		t.Errorf("in its target: %q", got)
	}
	if got := reasonOf(Cause{"hum", -0.2}, false); got != "the hum is not at your target" {
		t.Errorf("%q", got)
	}
}

// TestReportKnows: what others ask of a report.
func TestReportKnows(t *testing.T) {
	r := evaluated(white(180))
	if got := r.Condition(ScreenLuminance); got.Value != 180 || r.Condition("hum").Name != "" {
		t.Errorf("%+v", got)
	}
	if got := r.Cause(ScreenLuminance); !(got > 0.2) || r.Cause("hum").Known() {
		t.Errorf("the screen's share is %v, that of a hum %v", got, r.Cause("hum"))
	}
	if r.Whole() != r.Prediction.Targets.Shift.Whole {
		t.Errorf("whole %v", r.Whole())
	}
	r.Prediction.Targets.Corrected = &Shift{Whole: 0.125}
	if r.Whole() != 0.125 {
		t.Errorf("whole %v, want as learnt", r.Whole())
	}
	var none *Report
	if none.Condition(RoomLight).Name != "" || none.Cause(Glare).Known() {
		t.Error("a report that is none knows something")
	}
}
