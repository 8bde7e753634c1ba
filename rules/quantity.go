package rules

import (
	"math"
	"strconv"

	"lampblack/rules/colour"
	"lampblack/rules/light"
)

// The quantities, each its own type so that lux can't be passed for cd/m².
type (
	Lux       = light.Lux       // illuminance, lx
	Luminance = light.Luminance // luminance, cd/m²
	Stops     = light.Stops     // ratio of luminances, log2
	Kelvin    = colour.Kelvin   // correlated colour temperature, K
)

// Given is a value of the profile together with the answer to "who says so?":
// Assumed means that the profile is silent and a default stands in.
type Given[T any] struct {
	Value   T
	Assumed bool
}

// Stated is a value that the profile gives.
func Stated[T any](v T) Given[T] { return Given[T]{Value: v} }

// Assume is a default that stands in for a value the profile doesn't give.
func Assume[T any](v T) Given[T] { return Given[T]{Value: v, Assumed: true} }

// Figure is a number for the journal and for --json. JSON knows no NaN, which
// stands here for "there is none" (no shadows in the picture, say): it is
// written and read as null.
type Figure float64

// MarshalJSON writes the figure in full precision, or null when it is not finite.
func (f Figure) MarshalJSON() ([]byte, error) {
	v := float64(f)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, v, 'g', -1, 64), nil
}

// UnmarshalJSON reads a number, or null as NaN.
func (f *Figure) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*f = Unknown
		return nil
	}
	v, err := strconv.ParseFloat(string(b), 64)
	*f = Figure(v)
	return err
}

// Unknown is the figure that there is none of: NaN, written as null.
var Unknown = Figure(math.NaN())

// Known tells whether there is a figure at all.
func (f Figure) Known() bool { return !math.IsNaN(float64(f)) }
