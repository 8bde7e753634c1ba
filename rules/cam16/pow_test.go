package cam16

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestPow holds the fast power against math.Pow, which is right to the last bit or two.
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
	for _, x := range []float64{0, 1, math.Nextafter(1, 0), math.Nextafter(1, 2), 5e-324, 1e-308, math.MaxFloat64, math.Inf(1)} {
		if got, want := pow(x, 0.42), math.Pow(x, 0.42); got != want && math.Abs(got/want-1) > 1e-13 {
			t.Errorf("pow(%g, 0.42) = %g, want %g", x, got, want)
		}
	}
	if pow(1, 0.9) != 1 {
		t.Error("pow(1, y) is not exactly 1")
	}
	if !math.IsNaN(pow(math.NaN(), 0.42)) || !math.IsNaN(pow(-1, 0.42)) {
		t.Error("pow of NaN or of a negative number is a number")
	}
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
