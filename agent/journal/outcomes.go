package journal

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"lampblack/config/private"
	"lampblack/rules"
)

// outcomesFile holds the outcomes, beside the years: a few lines that are read
// at every start, where a year can have many thousands.
const outcomesFile = "outcomes.jsonl"

// Outcome is how the print of a journaled export really came out. The export's
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
		return fmt.Errorf("the outcome of %q is not kept: %w", o.Path, advised(err, whatToDo))
	}
	return nil
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

// ReadOutcomes gives the outcomes in dir since the last reset, in the order in
// which they were told; of several about one export the last counts. Damaged
// lines are skipped and counted.
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
	at := map[Identity]int{}
	skipped, err = readLines(f, path, decodeOutcome, func(o Outcome) error {
		if o.Reset {
			outcomes = nil
			clear(at)
			return nil
		}
		id := Identify(o.Path, o.Size, o.ModTime)
		if i, told := at[id]; told {
			outcomes[i] = o
			return nil
		}
		at[id] = len(outcomes)
		outcomes = append(outcomes, o)
		return nil
	})
	return outcomes, skipped, err
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
			pairs = append(pairs, rules.Judged{At: o.ModTime, Predicted: rules.Stops(o.Predicted), Found: rules.Stops(o.Found)})
		}
	}
	return pairs
}
