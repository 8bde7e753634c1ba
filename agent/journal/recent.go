package journal

import (
	"hash/maphash"
	"time"
)

// maxKnown is how many of the latest exports Known remembers: half a year of
// heavy use, and about 1 MB.
const maxKnown = 20_000

// maxLast is how many entries Last can return.
const maxLast = 5

// identity is what makes two exports the same.
type identity struct {
	path  string
	size  int64
	mtime int64 // nanoseconds since 1970
}

func identify(path string, size int64, mtime time.Time) identity {
	return identity{asWritten(path), size, mtime.UnixNano()}
}

// recent remembers the identities of the latest exports as hashes: that two of
// them share one has a probability below 1e-10.
type recent struct {
	seed maphash.Seed
	ring []uint64       // the oldest is overwritten
	next int            // in ring
	at   map[uint64]int // where in ring; the latest place if several
}

func newRecent(n int) *recent {
	return &recent{seed: maphash.MakeSeed(), ring: make([]uint64, 0, n), at: map[uint64]int{}}
}

func (r *recent) add(id identity) {
	h := maphash.Comparable(r.seed, id)
	if len(r.ring) < cap(r.ring) {
		r.ring = append(r.ring, h)
	} else {
		if old := r.ring[r.next]; r.at[old] == r.next {
			delete(r.at, old)
		}
		r.ring[r.next] = h
	}
	r.at[h] = r.next
	r.next = (r.next + 1) % cap(r.ring)
}

func (r *recent) has(id identity) bool {
	_, ok := r.at[maphash.Comparable(r.seed, id)]
	return ok
}
