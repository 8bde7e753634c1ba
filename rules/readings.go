package rules

import "slices"

// Places are where a reading can be taken.
func Places() []Place { return []Place{AtScreen, OnDesk, AtPrint} }

// WithReading puts a reading among others, which are in order of time: behind those
// of its moment, unless one of them says the same. rs is the caller's own, and may
// be changed.
func WithReading(rs []Reading, r Reading) []Reading {
	i := len(rs)
	for i > 0 && rs[i-1].At.After(r.At) {
		i--
	}
	for j := i - 1; j >= 0 && rs[j].At.Equal(r.At); j-- {
		if rs[j].Light == r.Light && rs[j].Place == r.Place {
			return rs
		}
	}
	return slices.Insert(rs, i, r)
}
