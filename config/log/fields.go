package log

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/BurntSushi/toml"

	"lampblack/config/scalar"
)

// fields is the way between a fact and the keys of its entry, to read or to write, so
// that each kind lists its keys once: name, bounds, and whether an entry makes sense
// without. An entry ends in a text that it needs: cut anywhere, it lacks that, or the
// text lacks its quote, and half a number is never taken for a whole one. What it may
// lack stands before.
//
// Keys that nobody asks for are a later version's, and fine.
type fields struct {
	entry *entry // to read from; nil: to write
	bad   bool   // what the entry needs is not there, or something in it isn't sound

	text strings.Builder // that is written
	bare bool            // only what an entry needs is written
	err  error
}

// need tells whether an entry makes sense without a key.
type need bool

const (
	needed need = true
	added  need = false
)

// read reads the entry's keys into a fact, and tells whether they make sense.
func (f *fields) read(into interface{ fields(*fields) }, e *entry) bool {
	f.entry, f.bad = e, false
	into.fields(f)
	return !f.bad
}

// essence is what the entry of a fact can't do without, as text.
func essence(f Fact) string {
	to := fields{bare: true}
	f.fields(&to)
	return to.text.String()
}

// encode is the entry of a table as text.
func encode(table string, f interface{ fields(*fields) }) (string, error) {
	var to fields
	to.text.WriteString("[[" + table + "]]\n")
	f.fields(&to)
	if to.err != nil {
		return "", fmt.Errorf("%s can't be written as an entry of the log: %w", table, to.err)
	}
	return to.text.String(), nil
}

// field goes over one key: of is how its value is understood.
func field[V comparable](f *fields, is need, key string, v *V, of func(any) (V, bool)) {
	if f.entry == nil {
		f.write(is, key, *v, *v == *new(V))
		return
	}
	at := f.entry.at(key)
	if at < 0 {
		f.bad = f.bad || is == needed
		return
	}
	got, ok := of(f.entry.values[at].value)
	if !ok {
		f.bad = true
		return
	}
	*v = got
}

// write writes one key, but for one that says nothing and isn't needed.
func (f *fields) write(is need, key string, v any, blank bool) {
	if is == added && (blank || f.bare) {
		return
	}
	enc := toml.NewEncoder(&f.text)
	f.err = errors.Join(f.err, enc.Encode(map[string]any{key: v}))
}

// moment is a date and time, written in UTC.
func moment(f *fields, is need, key string, at *time.Time) {
	if f.entry == nil {
		f.write(is, key, at.UTC(), at.IsZero())
		return
	}
	field(f, is, key, at, scalar.Moment)
}

// number is a figure from low to high.
func number[N ~float64](f *fields, is need, key string, n *N, low, high float64) {
	field(f, is, key, n, func(v any) (N, bool) {
		figure, ok := scalar.Number(v)
		return N(figure), ok && low <= figure && figure <= high
	})
}

// line is a text of one line.
func line[W ~string](f *fields, is need, key string, text *W) {
	field(f, is, key, text, func(v any) (W, bool) {
		s, ok := scalar.Line(v)
		return W(s), ok
	})
}

// choice is one of the words.
func choice[W ~string](f *fields, is need, key string, word *W, words []W) {
	field(f, is, key, word, func(v any) (W, bool) { return scalar.Choice(v, words) })
}

// sigma is a relative standard uncertainty.
func sigma(f *fields, s *float64) { number(f, added, "uncertainty", s, 0.01, 1) }

// source is where the fact comes from. Words of a later version are kept as they are.
func (a *About) source(f *fields) { line(f, added, "source", &a.Source) }
