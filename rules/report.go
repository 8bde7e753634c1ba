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
	Unsettled  string      `json:"unsettled"` // the condition whose measurement would tell us most

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
}

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
	Value Figure `json:"value"`
	Unit  string `json:"unit"`
	Left  Figure `json:"left_stops"` // the shift that then remains; null when it can't be told
}

// The remedies that are not about a condition.
const (
	Lift         = "lift"          // the exposure of this file, for the whole picture
	LiftShadows  = "lift shadows"  // the same, for its shadows
	ViewingLight = "viewing light" // at the place where the print hangs
	Measure      = "measure"       // what would settle an unsure verdict
)
