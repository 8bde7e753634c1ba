package values

import (
	"math"
	"testing"
)

func TestExposureText(t *testing.T) {
	for text, want := range map[string]float64{
		"1/30": 1.0 / 30, "1/30s": 1.0 / 30, " 1 / 30 s ": 1.0 / 30, "0.5": 0.5, `2"`: 2, "1/1.3": 1 / 1.3, "1/1,3": 1 / 1.3, "0,5s": 0.5, "2 sec.": 2, "15": 15,
		"": -1, "1/": -1, "/30": -1, "1/0": -1, "0": -1, "-1": -1, "1/30/2": -1, "NaN": -1, "1e9": -1, "half": -1, "1/4,000": -1, "1e-3": -1,
	} {
		var s Seconds
		err := s.UnmarshalText([]byte(text))
		if (err == nil) != (want > 0) || err == nil && math.Abs(float64(s)/want-1) > 1e-12 {
			t.Errorf("%q: %v, %v", text, s, err)
		}
	}
	for text, want := range map[string]float64{
		"4": 4, "f/4": 4, "f/5,6": 5.6, "F2.8": 2.8, " f/16 ": 16, "": -1, "f": -1, "f//4": -1, "0": -1, "nan": -1, "1/4": -1,
	} {
		var n FNumber
		err := n.UnmarshalText([]byte(text))
		if (err == nil) != (want > 0) || err == nil && float64(n) != want {
			t.Errorf("%q: %v, %v", text, n, err)
		}
	}
}
