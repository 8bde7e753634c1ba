package journal

import (
	"fmt"
	"hash/maphash"
	"time"
)

// maxKnown is how many of the latest exports are remembered at least: half a year
// of heavy use, and about 1.5 MB.
const maxKnown = 3 * 7000 // 7000 just fill a map of 8192 places

// maxGists is how many of the latest paths are remembered with a gist at least: a month
// of heavy use, and at most 1 MB. Who raises a file does so within days.
const maxGists = 7000

// maxLast is how many entries Last can return.
const maxLast = 5

// Identity is what makes two exports the same, beside their content; it can be
// compared.
type Identity struct {
	path  string
	size  int64
	mtime int64 // nanoseconds since 1970
}

// Identify is the identity of a file of that size and modification time. It is the
// same for a path as it is on the disk and as JSON brings it back, which knows no bytes
// that are not UTF-8.
func Identify(path string, size int64, mtime time.Time) Identity {
	return Identity{asWritten(path), size, mtime.UnixNano()}
}

// String tells identities apart like == does.
func (i Identity) String() string { return fmt.Sprintf("%s\x00%d\x00%d", i.path, i.size, i.mtime) }

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
