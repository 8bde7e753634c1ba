package watch

import "hash/maphash"

// maxSeen bounds the table of files that have been handed over. An entry is two
// hashes, about 40 bytes with the map's own share: 4 MB at most per folder.
const maxSeen = 100_000

// seen remembers the state in which each file of a folder was handed over. It
// keeps hashes instead of names: two files in 100 000 share one with
// a probability below 1e-9, and a folder of 50 000 exports costs 2 MB, not 15.
type seen struct {
	seed maphash.Seed
	max  int
	last map[uint64]uint64 // hash of the name -> hash of the state
}

func newSeen(limit int) *seen {
	return &seen{seed: maphash.MakeSeed(), max: limit, last: map[uint64]uint64{}}
}

func (s *seen) has(name string, st state) bool {
	v, ok := s.last[maphash.String(s.seed, name)]
	return ok && v == maphash.Comparable(s.seed, st)
}

// add remembers name in its state. A full table forgets some other file.
func (s *seen) add(name string, st state) {
	key := maphash.String(s.seed, name)
	if _, there := s.last[key]; !there && s.full() {
		for other := range s.last {
			delete(s.last, other)
			break
		}
	}
	s.last[key] = maphash.Comparable(s.seed, st)
}

func (s *seen) drop(name string) { delete(s.last, maphash.String(s.seed, name)) }

// full means that absence from the table no longer proves that a file is new.
func (s *seen) full() bool { return len(s.last) >= s.max }
