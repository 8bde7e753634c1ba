package rules

import (
	"encoding/json"
	"math"
	"testing"
)

// TestFigureJSON: a number goes there and back in full, and what is no number
// is null.
func TestFigureJSON(t *testing.T) {
	for _, c := range []struct {
		figure Figure
		want   string
	}{
		{1.0 / 3, "0.3333333333333333"}, {-48, "-48"}, {0, "0"}, {1e-9, "1e-09"},
		{Unknown, "null"}, {Figure(math.Inf(1)), "null"}, {Figure(math.Inf(-1)), "null"},
	} {
		text, err := json.Marshal(c.figure)
		if err != nil || string(text) != c.want {
			t.Errorf("%v is written as %s (%v), want %s", float64(c.figure), text, err, c.want)
		}
		var back Figure
		if err := json.Unmarshal(text, &back); err != nil {
			t.Errorf("%s: %v", text, err)
		}
		if c.want == "null" && back.Known() || c.want != "null" && back != c.figure {
			t.Errorf("%v comes back as %v", float64(c.figure), float64(back))
		}
	}
	var f Figure
	if err := json.Unmarshal([]byte(`"dark"`), &f); err == nil {
		t.Error("a word is read as a figure")
	}
}

func TestGiven(t *testing.T) {
	if g := Stated(5); g.Assumed || g.Value != 5 {
		t.Errorf("stated: %v", g)
	}
	if g := Assume(5); !g.Assumed || g.Value != 5 {
		t.Errorf("assumed: %v", g)
	}
}
