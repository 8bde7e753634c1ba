package watch

import "hash/maphash"

// maxSeen bounds the table of states that have been handed over. An entry is a hash,
// up to 20 bytes with the map's own share: 4 MB at most per folder.
const maxSeen = 200_000

// seen remembers the states of files that were handed over. It keeps hashes instead
// of names: two states in 200 000 share one with a probability of 1e-9, and a folder
// of 100 000 exports costs 2 MB, not 30.
type seen struct {
	seed   maphash.Seed
	max    int
	states map[uint64]struct{}
}

func newSeen(limit int) *seen {
	return &seen{seed: maphash.MakeSeed(), max: limit, states: map[uint64]struct{}{}}
}

// hash is that of a file in a state.
func (s *seen) hash(name string, st state) uint64 {
	type stateOfFile struct {
		name string
		state
	}
	return maphash.Comparable(s.seed, stateOfFile{name, st})
}

func (s *seen) has(name string, st state) bool {
	_, ok := s.states[s.hash(name, st)]
	return ok
}

// add remembers a file in a state. A full table forgets some other.
func (s *seen) add(name string, st state) {
	h := s.hash(name, st)
	if _, there := s.states[h]; !there && s.full() {
		for other := range s.states {
			delete(s.states, other)
			break
		}
	}
	s.states[h] = struct{}{}
}

// full means that absence from the table no longer proves that a file is new.
func (s *seen) full() bool { return len(s.states) >= s.max }
