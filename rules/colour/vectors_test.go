package colour

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"
)

// The makers print ten digits.
const tenDigits = 1e-9

func readVectors(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/colour/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

// within fails unless got is want to an absolute tolerance.
func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.10g, want %.10g ± %.1g", what, got, want, tolerance)
	}
}

// near fails unless got is want to a relative tolerance, absolute below 1.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	within(t, what, got, want, tolerance*max(1, math.Abs(want)))
}

type triple [3]float64

func (v triple) xyz() XYZ { return XYZ{v[0], v[1], v[2]} }
func (v triple) lab() Lab { return Lab{v[0], v[1], v[2]} }

func nearXYZ(t *testing.T, what string, got, want XYZ, tolerance float64) {
	t.Helper()
	near(t, what+" X", got.X, want.X, tolerance)
	near(t, what+" Y", got.Y, want.Y, tolerance)
	near(t, what+" Z", got.Z, want.Z, tolerance)
}

type locusRow struct {
	Name   string
	T      Kelvin
	X, Y   float64
	U, V   float64
	Duv    float64
	XYZ    triple
	Ohno   float64 `json:"ohno_cct"`
	OhnoD  float64 `json:"ohno_duv"`
	McCamy float64 `json:"mccamy_cct"`
}

func (r locusRow) xy() XY { return XY{r.X, r.Y} }

func readLoci(t *testing.T) (file struct {
	Planck, Daylight, Illuminants []locusRow
	OffLocus                      []locusRow `json:"off_locus"`
}) {
	t.Helper()
	readVectors(t, "loci.json", &file)
	for _, rows := range [][]locusRow{file.Planck, file.Daylight, file.Illuminants, file.OffLocus} {
		if len(rows) == 0 {
			t.Fatal("loci.json: a block is empty")
		}
	}
	return file
}

// The maker sums to 780 nm, we to 830: at 1667 K that is 7e-6 in u.
func TestPlanckVectors(t *testing.T) {
	for _, row := range readLoci(t).Planck {
		at := fmt.Sprintf("%g K ", row.T)
		c, err := Planck(row.T)
		if err != nil {
			t.Fatal(err)
		}
		within(t, at+"u", c.uv().u, row.U, 8e-6)
		within(t, at+"v", c.uv().v, row.V, 1e-6)
		within(t, at+"x", c.X, row.X, 8e-6)
		within(t, at+"y", c.Y, row.Y, 8e-6)
	}
}

func TestDaylightVectors(t *testing.T) {
	for _, row := range readLoci(t).Daylight {
		c, err := Daylight(row.T)
		if err != nil {
			t.Fatal(err)
		}
		within(t, fmt.Sprintf("%g K x", row.T), c.X, row.X, 1e-10)
		within(t, fmt.Sprintf("%g K y", row.T), c.Y, row.Y, 1e-10)
	}
}

func TestCCTVectors(t *testing.T) {
	loci := readLoci(t)
	for _, rows := range [][]locusRow{loci.Planck, loci.Daylight, loci.Illuminants} {
		for _, row := range rows {
			at := fmt.Sprintf("%s%g K ", row.Name, row.T)
			cct, duv, err := CCT(row.xy())
			if err != nil {
				t.Errorf("%s: %v", at, err)
				continue
			}
			within(t, at+"CCT", float64(cct), row.Ohno, 0.5)
			within(t, at+"duv", duv, row.OhnoD, 2e-6)
			within(t, at+"McCamy", float64(McCamy(row.xy())), row.McCamy, 1e-5)
		}
	}
	for _, row := range loci.OffLocus {
		at := fmt.Sprintf("%g K %+g ", row.T, row.Duv)
		cct, duv, err := CCT(row.xy())
		if err != nil {
			t.Fatal(err)
		}
		within(t, at+"CCT", float64(cct), float64(row.T), 0.5)
		within(t, at+"duv", duv, row.Duv, 2e-6)
		within(t, at+"McCamy", float64(McCamy(row.xy())), row.McCamy, 1e-4)
	}
}

func TestIlluminants(t *testing.T) {
	for _, row := range readLoci(t).Illuminants {
		nearXYZ(t, row.Name, row.xy().XYZ(100), row.XYZ.xyz(), tenDigits)
		back := row.XYZ.xyz().XY()
		within(t, row.Name+" x", back.X, row.X, 1e-10)
		within(t, row.Name+" y", back.Y, row.Y, 1e-10)
	}
}

func TestEncodingVectors(t *testing.T) {
	// Display P3 is not one of ours, but its rows test the derivation of a
	// matrix from primaries and white with another set.
	p3 := SRGB
	p3.toXYZ = rgbToXYZ(XY{0.680, 0.320}, XY{0.265, 0.690}, XY{0.150, 0.060}, D65)
	// The maker starts ROMM from primaries of six digits, ISO 22028-2 from four;
	// for our own matrix that is a last digit of the standard's.
	romm := ROMM
	romm.toXYZ = rgbToXYZ(XY{0.734699, 0.265301}, XY{0.159597, 0.840403}, XY{0.036598, 0.000105}, D50)
	encodings := map[string]Encoding{"srgb": SRGB, "a98rgb": AdobeRGB, "prophoto": romm, "p3": p3}
	whites := map[string]XY{"D50": D50, "D65": D65}
	var file struct {
		Rows []struct {
			Space       string
			RGB, Linear triple
			White       string `json:"native_white"`
			Native      triple `json:"XYZ_native"`
			AtD50       triple `json:"XYZ_D50_bradford"`
			LabD50      triple `json:"Lab_D50"`
			LabD65      triple `json:"Lab_D65"`
		}
	}
	readVectors(t, "rgb.json", &file)
	if len(file.Rows) == 0 {
		t.Fatal("no rows")
	}
	for _, row := range file.Rows {
		e, at := encodings[row.Space], fmt.Sprintf("%s %v", row.Space, row.RGB)
		if e.White() != whites[row.White] {
			t.Errorf("%s: white %v, want %s", at, e.White(), row.White)
		}
		linear := XYZ{e.Decode(row.RGB[0]), e.Decode(row.RGB[1]), e.Decode(row.RGB[2])}
		nearXYZ(t, at+" linear", linear, row.Linear.xyz(), tenDigits)
		native := e.ToXYZ().Apply(linear).Scale(100)
		nearXYZ(t, at+" native", native, row.Native.xyz(), tenDigits)
		if row.Space == "prophoto" {
			nearXYZ(t, at+" native, ISO 22028-2", ROMM.ToXYZ().Apply(linear).Scale(100), row.Native.xyz(), 5e-4)
		}

		d50, d65 := D50.XYZ(100), D65.XYZ(100)
		atD50 := Bradford(e.White().XYZ(100), d50).Apply(native)
		nearXYZ(t, at+" D50", atD50, row.AtD50.xyz(), tenDigits)
		nearLab(t, at+" Lab D50", LabOf(atD50, d50), row.LabD50.lab(), 1e-8)
		atD65 := Bradford(e.White().XYZ(100), d65).Apply(native)
		nearLab(t, at+" Lab D65", LabOf(atD65, d65), row.LabD65.lab(), 1e-8)
	}
}

func nearLab(t *testing.T, what string, got, want Lab, tolerance float64) {
	t.Helper()
	near(t, what+" L*", got.L, want.L, tolerance)
	near(t, what+" a*", got.A, want.A, tolerance)
	near(t, what+" b*", got.B, want.B, tolerance)
}

// All 34 pairs of Sharma, Wu and Dalal 2005, as published and to ten digits.
func TestDeltaE2000Vectors(t *testing.T) {
	var file struct {
		Rows []struct {
			Pair             int
			Lab1, Lab2       triple
			Published, Exact float64
		}
	}
	readVectors(t, "ciede2000.json", &file)
	if len(file.Rows) != 34 {
		t.Fatalf("%d pairs, want 34", len(file.Rows))
	}
	for _, row := range file.Rows {
		at := fmt.Sprintf("pair %d", row.Pair)
		got := DeltaE2000(row.Lab1.lab(), row.Lab2.lab())
		within(t, at, got, row.Published, 5e-5)
		near(t, at, got, row.Exact, 1e-8)
		within(t, at+" the other way", DeltaE2000(row.Lab2.lab(), row.Lab1.lab()), row.Published, 5e-5)
	}
}

func TestLightnessAndDensityVectors(t *testing.T) {
	type row struct{ Y, D, Lstar, Density float64 }
	var file struct {
		YToL []row `json:"Y_to_L"`
		LToY []row `json:"L_to_Y"`
		DToL []row `json:"D_to_L"`
	}
	readVectors(t, "lightness.json", &file)
	if len(file.YToL) == 0 || len(file.LToY) == 0 || len(file.DToL) == 0 {
		t.Fatal("a block is empty")
	}
	for _, r := range append(file.YToL, file.LToY...) { // Y in percent
		near(t, "L*", Lightness(r.Y/100), r.Lstar, tenDigits)
		near(t, "Y", 100*FromLightness(r.Lstar), r.Y, tenDigits)
		near(t, "D", Density(r.Y/100), r.Density, tenDigits)
	}
	for _, r := range file.DToL {
		near(t, "Y of D", 100*FromDensity(r.D), r.Y, tenDigits)
		near(t, "L* of D", Lightness(FromDensity(r.D)), r.Lstar, tenDigits)
	}
}
