package picture

import (
	"math"
	"testing"

	"lampblack/agent/icc"
	"lampblack/agent/icc/icctest"
	"lampblack/rules/colour"
)

// A picture with a table profile, in each of the ways in which it can come.
func TestPicturesWithTables(t *testing.T) {
	const w, h = 64, 48
	press, printer := icctest.Press(16), icctest.Printer("Lab ")
	mean := func(channels, bits int, lab func(icc.Values) colour.Lab) float64 {
		var sum float64
		for i := range w * h {
			var v icc.Values
			for c := range channels {
				code := testValue(w, h, i%w, i/w, c) >> (16 - bits)
				v[c] = float64(code) / float64(int(1)<<bits-1)
			}
			sum += colour.FromLightness(lab(v).L)
		}
		return sum / (w * h)
	}
	for name, test := range map[string]struct {
		file []byte
		want float64
		name string
	}{
		"png":     {makePNG(t, testRGB(w, h), iccChunk(printer)), mean(3, 8, icctest.PrinterLab), "slip gloss"},
		"tiff":    {sheet{w: w, h: h, bits: 16, channels: 3, compression: packNone, profile: printer}.bytes(), mean(3, 16, icctest.PrinterLab), "slip gloss"},
		"cmyk 8":  {sheet{w: w, h: h, bits: 8, channels: 4, compression: packLZW, profile: press}.bytes(), mean(4, 8, icctest.PressLab), "harbour press"},
		"cmyk 16": {sheet{w: w, h: h, bits: 16, channels: 4, extra: 1, compression: packLZW, profile: press}.bytes(), mean(4, 16, icctest.PressLab), "harbour press"},
	} {
		pic := measured(t, test.file)
		if math.Abs(pic.MeanY/test.want-1) > 0.005 || pic.Profile != test.name || pic.Assumed {
			t.Errorf("%s: mean Y %v, want %v; profile %q", name, pic.MeanY, test.want, pic.Profile)
		}
	}
}
