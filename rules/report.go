package rules

import "time"

// Export is a finished file and what it is for.
type Export struct {
	File    string // as it was named to us
	Folder  Folder // the zero Folder when no watched folder holds it
	Picture Picture
	Before  *Gist // of the export to the same path before it; nil: none is known
}

// Report is everything that one export gave: the line of data from conditions
// to verdict. Its JSON is the interface of `explain --json` and of the journal.
type Report struct {
	File       string      `json:"file"`
	At         time.Time   `json:"at"`
	Purpose    Purpose     `json:"purpose"`
	Judged     Judging     `json:"prints_judged"` // empty: nobody has said
	Paper      string      `json:"paper"`
	Viewing    string      `json:"viewing"`
	Picture    Picture     `json:"picture"`
	Conditions []Condition `json:"conditions"`
	Prediction Prediction  `json:"prediction"`
	Verdict    Verdict     `json:"verdict"`
	Causes     []Cause     `json:"causes"`
	Main       string      `json:"main_cause"` // the condition that the verdict is mostly due to; empty: none, or unsure
	Remedy     *Remedy     `json:"remedy"`     // nil when there is nothing to do
	Remedies   []Remedy    `json:"remedies"`   // all that could be done instead, each solved
	Learnt     Learnt      `json:"learnt"`     // what earlier prints have taught
	Notes      []string    `json:"notes"`
	NoteCodes  []Code      `json:"notes_code"` // of each note its case; none in older journals
	Unsettled  string      `json:"unsettled"`  // the condition whose measurement would tell us most

	// SurroundAsMat tells that the verdict is owed to the editor's surround alone, and that
	// the mat where the print will hang is as light: no fault for the midtones.
	SurroundAsMat bool `json:"surround_as_mat"`

	far string // the condition that is too far out to trust anything; empty: none, or the report is a journal's

	// Raised is by how many stops, at mid grey, the file was raised after it had been
	// predicted dark; null: it was not. Prediction and causes are then of the picture as it
	// was judged, with the raise taken off; what is left is told beside every shift, and
	// decides the verdict. Reports of older versions lack it, and read as 0.
	Raised Figure `json:"raised_stops"`

	Gist *Gist `json:"-"` // for the next export to the same path; nil: there is nothing to recognise
}

// Verdict is the prediction's summary in one word.
type Verdict string

// The verdicts. Unread is the journal's word for a file that could not be read.
const (
	Holds   Verdict = "holds"
	Darker  Verdict = "darker"
	Lighter Verdict = "lighter"
	Drab    Verdict = "drab"
	Unsure  Verdict = "unsure"
	Unread  Verdict = "unread"
)

// Condition is the report's condition of that name; the zero Condition, whose Name
// is empty, when it has none. There is none in a nil report.
func (r *Report) Condition(name string) Condition {
	if r == nil {
		return Condition{}
	}
	return named(r.Conditions, name)
}

// Cause is the share of the cause of that name, in stops; Unknown when the report
// has none.
func (r *Report) Cause(name string) Figure {
	if r != nil {
		for _, c := range r.Causes {
			if c.Name == name {
				return c.Stops
			}
		}
	}
	return Unknown
}

// Whole is the shift of the whole picture against the targets that a person is
// told, in stops, positive darker: corrected where something was learnt. Unknown
// where the picture has nothing but black.
func (r *Report) Whole() Figure { return r.Prediction.Targets.Expected().Whole }

// Condition is one condition at the moment of the export. What there is to know of
// it besides is told by [Describe].
type Condition struct {
	Name     string    `json:"name"`
	Value    Figure    `json:"value"`
	Unit     string    `json:"unit"`
	Target   [2]Figure `json:"target"`    // lowest and highest allowed value; null: no bound, both null: no target
	AgeHours Figure    `json:"age_hours"` // null: not a measurement
	Lives    Figure    `json:"lives"`     // its age over the time for which a reading stays good; null: not a reading of the room
	InTarget bool      `json:"in_target"`
	Assumed  bool      `json:"assumed"`
	Sigma    Figure    `json:"uncertainty"` // relative standard uncertainty
	Source   string    `json:"source"`      // where the value comes from, in plain words
	Doubt    string    `json:"doubt"`       // what speaks against the value, in plain words

	SourceCode Code `json:"source_code"` // empty in older journals
	DoubtCode  Code `json:"doubt_code,omitempty"`
}

// from says where the value comes from.
func (c *Condition) from(code Code, words string) { c.Source, c.SourceCode = words, code }

// IsPredicted tells a value that is predicted, not measured: a screen's white that
// people have turned up since, it seems.
func (c Condition) IsPredicted() bool { return c.SourceCode == SourcePredicted }

// HasTarget tells whether there is a value that the condition should have. What has
// none is only told.
func (c Condition) HasTarget() bool { return c.Target[0].Known() || c.Target[1].Known() }

// Cause is the share of the whole picture's shift that one condition is
// responsible for. Positive darkens the print.
type Cause struct {
	Name  string `json:"name"`
	Stops Figure `json:"stops"`
}

// Remedy is one thing to do now, with a number.
type Remedy struct {
	Name  string `json:"name"` // of the condition, or one of the constants below
	Text  string `json:"text"`
	Value Figure `json:"value"` // null: several, or none
	Unit  string `json:"unit"`
	Left  Figure `json:"left_stops"` // the whole picture's shift that then remains; null when it can't be told

	Shadows Figure   `json:"left_shadows_stops"` // the same of its shadows
	Values  []Figure `json:"values"`             // of all that it is about, in the order of its name
	Units   []string `json:"units"`              // theirs
	Steps   []string `json:"-"`                  // the sentences of the text, one by one; none of a report from the journal

	Code    Code `json:"text_code"`         // the case that the text is of
	Caution bool `json:"caution,omitempty"` // it sends somebody to a lamp, of which a caution has to be said
}

// The remedies that are not about a condition.
const (
	RaiseFile    = "lift"          // a curve for this file; its value is the raise at Y 0.18, in stops
	RaiseShadows = "lift shadows"  // in journals of earlier versions
	ViewingLight = "viewing light" // at the place where the print hangs
	Measure      = "measure"       // what would settle an unsure verdict
	ReportPrints = "report prints" // what would, where the doubt is the model's own
	Everything   = "everything"    // all conditions to their references; its values are in their order
)
