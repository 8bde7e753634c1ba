package rules

import "math"

// Searches along a line: for the zero of a function, for the edge where something ends
// that is true below it, and for the bottom of a valley.

// solution is a value that brings something nearest to nothing, and what then remains.
type solution struct{ value, left float64 }

// asGoodAsZero is what may be left of a stop.
const asGoodAsZero = 1e-6

// nearestToZero looks for a zero of f in the range: from the preferred value
// outwards over a grid, then between the two neighbours where the sign changes.
// Without a zero it gives the best of the grid.
func nearestToZero(f func(float64) float64, r Range, preferred float64) solution {
	const cells = 8
	start := solution{preferred, f(preferred)}
	best := start
	if math.Abs(start.left) < asGoodAsZero {
		return start
	}
	for _, end := range []float64{r.Low, r.High} {
		from := start
		for i := 1; i <= cells; i++ {
			v := preferred + (end-preferred)*float64(i)/cells
			next := solution{v, f(v)}
			if next.left*from.left < 0 {
				return closeIn(f, from, next)
			}
			if math.Abs(next.left) < math.Abs(best.left) {
				best = next
			}
			from = next
		}
	}
	return best
}

// closeIn finds the zero of f between a and b, where its sign differs, by false
// position with the Illinois rule: an end that stays twice running counts half.
func closeIn(f func(float64) float64, a, b solution) solution {
	for range 60 {
		v := b.value - b.left*(b.value-a.value)/(b.left-a.left)
		m := solution{v, f(v)}
		switch {
		case !(math.Abs(m.left) >= asGoodAsZero):
			return m
		case math.Signbit(m.left) != math.Signbit(b.left):
			a = b
		default:
			a.left /= 2
		}
		b = m
	}
	return b
}

// bisect closes in on the edge between low, where something is true, and high, where it is
// not: the two as they are after 40 halvings.
func bisect(low, high float64, below func(float64) bool) (float64, float64) {
	for range 40 {
		if middle := (low + high) / 2; below(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low, high
}

// leastAt is where f, which has one valley between 0 and most, is least: by golden sections.
func leastAt(f func(float64) float64, most float64) float64 {
	const golden, steps = 0.6180339887498949, 40
	low, high := 0.0, most
	a, b := high-golden*(high-low), low+golden*(high-low)
	fa, fb := f(a), f(b)
	for range steps {
		if fa < fb {
			high, b, fb = b, a, fa
			a = high - golden*(high-low)
			fa = f(a)
		} else {
			low, a, fa = a, b, fb
			b = low + golden*(high-low)
			fb = f(b)
		}
	}
	return (low + high) / 2
}
