package cam16

import (
	"math"
	"testing"
)

func TestSurroundNodes(t *testing.T) {
	for _, c := range []struct {
		ratio float64
		want  Surround
	}{
		{-1, Dark}, {0, Dark}, {0.01, Dark}, {0.05, Dim}, {0.2, Average}, {5, Average}, {math.Inf(1), Average},
	} {
		if got := SurroundAt(c.ratio); got != c.want {
			t.Errorf("SurroundAt(%g) = %v, want %v", c.ratio, got, c.want)
		}
	}
}

// Between the nodes each factor rises and nothing jumps.
func TestSurroundIsContinuous(t *testing.T) {
	last := SurroundAt(0.005)
	for ratio := 0.005; ratio < 0.4; ratio *= 1.001 {
		s := SurroundAt(ratio)
		for _, step := range []float64{s.F - last.F, s.C - last.C, s.Nc - last.Nc} {
			if step < 0 || step > 1e-4 {
				t.Fatalf("SurroundAt(%g) steps by %g", ratio, step)
			}
		}
		last = s
	}
}

// The maker's interpolation runs over s = 0 dark, 1 dim, 2 average; ours maps
// the ratio to the same s and must then give the same factors.
func TestSurroundInterpolation(t *testing.T) {
	var file struct {
		Interpolation []struct {
			S     float64 `json:"s"`
			F, Nc float64
			C     float64 `json:"c"`
		}
	}
	readVectors(t, "surround.json", &file)
	if len(file.Interpolation) == 0 {
		t.Fatal("no rows")
	}
	for _, row := range file.Interpolation {
		ratio := 0.01 * math.Pow(0.05/0.01, row.S)
		if row.S > 1 {
			ratio = 0.05 * math.Pow(0.2/0.05, row.S-1)
		}
		got := SurroundAt(ratio)
		near(t, "F", got.F, row.F, 1e-12)
		near(t, "c", got.C, row.C, 1e-12)
		near(t, "Nc", got.Nc, row.Nc, 1e-12)
	}
}

// Where the standard says average or dark, so do we; its dim is our slope.
func TestSurroundCategories(t *testing.T) {
	var file struct {
		Ratios []struct {
			Case, Category string
			SR             float64
		}
	}
	readVectors(t, "surround.json", &file)
	if len(file.Ratios) == 0 {
		t.Fatal("no rows")
	}
	for _, row := range file.Ratios {
		got := SurroundAt(row.SR)
		switch row.Category {
		case "dim":
			if got.C < Dim.C || got.C >= Average.C {
				t.Errorf("%s: c = %g for S_R %g, want dim or a little lighter", row.Case, got.C, row.SR)
			}
		default:
			if want := surrounds[row.Category]; got != want {
				t.Errorf("%s: %v, want %v", row.Case, got, want)
			}
		}
	}
}
