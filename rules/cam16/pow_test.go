package cam16

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// TestPow holds the fast power against math.Pow for exponents of all sizes.
func TestPow(t *testing.T) {
	rng := rand.New(rand.NewPCG(16, 2))
	for range 200_000 {
		x := math.Exp2(rng.Float64()*80 - 60)
		y := 0.05 + 4*rng.Float64()
		got, want := pow(x, y), math.Pow(x, y)
		if limit := 1e-15 * math.Max(1, math.Abs(math.Log2(want))); math.Abs(got/want-1) > limit {
			t.Fatalf("pow(%g, %g) = %g, want %g: off by %.2g, limit %.2g", x, y, got, want, got/want-1, limit)
		}
	}
	if pow(1, 0.9) != 1 {
		t.Error("pow(1, y) is not exactly 1")
	}
}

// eachPower calls f with the fast powers and what they should be.
func eachPower(t *testing.T, f func(t *testing.T, fast, exact func(x float64) float64)) {
	for _, y := range []float64{exponent, chromaPower.exponent} {
		exact := func(x float64) float64 { return math.Pow(x, y) }
		t.Run(fmt.Sprintf("table %g", y), func(t *testing.T) { f(t, newPower(y).of, exact) })
		t.Run(fmt.Sprintf("pow %g", y), func(t *testing.T) {
			f(t, func(x float64) float64 { return pow(x, y) }, exact)
		})
	}
}

// Closest where responses of photographs are, close where the tables reach, and
// never far off. (math.Pow itself is off by 3e-15 at 2^±60.)
func TestPowersAreRight(t *testing.T) {
	ranges := []struct{ lowest, highest, limit float64 }{
		{-12, 10, 2e-15}, {-66, 65, 1e-14}, {-1074, 1023, 1e-13},
	}
	eachPower(t, func(t *testing.T, fast, exact func(x float64) float64) {
		rng := rand.New(rand.NewPCG(16, 3))
		for _, r := range ranges {
			worst := 0.0
			for range 100_000 {
				x := math.Exp2(r.lowest + rng.Float64()*(r.highest-r.lowest))
				worst = max(worst, math.Abs(fast(x)/exact(x)-1))
			}
			t.Logf("2^%g to 2^%g: relative error %.2g", r.lowest, r.highest, worst)
			if !(worst <= r.limit) {
				t.Errorf("2^%g to 2^%g: relative error %.2g, limit %.2g", r.lowest, r.highest, worst, r.limit)
			}
		}
	})
}

// Where one cell of a table ends and the next begins, and where the tables end,
// a power neither jumps nor falls by more than rounding.
func TestPowersAreContinuous(t *testing.T) {
	eachPower(t, func(t *testing.T, fast, _ func(x float64) float64) {
		const halfCells = 2 * logCells // of one table the cells end there, of the other they begin
		for octave := -66; octave <= 65; octave++ {
			for i := range halfCells {
				x := math.Ldexp(1+float64(i)/halfCells, octave)
				before, at := fast(math.Nextafter(x, 0)), fast(x)
				if !(math.Abs(at/before-1) <= 1e-14) {
					t.Fatalf("at %g: a step from %.17g to %.17g", x, before, at)
				}
				if after := fast(x * (1 + 1e-13)); !(after > at) || !(before > fast(x*(1-1e-13))) {
					t.Fatalf("around %g the power doesn't rise", x)
				}
			}
		}
	})
}

func TestPowerOfNoOrdinaryNumber(t *testing.T) {
	eachPower(t, func(t *testing.T, fast, exact func(x float64) float64) {
		for _, x := range []float64{0, 5e-324, 1e-308, math.MaxFloat64, math.Inf(1)} {
			if got, want := fast(x), exact(x); got != want && !(math.Abs(got/want-1) <= 1e-13) {
				t.Errorf("power of %g = %g, want %g", x, got, want)
			}
		}
		for _, x := range []float64{math.NaN(), -1, -1e-300} {
			if got := fast(x); !math.IsNaN(got) {
				t.Errorf("power of %g = %g, want none", x, got)
			}
		}
	})
}

func BenchmarkPow(b *testing.B) {
	x, sum := 0.18, 0.0
	for b.Loop() {
		sum += pow(x, 0.42)
		x += 1e-9
	}
	if sum == 0 {
		b.Fatal("no result")
	}
}
