package rules

import (
	"iter"
	"math"
	"slices"
)

// What can be set at a desk against a fault: one thing, two together where one is not
// enough, or everything.

// change is a condition set to a value.
type change struct {
	kind  *kind
	value float64
}

// with is the desk after some changes, as it would really be: a screen that nobody holds
// drifts as that room makes it drift, and one that is set is held from then on.
func (c *Conditions) with(changes ...change) desk {
	then := *c
	for _, ch := range changes {
		if ch.kind.remember != nil {
			ch.kind.remember(&then, ch.value)
		}
		then.held = then.held || ch.kind.name == ScreenLuminance
	}
	d := then.now()
	for _, ch := range changes {
		if ch.kind.remember == nil {
			d = ch.kind.put(d, ch.value)
		}
	}
	return d
}

// settable is the range in which k can be set: its target, widened to its own reference,
// which a profile may have put outside; a white as far as the panel can do it.
func (c *Conditions) settable(k *kind) (r Range, reference float64) {
	r, reference = k.allowed(c.target), k.reference(c.target)
	r = Range{math.Min(r.Low, reference), math.Max(r.High, reference)}
	if most := float64(c.most); k.name == ScreenLuminance && most > 0 {
		r, reference = Range{math.Min(r.Low, most), math.Min(r.High, most)}, math.Min(reference, most)
	}
	return r, reference
}

// option is something that can be done at the desk, and what is left then.
type option struct {
	changes        []change
	then           desk    // after them
	left           float64 // of the fault: stops, or the loss over its limit; what the person's prints always do is none of the desk's
	whole, shadows float64 // as the person finds them then, in stops
	wanting        bool    // one of its conditions is in its target, and named for want of another
}

// everything is the option of putting all that can be set to its reference.
func (f *fault) everything() (o option, any bool) {
	now := f.c.now()
	var all []change
	for _, k := range catalogue {
		if k.set == nil {
			continue
		}
		_, reference := f.c.settable(k)
		if k.read == nil && f.c.Get(k.name).InTarget || k.read != nil && nearlyAt(k.read(now), reference) {
			continue
		}
		all = append(all, change{k, reference})
	}
	if len(all) == 0 {
		return option{}, false
	}
	return f.option(all), true
}

// nearlyAt tells that nobody would see the difference between a value and another.
func nearlyAt(v, other float64) bool {
	const same = 0.01
	return math.Abs(v-other) <= same*math.Abs(other)
}

// option is what the changes would leave.
func (f *fault) option(changes []change) option {
	d := f.c.with(changes...)
	whole, shadows := f.lightness(d)
	o := option{changes: changes, then: d, whole: whole.found, shadows: shadows.found}
	switch f.kind {
	case faultOfLoss:
		o.left = f.loss(d)
	case faultOfShadows:
		o.left = math.Abs(shadows.ofDesk)
	default:
		o.left = math.Abs(whole.ofDesk)
	}
	if !f.shadows {
		o.shadows = math.NaN()
	}
	return o
}

// helps tells an option that at least halves the fault, and makes nothing else worse.
func (f *fault) helps(o option) bool {
	return f.halved(o.left) && !f.harmsAt(o.then).worse(f.harms)
}

// options are all that helps, best first: what is out of its target by itself, then in
// pairs, then with what is in its target; everything where nothing less will do.
func (f *fault) options() []option {
	if !(f.before > 0) {
		return nil
	}
	out, in := f.knobs()
	for _, level := range [][]option{
		f.singles(out),
		f.pairs(out, out),
		f.wanting(f.pairs(out, in)),
		f.wanting(f.singles(in)),
		f.wanting(f.pairs(in, in)),
	} {
		good := slices.DeleteFunc(level, func(o option) bool { return !f.helps(o) })
		if len(good) > 0 {
			slices.SortStableFunc(good, func(a, b option) int { return compareFigures(a.left, b.left) })
			return good
		}
	}
	if o, any := f.everything(); any && f.helps(o) {
		return []option{o}
	}
	return nil
}

// compareFigures orders what is left; a thousandth of a stop is no reason to prefer one
// thing to another.
func compareFigures(a, b float64) int {
	const same = 1e-3
	switch {
	case a < b-same:
		return -1
	case a > b+same:
		return 1
	}
	return 0
}

// knobs are the conditions that can be set against the fault: those out of their
// target, and those in it.
func (f *fault) knobs() (out, in []*kind) {
	for _, k := range catalogue {
		switch {
		case k.set == nil || !k.solvable() && f.kind != faultOfLoss:
		case !f.c.Get(k.name).InTarget:
			out = append(out, k)
		default:
			in = append(in, k)
		}
	}
	return out, in
}

// wanting marks options that are offered for want of another, if what is out of its
// target is all that should be touched.
func (f *fault) wanting(all []option) []option {
	for i := range all {
		all[i].wanting = true
	}
	return all
}

// singles are the conditions each set by itself.
func (f *fault) singles(kinds []*kind) []option {
	all := make([]option, 0, len(kinds))
	for _, k := range kinds {
		all = append(all, f.single(k))
	}
	return all
}

// pairs are every two conditions set together, one of the first list and one of the
// second.
func (f *fault) pairs(first, second []*kind) []option {
	var all []option
	for i, a := range first {
		others := second
		if len(first) == len(second) && len(first) > 0 && first[0] == second[0] {
			others = second[i+1:] // each pair once
		}
		for _, b := range others {
			all = append(all, f.pair(a, b))
		}
	}
	return all
}

// pair is two conditions set together: one of them to its reference, and the other solved
// for; the better way round.
func (f *fault) pair(a, b *kind) option {
	_, atA := f.c.settable(a)
	_, atB := f.c.settable(b)
	best := f.option([]change{{a, atA}, f.solve(b, change{a, atA})})
	other := f.option([]change{f.solve(a, change{b, atB}), {b, atB}})
	if compareFigures(other.left, best.left) < 0 {
		best = other
	}
	if f.helps(best) {
		return best
	}
	r, _ := f.c.settable(a)
	return f.bestOf(best, func(yield func(option) bool) {
		for v := range r.grid {
			for o := range f.over(b, change{a, v}) {
				if !yield(o) {
					return
				}
			}
		}
	})
}

// single is one condition set by itself.
func (f *fault) single(k *kind) option {
	solved := f.option([]change{f.solve(k)})
	if f.helps(solved) {
		return solved
	}
	return f.bestOf(solved, f.over(k))
}

// bestOf is the best of some options that help; else the first. What is solved for one
// thing can make another worse, where a little less would help with the one and do
// nothing to the other.
func (f *fault) bestOf(first option, others iter.Seq[option]) option {
	best, helps := first, false
	for o := range others {
		if (!helps || o.left < best.left) && f.helps(o) {
			best, helps = o, true
		}
	}
	return best
}

// over is k set to each value of a grid over its range, beside some changes.
func (f *fault) over(k *kind, beside ...change) iter.Seq[option] {
	r, _ := f.c.settable(k)
	return func(yield func(option) bool) {
		for v := range r.grid {
			if !yield(f.option(append(slices.Clone(beside), change{k, v}))) {
				return
			}
		}
	}
}

// grid is some values from end to end of a range of positive values.
func (r Range) grid(yield func(float64) bool) {
	const steps = 6
	for i := range steps + 1 {
		if !yield(r.Low * math.Pow(r.High/r.Low, float64(i)/steps)) {
			return
		}
	}
}

// solve is k set, within its range, to where nothing is left of the fault beside some
// changes; where no value reaches that, to the nearest. What moves no lightness goes to
// its reference.
func (f *fault) solve(k *kind, beside ...change) change {
	r, preferred := f.c.settable(k)
	if k.read == nil {
		return change{k, preferred}
	}
	changes := append(slices.Clone(beside), change{k, preferred})
	left := func(v float64) float64 {
		changes[len(changes)-1].value = v
		return f.aim(f.c.with(changes...))
	}
	return change{k, nearestToZero(left, r, preferred).value}
}

// solvable tells a condition that can be set to the value at which a shift is nothing.
func (k *kind) solvable() bool { return k.set != nil && k.read != nil }
