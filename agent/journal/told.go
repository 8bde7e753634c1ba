package journal

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"lampblack/config/private"
	"lampblack/rules"
)

// ReadOutcomes gives the outcomes in dir since the last reset that were not taken
// back, in the order in which they were first told of an export; of several about one
// the last counts. Damaged lines are skipped and counted.
func ReadOutcomes(dir string) (outcomes []Outcome, skipped int, err error) {
	told, skipped, err := readTold(dir)
	return counting(told), skipped, err
}

// readTold gives the outcomes and resets in dir that were not taken back, in their order.
func readTold(dir string) (told []Outcome, skipped int, err error) {
	path := filepath.Join(dir, outcomesFile)
	f, err := openOutcomes(dir, path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, 0, nil
	}
	if err != nil {
		return nil, 0, fmt.Errorf("the outcomes can't be read: %w", advised(err, "check the permissions of that file"))
	}
	defer f.Close()
	skipped, err = readLines(f, path, decodeOutcome, func(o Outcome) error {
		told = takeTold(told, o)
		return nil
	})
	return told, skipped, err
}

// takeTold takes the next line of the file. One that takes something back is gone with it.
func takeTold(told []Outcome, o Outcome) []Outcome {
	if o.Withdraws.IsZero() {
		return append(told, o)
	}
	i := slices.IndexFunc(told, func(before Outcome) bool {
		return before.At.Equal(o.Withdraws) && before.Reset == (o.Path == "") && before.Identity() == o.Identity()
	})
	if i < 0 {
		return told
	}
	return slices.Delete(told, i, i+1)
}

// counting is the last outcome of each export since the last reset.
func counting(told []Outcome) (last []Outcome) {
	at := map[Identity]int{}
	for _, o := range told {
		id := o.Identity()
		i, known := at[id]
		switch {
		case o.Reset:
			last, at = nil, map[Identity]int{}
		case known:
			last[i] = o
		default:
			at[id] = len(last)
			last = append(last, o)
		}
	}
	return last
}

// Identity is that of the export that it is about.
func (o Outcome) Identity() Identity { return Identify(o.Path, o.Size, o.ModTime) }

func openOutcomes(dir, path string) (*os.File, error) {
	if err := private.CheckFolder(dir); err != nil {
		return nil, err
	}
	return private.Open(path, os.O_RDONLY)
}

func decodeOutcome(line []byte) (Outcome, error) {
	o := Outcome{Tone: rules.Unknown, White: rules.Unknown, Raised: rules.Unknown} // left out in older lines
	if err := json.Unmarshal(line, &o); err != nil || o.Version != Format {
		return Outcome{}, whatElse(line)
	}
	if o.At.IsZero() || o.Path == "" && !o.Reset && o.Withdraws.IsZero() {
		return Outcome{}, errDamaged
	}
	if o.Word == rules.Flatter {
		o.Word = rules.DrabPrint
	}
	return o, nil
}

// Judged are the outcomes as pairs to learn from, each at the time at which the
// export was written. A file that was raised came out by so much lighter than what was
// judged would have: the raise is taken off. Outcomes that lack the parts of their
// prediction teach nothing.
func Judged(outcomes []Outcome) []rules.Judged {
	var pairs []rules.Judged
	for _, o := range outcomes {
		if !o.Tone.Known() || !o.White.Known() || !o.Found.Known() {
			continue
		}
		found := o.Found
		if o.Raised.Known() {
			found += o.Raised
		}
		pairs = append(pairs, rules.Judged{At: o.ModTime, Tone: rules.Stops(o.Tone), White: rules.Stops(o.White), Found: rules.Stops(found)})
	}
	return pairs
}
