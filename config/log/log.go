// Package log keeps facts that are told in passing (a reading of the room's light, a
// white that was set, a calibration) in readings.toml beside the profile, which they
// must not rewrite. The file is only ever appended to, one [[table]] a fact; what is
// taken back stays in it, with an entry behind it that says so.
//
// There is one list of the kinds of facts ([Kinds]); to read, write, find, lay over a
// profile and take back, everything here walks over it. The package is named after the
// file that people know; of the standard library's, only main has any use.
package log

import (
	"fmt"
	"slices"
	"time"

	"lampblack/rules"
)

// Fact is one thing that is known: what kind, what value, when, of which display, from
// which source, how sure.
type Fact interface {
	Kind() string // the name of its table in the log
	Told() About
	Words() string // as a person is told of it, without the moment: "48 lx at the screen"

	// fields goes over the keys of its entry, to read or to write them.
	fields(*fields)

	// layOver puts it into a profile, over what older facts have said. The profile
	// is the callee's to change, but its slices are not, except the displays and the
	// readings. Of what a profile states by itself, it counts if it came after the
	// profile was last written.
	layOver(p *rules.Profile, written time.Time)
}

// About is what any fact says beside its value.
type About struct {
	At      time.Time
	Display string       // of which display it is; empty: of the desk
	Source  rules.Source // empty: an older entry, which doesn't say
	Sigma   float64      // relative standard uncertainty; 0: nothing measured it, or its usual one
}

// Told is what the fact says beside its value.
func (a About) Told() About { return a }

// Log is what has been logged and not taken back, in the order of the file.
type Log []Fact

// Of are the facts of one type in a log, in its order.
func Of[F Fact](l Log) []F {
	var of []F
	for _, f := range l {
		if f, is := f.(F); is {
			of = append(of, f)
		}
	}
	return of
}

// Has tells whether the log says the same already: what any entry of the kind needs is
// the same, whatever else is noted beside it. The moment, first, spares the rest of them.
func (l Log) Has(f Fact) bool {
	return slices.ContainsFunc(l, func(g Fact) bool {
		return g.Kind() == f.Kind() && g.Told().At.Equal(f.Told().At) && essence(g) == essence(f)
	})
}

// Apply is a copy of p with what the log knows better, the newest last: its readings
// besides those of the profile, the newest calibration of each display, and the newest
// white and surround that were set after the profile was last written (written). p
// itself stays as it is.
func (l Log) Apply(p *rules.Profile, written time.Time) *rules.Profile {
	q := *p
	q.Readings = slices.Grow(slices.Clone(p.Readings), len(l)) // of which nearly all are readings
	q.Displays = slices.Clone(p.Displays)
	for _, f := range l.inOrder() {
		f.layOver(&q, written)
	}
	return &q
}

// inOrder is the log in order of time, those of one moment as they were logged.
func (l Log) inOrder() Log {
	byTime := func(a, b Fact) int { return a.Told().At.Compare(b.Told().At) }
	if slices.IsSortedFunc(l, byTime) { // as nearly always
		return l
	}
	l = slices.Clone(l)
	slices.SortStableFunc(l, byTime)
	return l
}

// displayNamed is the display of that name, to be changed; nil when there is none.
func displayNamed(p *rules.Profile, name string) *rules.Display {
	i := slices.IndexFunc(p.Displays, func(d rules.Display) bool { return d.Name == name })
	if i < 0 {
		return nil
	}
	return &p.Displays[i]
}

// fleeting is a fact of a kind that is logged so often that old ones make up most of a
// log of years. A program that keeps running lets go of them, but for the newest of
// each series: that may still be the newest of all.
type fleeting interface {
	series() string // empty: old ones are of no use
}

// since is the log without the fleeting facts from before that moment, but for the
// newest of those in each series.
func (l Log) since(moment time.Time) Log {
	newest := map[string]Fact{}
	for _, f := range l {
		of, isFleeting := f.(fleeting)
		if !isFleeting || of.series() == "" || !f.Told().At.Before(moment) {
			continue
		}
		if last := newest[of.series()]; last == nil || !f.Told().At.Before(last.Told().At) {
			newest[of.series()] = f
		}
	}
	var kept Log
	for _, f := range l {
		of, isFleeting := f.(fleeting)
		if !isFleeting || !f.Told().At.Before(moment) || newest[of.series()] == f {
			kept = append(kept, f)
		}
	}
	return kept
}

// makesNoSense is the error for a fact that could not be read back from the log.
func makesNoSense(f Fact) error {
	return fmt.Errorf("%s, of %v, makes no sense as a %s, so it was not logged", f.Words(), f.Told().At, nameOf(f.Kind()))
}
