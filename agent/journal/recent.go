package journal

import (
	"hash/maphash"
	"slices"
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

// recent remembers the latest of many things, each with a content and when it was
// added. Things and contents are kept as hashes: that two things share one has a probability below 1e-10.
type recent struct {
	seed maphash.Seed
	most int
	ring []uint64 // the oldest is overwritten
	next int      // in ring
	at   map[uint64]remembered
}

type remembered struct {
	place   int // in ring; the latest if several
	content uint64
	at      int64 // nanoseconds since 1970
}

func newRecent(n int) *recent {
	return &recent{seed: maphash.MakeSeed(), most: n, at: map[uint64]remembered{}}
}

func (r *recent) add(id identity, content any, at time.Time) {
	h := maphash.Comparable(r.seed, id)
	if len(r.ring) < r.most {
		r.ring = append(r.ring, h)
	} else {
		if old := r.ring[r.next]; r.at[old].place == r.next {
			delete(r.at, old)
		}
		r.ring[r.next] = h
	}
	r.at[h] = remembered{r.next, maphash.Comparable(r.seed, content), at.UnixNano()}
	r.next = (r.next + 1) % r.most
}

func (r *recent) has(id identity) bool {
	_, ok := r.at[maphash.Comparable(r.seed, id)]
	return ok
}

// added is when a thing was last added.
func (r *recent) added(id identity) (at time.Time, ok bool) {
	m, ok := r.at[maphash.Comparable(r.seed, id)]
	return time.Unix(0, m.at), ok
}

// hasWith tells whether a thing was last added with one of these contents.
func (r *recent) hasWith(id identity, contents ...any) bool {
	m, ok := r.at[maphash.Comparable(r.seed, id)]
	return ok && slices.ContainsFunc(contents, func(c any) bool { return m.content == maphash.Comparable(r.seed, c) })
}
