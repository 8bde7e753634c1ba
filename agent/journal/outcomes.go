package journal

import (
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"lampblack/config/private"
	"lampblack/rules"
)

// outcomesFile holds the outcomes, beside the years: a few lines that are read
// at every start, where a year can have many thousands.
const outcomesFile = "outcomes.jsonl"

// Outcome is how the print of a journaled export really came out. It is a fact like
// those of the log beside the profile, told and taken back in the menu like them; it is
// kept here because it is about an export, which the journal knows, and says nothing of
// the desk until something is learnt from it. The export's
// identity and its prediction are repeated here, so that an outcome can be read
// without the journal. Lines of the first version have no parts of a prediction; see
// [Outcome.Lacks].
type Outcome struct {
	Version   int           `json:"v"` // set by AppendOutcome
	At        time.Time     `json:"at"`
	Path      string        `json:"path"`
	Size      int64         `json:"size"`
	ModTime   time.Time     `json:"mtime"`
	Predicted rules.Figure  `json:"predicted_stops"` // whole picture, against the targets, uncorrected
	Tone      rules.Figure  `json:"tone_stops"`      // of that, the tones' own part, in stops; null or left out: not known
	White     rules.Figure  `json:"white_stops"`     // log2 of the white as judged over the reference's; null or left out: not known
	Raised    rules.Figure  `json:"raised_stops"`    // by how much the whole picture was raised after it was judged; null or left out: it was not
	Word      rules.Outcome `json:"outcome,omitempty"`
	Found     rules.Figure  `json:"found_stops"`     // positive darker, of the file as it was printed; null: says nothing of lightness
	Reset     bool          `json:"reset,omitempty"` // forget what stands above

	// Withdraws is the moment of what is taken back: an outcome of this export, or with an
	// empty path a reset. Zero: nothing is.
	Withdraws time.Time `json:"withdraws,omitzero"`
}

// Lacks tells that the outcome says something of lightness, and of the prediction that
// it is held against only the whole: its line, or the entry behind it, is of the first
// version.
func (o Outcome) Lacks() bool {
	return o.Predicted.Known() && o.Found.Known() && !(o.Tone.Known() && o.White.Known())
}

// AppendOutcome writes an outcome into the journal in dir and returns when it
// is on the disk. Unlike entries, outcomes may be appended by any process. Those
// of a newer format are left as they are, and give ErrNewer.
func AppendOutcome(dir string, o Outcome) error {
	if _, _, err := ReadOutcomes(dir); errors.Is(err, ErrNewer) {
		return err
	}
	o.Version = Format
	line, err := json.Marshal(o)
	if err == nil {
		err = appendLine(dir, outcomesFile, append(line, '\n'))
	}
	if err != nil {
		return fmt.Errorf("the outcome of %q isn't recorded yet: %w", filepath.Base(o.Path), advised(err, whatToDo))
	}
	return nil
}

// TakeBackOutcome takes back an outcome, or a reset, at a moment: it is as if it had
// never been told, and what was told before counts again. The file is only appended
// to, as the log of readings is. Programs of the first version pass over the line that
// takes back a reset, and count it as damaged.
func TakeBackOutcome(dir string, o Outcome, at time.Time) error {
	nothing := rules.Unknown
	return AppendOutcome(dir, Outcome{
		At: at, Path: o.Path, Size: o.Size, ModTime: o.ModTime,
		Predicted: o.Predicted, Tone: nothing, White: nothing, Raised: nothing, Found: nothing, Withdraws: o.At,
	})
}

// TakeBackLastOutcome takes back what was told last and still stands, an outcome or a
// reset, and gives it; found is false when there is nothing.
func TakeBackLastOutcome(dir string, at time.Time) (last Outcome, found bool, err error) {
	told, _, err := readTold(dir)
	if err != nil || len(told) == 0 {
		return Outcome{}, false, err
	}
	last = told[len(told)-1]
	return last, true, TakeBackOutcome(dir, last, at)
}

// ForgetOutcomes makes all that was told until a moment count no more.
func ForgetOutcomes(dir string, at time.Time) error {
	nothing := rules.Unknown
	return AppendOutcome(dir, Outcome{At: at, Predicted: nothing, Tone: nothing, White: nothing, Raised: nothing, Found: nothing, Reset: true})
}

// appendLine appends a line to a small file in one write, on a line of its own
// even when the end of the file was cut off.
func appendLine(dir, name string, line []byte) (err error) {
	if err := private.Folder(dir); err != nil {
		return err
	}
	f, err := private.Append(filepath.Join(dir, name))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	_, _, err = private.AppendLines(f, line)
	return err
}
