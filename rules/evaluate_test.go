package rules

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// TestOneLine: a report has all that the line of data gives.
func TestOneLine(t *testing.T) {
	r := evaluated(white(200))
	if r.File != "/prints/quay.tif" || r.Purpose != ForPrint || r.Paper != "harbour rag" || r.Viewing != "hall wall" || !r.At.Equal(noon) {
		t.Errorf("report of %q, %s, on %q at %q, %v", r.File, r.Purpose, r.Paper, r.Viewing, r.At)
	}
	var names []string
	for _, c := range r.Conditions {
		names = append(names, c.Name)
	}
	// New ones come behind: whoever reads them by place finds the old ones.
	if got := strings.Join(names, ", "); !strings.HasPrefix(got, "screen luminance, white point, room light, surround, calibration age") {
		t.Errorf("conditions: %s", got)
	}
	if r.Prediction.Targets.Spread == nil || r.Prediction.Viewing.Spread != nil {
		t.Error("the spread belongs to the targets only")
	}
	e := exportOf(quay())
	if want := remarks(&e.Picture, e.Folder, tidemark().Papers[0]); len(want) == 0 || !slices.Equal(notesOf(r), want) {
		t.Errorf("notes: %#v, want those of sense %#v", r.Notes, want)
	}
	bare := quay()
	bare.Width, bare.Height = 0, 0
	if r := Evaluate(tidemark(), exportOf(bare), noon); r.Notes == nil || r.NoteCodes == nil || len(notesOf(r)) != 0 {
		t.Errorf("notes on bare tones: %#v, want none, and [] in JSON", r.Notes)
	}
}

func TestAssumedPaperAndViewing(t *testing.T) {
	for _, c := range []struct {
		folder         Folder
		paper, viewing string
		notes          int
	}{
		{Folder{Paper: "slip gloss", Viewing: "gallery bay"}, "slip gloss", "gallery bay", 0},
		{Folder{}, "harbour rag", "hall wall", 2},
		{Folder{Paper: "slip gloss"}, "slip gloss", "hall wall", 1},
		{Folder{Paper: "no such paper", Viewing: "gallery bay"}, "harbour rag", "gallery bay", 1},
	} {
		pic := quay()
		pic.Notes = []Sentence{{NoteNoProfile, "The file carries no colour profile; it was taken as sRGB."}}
		r := Evaluate(tidemark(), Export{Folder: c.folder, Picture: pic}, noon)
		paper, _ := paperOf(tidemark(), c.folder)
		notes := 1 + c.notes + len(remarks(&pic, c.folder, paper))
		if r.Paper != c.paper || r.Viewing != c.viewing || len(r.Notes) != notes {
			t.Errorf("%+v: on %q at %q, notes %q", c.folder, r.Paper, r.Viewing, r.Notes)
		}
		if r.Purpose != ForPrint {
			t.Errorf("a file of no folder is for %q", r.Purpose)
		}
	}
}

// TestReportJSON: a report goes through JSON and back unchanged.
func TestReportJSON(t *testing.T) {
	r := seeded(41)
	for range 50 {
		first, err := json.Marshal(Evaluate(randomDesk(r), exportOf(randomPicture(r)), noon))
		if err != nil {
			t.Fatal(err)
		}
		var back Report
		if err := json.Unmarshal(first, &back); err != nil {
			t.Fatal(err)
		}
		second, err := json.Marshal(&back)
		if err != nil || string(first) != string(second) {
			t.Fatalf("%s\ncomes back as\n%s (%v)", first, second, err)
		}
	}
}

// extremePictures are pictures that files can hold.
var extremePictures = map[string]Picture{
	"ordinary":   quay(),
	"all black":  {Tones: []Tone{{0, 1}}, Black: 1, Colours: []Colour{{Share: 1}}},
	"all white":  {Tones: []Tone{{1, 1}}, MeanY: 1, White: 1},
	"one tone":   {Tones: []Tone{{0.18, 1}}, MeanY: 0.18},
	"one shadow": {Tones: []Tone{{0.001, 1}}, MeanY: 0.001},
	"two tones":  {Tones: []Tone{{0, 0.999}, {1, 0.001}}, MeanY: 0.001},
	"no colours": graded(42, 22, 60),
	"no tones":   {},
}

// extremeDesks are the ends of what a profile allows.
var extremeDesks = map[string][]func(*Profile){
	"1 cd/m²":              {white(1)},
	"10 000 cd/m²":         {white(10000)},
	"no light":             {lux(0)},
	"no light, not held":   {lux(0), notHeld},
	"100 000 lx":           {lux(100000)},
	"100 000 lx, not held": {lux(100000), notHeld},
	"both":                 {white(1), lux(200000), notHeld},
	"contrast 2":           {func(p *Profile) { p.Displays[0].Contrast = Stated(2.0) }},
	"contrast 1.01":        {func(p *Profile) { p.Displays[0].Contrast = Stated(1.01) }},
	"contrast 10 000 000":  {func(p *Profile) { p.Displays[0].Contrast = Stated(1e7) }},
	"black surround":       {around(0)},
	"white surround":       {around(1)},
	"no reflection":        {func(p *Profile) { p.Displays[0].Screen = Stated(ScreenFinish{"measured", 0}) }},
	"a mirror":             {lux(2000), func(p *Profile) { p.Displays[0].Screen = Stated(ScreenFinish{"measured", 0.3}) }},
	"all of the field":     {func(p *Profile) { p.Surround.Share = Stated(1.0) }},
	"none of the field":    {func(p *Profile) { p.Surround.Share = Stated(0.0) }, around(0)},
	"candles, blue screen": {whitePointOf(25000), func(p *Profile) { p.Room.Lamps = Stated[Kelvin](1700) }},
	"read a century ago":   {readAgo(48, 100*8760*3600e9), measured(36500)},
	"poor paper":           {func(p *Profile) { p.Papers[0].DMax, p.Viewings[0].Light = Stated(0.5), Stated[Lux](1) }},
	"never sure":           {func(p *Profile) { p.Quiet.Probability = 0 }},
	"always sure":          {func(p *Profile) { p.Quiet.Probability = 1 }},
	"everything notable":   {func(p *Profile) { p.Quiet.Noticeable, p.Quiet.Clear = 0.01, 0.01 }, white(97)},
}

// TestExtremes: nothing that a profile and a file can hold panics, gives an
// infinity or a figure that a sentence can't say.
func TestExtremes(t *testing.T) {
	for deskName, changes := range extremeDesks {
		for picName, pic := range extremePictures {
			t.Run(deskName+"/"+picName, func(t *testing.T) {
				p := tidemark(changes...)
				r := Evaluate(p, exportOf(pic), noon)
				c := Resolve(p, noon)
				noInfinity(t, r)
				sayable(t, r, &c, p)
			})
		}
	}
}

// noInfinity fails on infinite figures. Null is allowed; it means that there
// is no such figure.
func noInfinity(t *testing.T, r *Report) {
	t.Helper()
	check := func(what string, figures ...Figure) {
		for _, f := range figures {
			if math.IsInf(float64(f), 0) {
				t.Errorf("%s is infinite", what)
			}
		}
	}
	for name, a := range map[string]Against{"targets": r.Prediction.Targets, "viewing": r.Prediction.Viewing} {
		check(name, a.Shift.Shadows, a.Shift.Midtones, a.Shift.Highlights, a.Shift.Whole, a.Colourfulness, a.LostShare)
		for _, point := range a.Curve {
			check(fmt.Sprintf("%s at Y %.4f", name, point.Y), point.Shift)
		}
		if !(a.LostShare >= -1e-12 && a.LostShare <= 1+1e-12) {
			t.Errorf("%s: lost share %v", name, a.LostShare)
		}
	}
	s := r.Prediction.Targets.Spread
	check("spread", s.Whole.Low, s.Whole.High, s.Shadows.Low, s.Shadows.High)
	for _, p := range []float64{s.Darker, s.Lighter, s.Drab} {
		if !(p >= 0 && p <= 1+1e-9) {
			t.Errorf("probability %v", p)
		}
	}
	for _, cause := range r.Causes {
		check(cause.Name, cause.Stops)
	}
	if m := r.Remedy; m != nil && m.Name != ReportPrints {
		check("remedy", m.Values...)
		if len(m.Values) == 0 || m.Value.Known() != (len(m.Values) == 1) {
			t.Errorf("remedy without a number: %+v", m)
		}
	}
}

func TestWedge(t *testing.T) {
	for _, c := range []struct {
		name    string
		changes []func(*Profile)
		want    [5]bool
	}{
		{"at the targets", nil, [5]bool{}},
		{"bright screen", []func(*Profile){white(200)}, [5]bool{true, true, true, true, false}},
		{"hardly any light: the dark ones", []func(*Profile){lux(2)}, [5]bool{true, true, true, false, false}},
		{"glare: the darkest", []func(*Profile){lux(100), func(p *Profile) { p.Displays[0].Screen = Stated(ScreenFinish{"measured", 0.02}) }}, [5]bool{true}},
		{"white surround", []func(*Profile){around(0.95)}, [5]bool{}},
	} {
		r := Resolve(tidemark(c.changes...), noon)
		if got := wedgeOf(&r, tidemark().Quiet).Hollow; got != c.want {
			t.Errorf("%s: hollow %v, want %v", c.name, got, c.want)
		}
	}
}

// notesOf are the notes of a report with their codes.
func notesOf(r *Report) (notes []Sentence) {
	for i, text := range r.Notes {
		notes = append(notes, Sentence{r.NoteCodes[i], text})
	}
	return notes
}
