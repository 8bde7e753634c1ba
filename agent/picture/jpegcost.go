package picture

// What image/jpeg holds at once, for the memory gate: a byte a sample for the
// decoded planes; for a progressive picture also its coefficients, four bytes
// each; for RGB and CMYK a second, interleaved picture.

// memory is the bytes that decoding takes.
func (s segments) memory() float64 {
	const coefficient = 4
	need := s.samples()
	if s.progressive {
		need += coefficient * s.samples()
	}
	if s.channels == 4 || s.isRGB() {
		need += 4 * float64(s.width) * float64(s.height)
	}
	return need
}

// samples counts the samples of all channels, filled up to whole blocks (T.81, A.2).
func (s segments) samples() float64 {
	const block = 8
	across, down := 1, 1
	for _, c := range s.components {
		across, down = max(across, c.across), max(down, c.down)
	}
	units := func(length, factor int) int { return (length + block*factor - 1) / (block * factor) }
	if s.channels == 1 { // its factors mean nothing
		return block * block * float64(units(s.width, 1)*units(s.height, 1))
	}
	perUnit := 0
	for _, c := range s.components {
		perUnit += block * block * c.across * c.down
	}
	return float64(perUnit) * float64(units(s.width, across)*units(s.height, down))
}

// isRGB tells, as the decoder does, a picture that is stored without conversion.
func (s segments) isRGB() bool {
	if s.channels != 3 || s.jfif {
		return false
	}
	c := s.components
	return s.adobe && s.transform == 0 || c[0].name == 'R' && c[1].name == 'G' && c[2].name == 'B'
}

// kind is what sets the memory, in words.
func (s segments) kind() string {
	kind := "baseline"
	if s.progressive {
		kind = "progressive"
	}
	if s.channels == 4 {
		kind += " CMYK"
	}
	return kind
}
