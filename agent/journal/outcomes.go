package journal

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
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
// without the journal.
type Outcome struct {
	Version   int           `json:"v"` // set by AppendOutcome
	At        time.Time     `json:"at"`
	Path      string        `json:"path"`
	Size      int64         `json:"size"`
	ModTime   time.Time     `json:"mtime"`
	Predicted rules.Figure  `json:"predicted_stops"` // whole picture, against the targets, uncorrected
	Word      rules.Outcome `json:"outcome,omitempty"`
	Found     rules.Figure  `json:"found_stops"`     // positive darker; null: says nothing of lightness
	Reset     bool          `json:"reset,omitempty"` // forget what stands above

	// Withdraws is the moment of an outcome of this export that is taken back; zero: none is.
	Withdraws time.Time `json:"withdraws,omitzero"`
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

// TakeBackOutcome takes back an outcome at a moment: it is as if it had never been
// told, and what was told of the export before counts again. The file is only appended
// to, as the log of readings is.
func TakeBackOutcome(dir string, o Outcome, at time.Time) error {
	return AppendOutcome(dir, Outcome{
		At: at, Path: o.Path, Size: o.Size, ModTime: o.ModTime,
		Predicted: o.Predicted, Found: rules.Figure(math.NaN()), Withdraws: o.At,
	})
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
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if size := info.Size(); size > 0 {
		end := make([]byte, 1)
		if _, err := f.ReadAt(end, size-1); err != nil {
			return err
		}
		if end[0] != '\n' {
			line = append([]byte{'\n'}, line...)
		}
	}
	if _, err := f.Write(line); err != nil {
		return err
	}
	return f.Sync()
}

// ReadOutcomes gives the outcomes in dir since the last reset that were not taken
// back, in the order in which they were first told of an export; of several about one
// the last counts. Damaged lines are skipped and counted.
func ReadOutcomes(dir string) (outcomes []Outcome, skipped int, err error) {
	path := filepath.Join(dir, outcomesFile)
	f, err := openOutcomes(dir, path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, 0, nil
	}
	if err != nil {
		return nil, 0, fmt.Errorf("the outcomes can't be read: %w", advised(err, "check the permissions of that file"))
	}
	defer f.Close()
	var told toldOutcomes
	skipped, err = readLines(f, path, decodeOutcome, func(o Outcome) error {
		told.add(o)
		return nil
	})
	return told.counting(), skipped, err
}

// toldOutcomes are outcomes as they were told, by export.
type toldOutcomes struct {
	order []Identity // in which exports were first told of
	of    map[Identity][]Outcome
}

// add takes the next line of the file.
func (t *toldOutcomes) add(o Outcome) {
	if o.Reset || t.of == nil {
		*t = toldOutcomes{of: map[Identity][]Outcome{}}
	}
	if o.Reset {
		return
	}
	id := Identify(o.Path, o.Size, o.ModTime)
	told, known := t.of[id]
	if !o.Withdraws.IsZero() {
		if i := slices.IndexFunc(told, func(before Outcome) bool { return before.At.Equal(o.Withdraws) }); i >= 0 {
			t.of[id] = slices.Delete(told, i, i+1)
		}
		return
	}
	if !known {
		t.order = append(t.order, id)
	}
	t.of[id] = append(told, o)
}

// counting is the last outcome of each export.
func (t *toldOutcomes) counting() (last []Outcome) {
	for _, id := range t.order {
		if told := t.of[id]; len(told) > 0 {
			last = append(last, told[len(told)-1])
		}
	}
	return last
}

func openOutcomes(dir, path string) (*os.File, error) {
	if err := private.CheckFolder(dir); err != nil {
		return nil, err
	}
	return private.Open(path, os.O_RDONLY)
}

func decodeOutcome(line []byte) (Outcome, error) {
	var o Outcome
	if err := json.Unmarshal(line, &o); err != nil || o.Version != Format {
		return Outcome{}, whatElse(line)
	}
	if o.At.IsZero() || o.Path == "" && !o.Reset {
		return Outcome{}, errDamaged
	}
	return o, nil
}

// Judged are the outcomes as pairs to learn from, each at the time at which the
// export was written.
func Judged(outcomes []Outcome) []rules.Judged {
	var pairs []rules.Judged
	for _, o := range outcomes {
		if o.Predicted.Known() && o.Found.Known() {
			pairs = append(pairs, rules.Judged{At: o.ModTime, Tone: rules.Stops(o.Predicted), Found: rules.Stops(o.Found)})
		}
	}
	return pairs
}
