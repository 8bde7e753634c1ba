package config

import "slices"

// namedSurround is a surround that can be told by eye.
type namedSurround struct {
	name      string
	relativeY float64 // luminance relative to the screen's white
}

// From dark to light. The figures are common practice, no source: what the
// greys that editors offer come to on an sRGB-like screen.
var namedSurrounds = []namedSurround{
	{"black", 0.003},
	{"dark grey", 0.05},
	{"mid grey", 0.20},
	{"light grey", 0.50},
	{"white", 0.95},
}

// SurroundNames are the surrounds that can be told by eye, from dark to light.
func SurroundNames() []string {
	var names []string
	for _, s := range namedSurrounds {
		names = append(names, s.name)
	}
	return names
}

// surroundNamed is the luminance, relative to the screen's white, of a surround
// told by eye; false when there is none of that name.
func surroundNamed(name string) (relativeY float64, ok bool) {
	i := slices.IndexFunc(namedSurrounds, func(s namedSurround) bool { return s.name == name })
	if i < 0 {
		return 0, false
	}
	return namedSurrounds[i].relativeY, true
}
