package rules

import "encoding/json"

// Prediction is what the appearance model computes for one picture: against the
// desk as it should be (Targets), on which the notice is decided, and against
// the print in its own light (Viewing), which is shown and explained.
type Prediction struct {
	Targets Against     `json:"targets"`
	Viewing Against     `json:"viewing"`
	Steps   ShadowSteps `json:"shadow_steps"`
	Match   Match       `json:"matching_light"`
}

// Match is the light in which this paper's white is as bright as a screen's: the
// answer to "is my screen set for where the print will hang?".
type Match struct {
	Targets Figure `json:"targets_lx"` // for the screen's white as it should be
	Now     Figure `json:"now_lx"`     // for the screen's white as it is
	There   Figure `json:"there_lx"`   // what the viewing place has
}

// Against compares the picture as it was judged with one reference.
type Against struct {
	Shift         Shift        `json:"shift_stops"`
	Corrected     *Shift       `json:"corrected_stops,omitempty"` // as learnt from earlier prints; only against the targets, once there are any
	Left          *Shift       `json:"left_stops,omitempty"`      // of the corrected shift, or else the model's, once the raise of the file is taken into account; only of one that was raised
	Curve         []CurvePoint `json:"curve"`
	WhiteChange   Figure       `json:"white_change_stops"`  // log2 of the white as judged over the reference's
	Unabsorbed    Figure       `json:"unabsorbed_stops"`    // what of that is felt: in every shift
	Colourfulness Figure       `json:"colourfulness_ratio"` // M under the reference over M as judged; below 1: drabber; null: no colours
	Contrast      Figure       `json:"contrast_ratio"`      // of the contrast between the 10th and the 90th percentile; below 1: flatter; null: it has none
	LostShare     Figure       `json:"lost_share"`          // share of the picture that could be told from black as judged, and can't under the reference
	Cast          Cast         `json:"cast"`
	Spread        *Spread      `json:"spread,omitempty"` // how sure; only against the targets
}

// UnmarshalJSON reads what the journal has. What an older version did not tell is
// Unknown, not nothing.
func (a *Against) UnmarshalJSON(text []byte) error {
	type keys Against // which have no method of this name
	told := keys{WhiteChange: Unknown, Unabsorbed: Unknown, Contrast: Unknown}
	err := json.Unmarshal(text, &told)
	*a = Against(told)
	return err
}

// Expected is the shift to tell a person: corrected where something was learnt, and what
// is left of it where the file was raised.
func (a Against) Expected() Shift {
	if a.Left != nil {
		return *a.Left
	}
	return a.AsJudged()
}

// AsJudged is the same of the picture as it was judged, whatever the file was raised by
// since.
func (a Against) AsJudged() Shift {
	if a.Corrected != nil {
		return *a.Corrected
	}
	return a.Shift
}

// answeredBy takes into account by how much the file was raised, if it was.
func (p *Prediction) answeredBy(by raised) {
	if by == (raised{}) {
		return
	}
	p.Targets.Left, p.Viewing.Left = by.left(p.Targets.Expected()), by.left(p.Viewing.Expected())
}

// Shift is how far off the print comes out, in stops; positive is darker.
// A figure is null when the picture has no such tones.
type Shift struct {
	Shadows    Figure `json:"shadows"`    // L* < 30
	Midtones   Figure `json:"midtones"`   // 30 ≤ L* < 70
	Highlights Figure `json:"highlights"` // L* ≥ 70
	Whole      Figure `json:"whole"`
}

// CurvePoint is the shift of one tone; null for no light at all.
type CurvePoint struct {
	Y     float64 `json:"Y"`
	Shift Figure  `json:"shift"`
}

// ShadowSteps counts just-noticeable steps (DICOM PS3.14) over the picture's
// shadows, from the 0.5th to the 25th percentile of its pixels.
type ShadowSteps struct {
	Screen    Figure `json:"screen"`            // on the screen as it is now
	AtTargets Figure `json:"screen_at_targets"` // on the screen as it should be
	Print     Figure `json:"print"`             // on the print in its light
}

// Spread is the distribution of the shift against the targets, given the
// uncertainty of every condition.
type Spread struct {
	Whole    Interval `json:"whole"`
	Shadows  Interval `json:"shadows"`
	Darker   float64  `json:"p_darker"`  // probability that whole or shadows pass their steps
	Lighter  float64  `json:"p_lighter"` // likewise in the other direction
	Drab     float64  `json:"p_drab"`
	Measure  string   `json:"measure"`       // the condition whose measurement would narrow it most
	Explains float64  `json:"measure_share"` // the part of the desk's variance that it would take away

	DeskShare  float64 `json:"desk_share"`  // of the variance, what comes from the desk's conditions
	ModelShare float64 `json:"model_share"` // and from the model itself; they add up to 1, or are both 0 where nothing varies
}

// Interval is a median with the 16th and 84th percentile, in stops, and the
// probability of being darker than the noticeable step.
type Interval struct {
	Low    Figure  `json:"low"`
	Median Figure  `json:"median"`
	High   Figure  `json:"high"`
	Darker float64 `json:"p_darker"`
}
