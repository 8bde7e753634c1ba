package main

import (
	"math"
	"slices"
)

// What the second computation (sketch_test.go) makes of a picture whose tones have
// equal shares.

// sketchMeans are the mean shifts of the shadows, the midtones, the lights and all of a
// picture: bounded by 2 stops, and half a stop lighter as a tone nears r's black. NaN
// where it has no such tones; those below L* 0.5 count nowhere.
func sketchMeans(a, r sketchView, beta float64, tones []float64) (means [4]float64) {
	var sums, counts [4]float64
	for _, y := range tones {
		l := sketchLightness(y)
		if l < 0.5 {
			continue
		}
		tone, ratio := sketchTone(a, r, y)
		k := math.Min(1, 8*ratio)
		if k > 0 {
			tone = k*math.Min(2, math.Max(-2, tone)) - (1-k)*0.5
		} else {
			tone = -0.5
		}
		zone := 1
		switch {
		case l < 30:
			zone = 0
		case l > 70:
			zone = 2
		}
		for _, z := range []int{zone, 3} {
			sums[z] += tone
			counts[z]++
		}
	}
	for z := range means {
		means[z] = sums[z]/counts[z] + beta*math.Log2(a.luminance(1)/r.luminance(1))
	}
	return means
}

// sketchLightness is L* of a tone (CIE 1976).
func sketchLightness(y float64) float64 {
	if y > math.Pow(6.0/29, 3) {
		return 116*math.Cbrt(y) - 16
	}
	return y * math.Pow(29.0/3, 3)
}

// sketchPart is the tone below which the part p of the picture lies.
func sketchPart(tones []float64, p float64) float64 {
	sorted := slices.Sorted(slices.Values(tones))
	return sorted[min(len(sorted)-1, int(p*float64(len(sorted))))]
}

// sketchContrast is what is left of the contrast between a tenth and nine tenths.
func sketchContrast(a, r sketchView, beta float64, tones []float64) float64 {
	low, high := math.Max(0.00055, sketchPart(tones, 0.1)), sketchPart(tones, 0.9)
	stops := math.Log2(high / low)
	left := stops + sketchShift(a, r, beta, high) - sketchShift(a, r, beta, low)
	return stops / math.Max(stops/10, left)
}

// sketchSteps is j(L(high)) - j(L(low)) on a medium.
func (v sketchView) sketchSteps(low, high float64) float64 {
	return sketchJND(v.luminance(high)) - sketchJND(v.luminance(low))
}

// sketchJND is the DICOM standard display function's index of a luminance, cd/m²
// (PS3.14, the inverse polynomial), held below 0.05 cd/m².
func sketchJND(l float64) float64 {
	x := math.Log10(math.Max(0.05, l))
	sum := 0.0
	for i, c := range []float64{71.498068, 94.593053, 41.912053, 9.8247004, 0.28175407, -1.1878455, -0.18014349, 0.14710899, -0.017046845} {
		sum += c * math.Pow(x, float64(i))
	}
	return sum
}

// sketchEdge is the tone three steps above a medium's black.
func (v sketchView) sketchEdge() float64 {
	low, high := 0.0, 1.0
	for range 100 {
		middle := (low + high) / 2
		if v.sketchSteps(0, middle) < 3 {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// sketchLost is the share of the picture between the edges of a and of r, each tone
// taken half an L* wide.
func sketchLost(a, r sketchView, tones []float64) (lost float64) {
	from, to := a.sketchEdge(), r.sketchEdge()
	for _, y := range tones {
		const slices = 4000
		l := sketchLightness(y)
		if l < 0.5 {
			continue
		}
		low, high := sketchLuminance(l-0.25), sketchLuminance(l+0.25)
		inside := 0
		for i := range slices {
			if at := low + (high-low)*(float64(i)+0.5)/slices; from <= at && at < to {
				inside++
			}
		}
		lost += float64(inside) / slices / float64(len(tones))
	}
	return lost
}

// sketchLuminance is the tone of lightness L*.
func sketchLuminance(l float64) float64 {
	if l > 8 {
		return math.Pow((l+16)/116, 3)
	}
	return l * math.Pow(3.0/29, 3)
}
