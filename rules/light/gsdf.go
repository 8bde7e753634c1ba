package light

import (
	"fmt"
	"math"
)

// The range of luminance and of indices for which the grayscale standard
// display function is defined (DICOM PS3.14, 7.1).
const (
	darkestGSDF, brightestGSDF Luminance = 0.05, 4000
	firstJND, lastJND                    = 1.0, 1023.0
)

// JND is the index j of just-noticeable differences that a standard observer
// reaches at luminance L in cd/m², counted from about 0.05 cd/m² (DICOM PS3.14,
// 7.1, equation for j(L)):
//
//	j(L) = Σ pᵢ·(log10 L)^i,  i = 0..8
//
// Differences of j count the steps that can be told apart. Outside 0.05..4000
// cd/m² the fit runs wild, so L is clamped to that range: deeper blacks hold no
// more steps. The last index is 1023. The standard fits j(L) and L(j) separately:
// they agree to 0.6 % of L below 0.1 cd/m², to 0.2 % above.
func JND(l Luminance) float64 {
	x := math.Log10(float64(min(max(l, darkestGSDF), brightestGSDF)))
	return min(lastJND, polynomial(x, 71.498068, 94.593053, 41.912053, 9.8247004, 0.28175407,
		-1.1878455, -0.18014349, 0.14710899, -0.017046845))
}

// LuminanceOfJND is the luminance L in cd/m² of index j (DICOM PS3.14, 7.1,
// equation for L(j)):
//
//	log10 L = (a + c·x + e·x² + g·x³ + m·x⁴)/(1 + b·x + d·x² + f·x³ + h·x⁴ + k·x⁵),  x = ln j
//
// Indices outside 1..1023 are an error.
func LuminanceOfJND(j float64) (Luminance, error) {
	if !(j >= firstJND && j <= lastJND) {
		return 0, fmt.Errorf("JND index %g: the display function has indices from %g to %g", j, firstJND, lastJND)
	}
	x := math.Log(j)
	above := polynomial(x, -1.3011877, 8.0242636e-2, 1.3646699e-1, -2.5468404e-2, 1.3635334e-3)
	below := polynomial(x, 1, -2.5840191e-2, -1.0320229e-1, 2.8745620e-2, -3.1978977e-3, 1.2992634e-4)
	return Luminance(math.Pow(10, above/below)), nil
}

// polynomial is Σ cᵢ·x^i by Horner's rule.
func polynomial(x float64, c ...float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*x + c[i]
	}
	return sum
}
