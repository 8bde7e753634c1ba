package rules

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"lampblack/rules/colour"
	"lampblack/rules/light"
)

// What people saw in published experiments, each situation put through the rules as if
// it were a desk. testdata/evidence holds the figures with their sources.

const evidenceFolder = "../testdata/evidence/"

// evidenceGroup is one file of evidence: situations that ask the same.
type evidenceGroup struct {
	name        string // of its file
	Title       string
	Quantity    string  // a key of evidenceQuantities
	Unit        string  // of what was observed
	Judged      Judging // how whoever compared did it
	Independent string  // what this tests, and what it doesn't
	Short       string  // the same, for a column: is it an independent test?
	Sources     []string
	Notes       []string
	Situations  []evidenceSituation
}

// evidenceSituation is what the same samples looked like in two viewing conditions.
type evidenceSituation struct {
	Name     string
	From, To evidenceSetting
	Rows     []observation
}

// evidenceSetting is one viewing condition as it was published. Its white is told in
// cd/m², or in lx on a perfect white.
type evidenceSetting struct {
	White    Luminance `json:"white_cd_m2"`
	Lux      Lux       `json:"lx"`
	Mean     float64   `json:"mean"`           // of the picture, relative to white
	Surround float64   `json:"surround"`       // around it, relative to white
	Ratio    float64   `json:"surround_ratio"` // S_R
}

// observation is what was seen, and how sure that is.
type observation struct {
	Name     string     // who saw it, where a tone doesn't tell the rows apart
	Y        float64    // mean relative luminance of the samples
	Percent  [2]float64 `json:"Y_percent"` // the range of Y that they are from
	Samples  int        `json:"n"`
	Observed float64
	Range    []float64 `json:"observed_range"` // where the source has no single figure
	SE       float64   // standard error of Observed
	OurSE    bool      `json:"se_is_ours"` // the source has none
	SD       float64   // of the samples
}

// evidenceNames are the groups in the order of the page, with how many rows they have.
var evidenceNames = []struct {
	name string
	rows int
}{
	{"background", 20}, {"border", 8}, {"csaj-stevens", 19}, {"lutchi-levels", 11}, {"beside", 3}, {"room", 6}, {"colourfulness", 7},
}

// readEvidence reads a file of testdata/evidence; a key that it shouldn't have fails.
func readEvidence(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile(evidenceFolder + name)
	if err != nil {
		t.Fatal(err)
	}
	d := json.NewDecoder(strings.NewReader(string(text)))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

// evidence reads all groups.
func evidence(t *testing.T) []evidenceGroup {
	t.Helper()
	var groups []evidenceGroup
	for _, n := range evidenceNames {
		g := evidenceGroup{name: n.name}
		readEvidence(t, n.name+".json", &g)
		rows := 0
		for _, s := range g.Situations {
			rows += len(s.Rows)
		}
		if rows != n.rows || len(g.Sources) == 0 || g.Independent == "" || g.Short == "" || evidenceQuantities[g.Quantity] == nil {
			t.Fatalf("%s: %d rows of %d, or no source, or nothing about what it tests, or no such quantity", n.name, rows, n.rows)
		}
		groups = append(groups, g)
	}
	return groups
}

// look is a desk in that setting: a perfect black, no reflection, the picture's share
// 0.6, and as much light in the room as gives the surround ratio. Everything is D65, for
// what is asked is how light a tone looks.
func (s evidenceSetting) look(eye observer) look {
	white := s.White
	if s.Lux > 0 {
		white = light.Print(s.Lux, 1)
	}
	d := desk{
		screen:   light.Screen{White: white, Contrast: math.Inf(1)},
		white:    colour.D65,
		lamps:    colour.D65,
		room:     light.MatchingLux(Luminance(s.Ratio)*white, whiteCard),
		surround: s.Surround,
		share:    0.6,
		eye:      eye,
	}
	return d.at(s.Mean)
}

// looks are both conditions of a situation, seen with those eyes.
func (s evidenceSituation) looks(eye observer) (from, to look) {
	return s.From.look(eye), s.To.look(eye)
}

// evidenceQuantities are what was observed, as the rules have it.
var evidenceQuantities = map[string]func(from, to *look, o observation) float64{
	"shift":         func(from, to *look, o observation) float64 { return shiftOf(from, to, o.Y) },
	"stops a stop":  func(from, to *look, _ observation) float64 { return stopsAStop(from, to) },
	"contrast":      func(from, to *look, _ observation) float64 { return contrastNeeded(from, to) },
	"colourfulness": func(from, to *look, _ observation) float64 { return 1 / colourfulnessRatio(from, to, hueCircle()) },
}

// stopsAStop is the mean shift over the change of the white.
func stopsAStop(from, to *look) float64 {
	tones := [...]float64{0.05, 0.1, 0.2, 0.4, 0.7}
	var sum float64
	for _, y := range tones {
		sum += shiftOf(from, to, y)
	}
	return sum / float64(len(tones)) / whiteChange(from, to)
}

// contrastNeeded is the slope, in stops a stop, between two tones as chosen in one
// condition and the tones that look the same in the other.
func contrastNeeded(from, to *look) float64 {
	const low, high = 0.02, 0.6
	lowShift, _ := toneShift(from, to, low) // unbounded, as a strong room needs it
	highShift, _ := toneShift(from, to, high)
	chosen := math.Log2(high / low)
	return (chosen + highShift - lowShift) / chosen
}

// hueCircle is twelve hues of C*ab 35 at each of three lightnesses.
func hueCircle() []chosen {
	var pic Picture
	for _, l := range []float64{40, 50, 60} {
		for hue := 0.0; hue < 360; hue += 30 {
			sin, cos := math.Sincos(hue * math.Pi / 180)
			pic.Colours = append(pic.Colours, Colour{colour.Lab{L: l, A: 35 * cos, B: 35 * sin}, 1.0 / 36})
		}
	}
	return coloursOf(&pic)
}

// evidenceRow is one observation with what the rules say.
type evidenceRow struct {
	situation, label string
	o                observation
	ours             float64
}

// key tells the row from the others of its group.
func (r evidenceRow) key() string { return r.situation + ", " + r.label }

// miss is how far off the rules are.
func (r evidenceRow) miss() float64 { return r.ours - r.o.Observed }

// allowed is what counts as inside: two standard errors, at least a noticeable step.
func (r evidenceRow) allowed() float64 { return math.Max(2*r.o.SE, 0.15) }

func (r evidenceRow) inside() bool { return math.Abs(r.miss()) <= r.allowed() }

// evidenceResult is a group with what the rules say to each of its rows.
type evidenceResult struct {
	evidenceGroup
	rows []evidenceRow
}

func (g evidenceGroup) result() evidenceResult {
	r := evidenceResult{evidenceGroup: g}
	for _, s := range g.Situations {
		from, to := s.looks(seer(g.Judged))
		for _, o := range s.Rows {
			label := o.Name
			if label == "" && o.Y > 0 {
				label = fmt.Sprintf("Y %.3g", o.Y)
			}
			if label == "" {
				label = "all tones"
			}
			r.rows = append(r.rows, evidenceRow{s.Name, label, o, evidenceQuantities[g.Quantity](&from, &to, o)})
		}
	}
	return r
}

// rms is the root of the mean square of the misses.
func (r evidenceResult) rms() float64 {
	var sum float64
	for _, row := range r.rows {
		sum += row.miss() * row.miss()
	}
	return math.Sqrt(sum / float64(len(r.rows)))
}

// inside counts the rows that are.
func (r evidenceResult) inside() int {
	n := 0
	for _, row := range r.rows {
		if row.inside() {
			n++
		}
	}
	return n
}

// nothing is what a program would say that computed nothing: that a picture looks the
// same everywhere.
func (r evidenceResult) nothing() evidenceResult {
	same := 1.0 // of ratios
	if r.Quantity == "shift" || r.Quantity == "stops a stop" {
		same = 0
	}
	n := evidenceResult{evidenceGroup: r.evidenceGroup}
	for _, row := range r.rows {
		row.ours = same
		n.rows = append(n.rows, row)
	}
	return n
}

// evidenceResults are all groups as the rules have them today.
func evidenceResults(t *testing.T) []evidenceResult {
	t.Helper()
	var results []evidenceResult
	for _, g := range evidence(t) {
		results = append(results, g.result())
	}
	return results
}
