package journal

import (
	"hash/maphash"
	"time"
)

// maxKnown is how many of the latest exports are remembered at least: half a year
// of heavy use, and about 1.5 MB.
const maxKnown = 3 * 7000 // 7000 just fill a map of 8192 places

// maxLast is how many entries Last can return.
const maxLast = 5

// identity is what makes two exports the same, beside their content.
type identity struct {
	path  string
	size  int64
	mtime int64 // nanoseconds since 1970
}

func identify(path string, size int64, mtime time.Time) identity {
	return identity{asWritten(path), size, mtime.UnixNano()}
}

// kept is what is remembered of a state of a file.
type kept struct {
	hash uint32 // of the content, hashed once more; 0: not known
	at   int64  // when it was journaled, nanoseconds since 1970
}

// recent remembers something of the latest of many things. Of the things themselves
// it keeps hashes: that two share one has a probability below 1e-10.
type recent[V any] struct {
	seed  maphash.Seed
	share int             // how many things make a generation
	ages  [4]map[uint64]V // the youngest first: three full ones at least, once there is so much
}

// newRecent remembers at least the latest n things, and at most a third more.
func newRecent[V any](n int) *recent[V] {
	return &recent[V]{seed: maphash.MakeSeed(), share: (n + 2) / 3}
}

func (r *recent[V]) add(thing any, v V) {
	h := maphash.Comparable(r.seed, thing)
	if _, there := r.ages[0][h]; !there && len(r.ages[0])%r.share == 0 { // full, or not there yet
		copy(r.ages[1:], r.ages[:])
		r.ages[0] = map[uint64]V{}
	}
	r.ages[0][h] = v
}

// get gives what was last added of a thing.
func (r *recent[V]) get(thing any) (v V, ok bool) {
	h := maphash.Comparable(r.seed, thing)
	for _, age := range r.ages {
		if v, ok = age[h]; ok {
			break
		}
	}
	return v, ok
}

// fold makes a content comparable in four bytes, none of which is 0 altogether.
func (r *recent[V]) fold(content any) uint32 {
	return uint32(maphash.Comparable(r.seed, content)) | 1
}
