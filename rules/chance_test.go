package rules

import (
	"math"
	"testing"
)

func TestChance(t *testing.T) {
	for p, want := range map[float64]string{
		0:             "less than 1 %",
		1.0 / samples: "less than 1 %",
		2.0 / samples: "less than 1 %",
		3.0 / samples: "1 %",
		0.25:          "25 %",
		0.5:           "50 %",
		253. / 256:    "99 %",
		254. / 256:    "more than 99 %",
		255. / 256:    "more than 99 %",
		1:             "more than 99 %",
		1.0000000002:  "more than 99 %", // 256 times 1/256
	} {
		if got := Chance(p); got != want {
			t.Errorf("a probability of %g is %q, want %q", p, got, want)
		}
	}
	if got := Chance(math.NaN()); got != "–" {
		t.Errorf("no probability is %q", got)
	}
}
