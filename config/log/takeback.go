package log

import (
	"fmt"
	"slices"
	"time"
)

// withdrawnTable is the table of what is taken back: no fact of its own.
const withdrawnTable = "withdrawn"

// withdrawn is an entry that takes a fact back.
type withdrawn struct {
	at   time.Time
	of   time.Time // the moment of what is taken back
	kind string
}

func (w *withdrawn) fields(f *fields) {
	moment(f, needed, "at", &w.at)
	moment(f, needed, "of", &w.of)
	choice(f, needed, "kind", &w.kind, tables())
}

// TakeBackLast takes back what was logged last in the file path, and says what that
// is; at is now. The log is only ever appended to: an entry that says so is added,
// and both stay. ok is false when nothing is left to take back.
func TakeBackLast(path string, at time.Time) (f Fact, ok bool, err error) {
	l, _, err := Read(path)
	if err != nil || len(l) == 0 {
		return nil, false, err
	}
	f = l[len(l)-1]
	return f, true, NewFile(path).TakeBack(f, at)
}

// TakeBack takes back a fact, like [TakeBackLast].
func (f *File) TakeBack(fact Fact, at time.Time) error {
	text, err := encode(withdrawnTable, &withdrawn{at, fact.Told().At, fact.Kind()})
	if err != nil {
		return err
	}
	if _, broken := parse(text); len(broken) > 0 {
		return fmt.Errorf("%s can't be taken back at %v", fact.Words(), at)
	}
	if _, _, err := appendDurably(f.path, text); err != nil {
		return fmt.Errorf("%s was not taken back: %w", fact.Words(), err)
	}
	return nil
}

// withdraw leaves out the last fact that is meant. One that isn't there has been taken
// out by hand, which comes to the same.
func (l *Log) withdraw(w withdrawn) {
	for i, f := range slices.Backward(*l) {
		if f.Kind() == w.kind && f.Told().At.Equal(w.of) {
			*l = slices.Delete(*l, i, i+1)
			return
		}
	}
}
