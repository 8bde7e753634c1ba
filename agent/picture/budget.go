package picture

// apart is what a worker needs besides the picture it decodes, bytes: the tables,
// the profile, and what the runtime takes in steps of 64 MiB. It was measured as
// the least limit under which pictures of 24 to 45 MP decode, less their own
// memory: 84 MiB, with cgo and its threads' stacks 121.
const apart = 128 << 20

// afford refuses to decode what would pass the worker's memory limit: decoded at
// once, this kind of picture takes so many bytes. Outside of a worker there is
// no limit.
func (s *source) afford(need float64, kind string, f facts, advice string) error {
	if s.memory == 0 || need <= float64(s.memory)-apart {
		return nil
	}
	return unsupported("%s of %.0f megapixels takes %.0f MiB of memory to read, more than the %d that it may: %s",
		kind, float64(f.width)*float64(f.height)/1e6, (need+apart)/(1<<20), s.memory>>20, advice)
}
