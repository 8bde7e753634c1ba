package cam16

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"lampblack/rules/colour"
)

// The makers print ten digits.
const tenDigits = 1e-9

var surrounds = map[string]Surround{"average": Average, "dim": Dim, "dark": Dark}

func readVectors(t testing.TB, name string, into any) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/cam16/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

type triple [3]float64

func (v triple) xyz() colour.XYZ { return colour.XYZ{X: v[0], Y: v[1], Z: v[2]} }

func mustView(t testing.TB, white colour.XYZ, la, yb float64, s Surround, form Form) View {
	t.Helper()
	v, err := New(white, la, yb, s, form)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// near fails unless got is want within a relative tolerance; below 0.5, where
// the makers agree only absolutely, within half of it.
func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*max(math.Abs(want), 0.5)) {
		t.Errorf("%s = %.12g, want %.12g", what, got, want)
	}
}

func TestAppearanceVectors(t *testing.T) {
	type correlates struct{ J, C, Q, M, S, H float64 }
	var file struct {
		Rows []struct {
			ID           string
			XYZ, XYZw    triple
			LA, Yb       float64
			Surround     string
			Achromatic   bool
			CAM16        correlates
			CIECAM16     correlates
			FL, D, Z     float64
			N            float64 `json:"n"`
			BackgroundNb float64 `json:"Nbb"`
		}
	}
	readVectors(t, "appearance.json", &file)
	compared := 0
	for _, row := range file.Rows {
		for form, want := range map[Form]correlates{Li2017: row.CAM16, CIE248: row.CIECAM16} {
			v, err := New(row.XYZw.xyz(), row.LA, row.Yb, surrounds[row.Surround], form)
			if row.XYZw[1] != 100 {
				if err == nil {
					t.Errorf("%s: a white of Y = %g is accepted", row.ID, row.XYZw[1])
				}
				continue
			}
			if err != nil {
				t.Fatal(err)
			}
			compared++
			near(t, row.ID+" FL", v.fl, row.FL, tenDigits)
			near(t, row.ID+" Nbb", v.nbb, row.BackgroundNb, tenDigits)
			near(t, row.ID+" c·z", v.cz, v.c*row.Z, tenDigits)
			near(t, row.ID+" D_R", v.gain.r, row.D*100/coneOf(row.XYZw.xyz()).r+1-row.D, tenDigits)

			got := v.Forward(row.XYZ.xyz())
			near(t, row.ID+" J", got.J, want.J, tenDigits)
			near(t, row.ID+" Q", got.Q, want.Q, tenDigits)
			near(t, row.ID+" C", got.C, want.C, tenDigits)
			near(t, row.ID+" M", got.M, want.M, tenDigits)
			if row.Achromatic {
				continue // hue and, through its root, saturation are noise
			}
			near(t, row.ID+" s", got.S, want.S, tenDigits)
			near(t, row.ID+" h", got.H, want.H, tenDigits)
		}
	}
	if compared < 150 {
		t.Errorf("only %d rows compared", compared)
	}
}

// Published worked examples, to the digits that are printed.
func TestPublishedExamples(t *testing.T) {
	d65 := colour.XYZ{X: 95.05, Y: 100, Z: 108.88}
	a := colour.XYZ{X: 109.85, Y: 100, Z: 35.58}
	cases := []struct {
		source     string
		xyz, white colour.XYZ
		la, yb     float64
		want       Correlates // fields of 0 are not printed there
		tolerance  float64
	}{
		{"CIE 248:2022 clause 7", colour.XYZ{X: 60.70, Y: 49.60, Z: 10.29}, colour.XYZ{X: 96.46, Y: 100, Z: 108.62}, 40, 16,
			Correlates{J: 70.4406, C: 58.6035, H: 57.9145}, 5.1e-5},
		// The stimuli of Fairchild, Color Appearance Models, table of CIECAM02
		// examples, run through CAM16; figures of the tests of colour-science 0.4.6.
		{"Fairchild 1", colour.XYZ{X: 19.01, Y: 20, Z: 21.78}, d65, 318.31, 20,
			Correlates{J: 41.7312, C: 0.1034, H: 217.0680, Q: 195.3717, M: 0.1074, S: 2.3450}, 5.1e-5},
		{"Fairchild 2", colour.XYZ{X: 57.06, Y: 43.06, Z: 31.96}, d65, 31.83, 20,
			Correlates{J: 65.4283, C: 49.6796, H: 17.4866, Q: 152.0699, M: 42.6247, S: 52.9431}, 5.1e-5},
		{"Fairchild 3", colour.XYZ{X: 3.53, Y: 6.56, Z: 2.14}, a, 318.31, 20,
			Correlates{J: 21.3605, C: 50.9938, H: 178.8672, Q: 139.7858, M: 53.0073, S: 61.5795}, 5.1e-5},
	}
	for _, c := range cases {
		v := mustView(t, c.white, c.la, c.yb, Average, CIE248)
		v.Forward(c.xyz).check(t, c.source, c.want, c.tolerance)
	}
}

// check compares with what is printed; fields of 0 are not.
func (got Correlates) check(t *testing.T, source string, want Correlates, tolerance float64) {
	t.Helper()
	for _, f := range []struct {
		name      string
		got, want float64
	}{{"J", got.J, want.J}, {"C", got.C, want.C}, {"h", got.H, want.H},
		{"Q", got.Q, want.Q}, {"M", got.M, want.M}, {"s", got.S, want.S}} {
		if f.want != 0 && !(math.Abs(f.got-f.want) <= tolerance) {
			t.Errorf("%s: %s = %.6f, want %.4f", source, f.name, f.got, f.want)
		}
	}
}

func TestCorrespondingColours(t *testing.T) {
	type view struct {
		XYZw     triple
		LA, Yb   float64
		Surround string
	}
	var file struct {
		Rows []struct {
			Case     string
			Src, Dst view
			From     triple  `json:"XYZ_src"`
			To       triple  `json:"XYZ_dst"`
			J, C     float64 //
			H        float64 `json:"h"`
		}
	}
	readVectors(t, "corresponding.json", &file)
	if len(file.Rows) == 0 {
		t.Fatal("no rows")
	}
	for _, row := range file.Rows {
		src := mustView(t, row.Src.XYZw.xyz(), row.Src.LA, row.Src.Yb, surrounds[row.Src.Surround], CIE248)
		dst := mustView(t, row.Dst.XYZw.xyz(), row.Dst.LA, row.Dst.Yb, surrounds[row.Dst.Surround], CIE248)
		seen := src.Forward(row.From.xyz())
		near(t, row.Case+" J", seen.J, row.J, tenDigits)
		near(t, row.Case+" C", seen.C, row.C, tenDigits)
		near(t, row.Case+" h", seen.H, row.H, tenDigits)
		got := dst.Inverse(seen.J, seen.C, seen.H)
		near(t, row.Case+" X", got.X, row.To[0], tenDigits)
		near(t, row.Case+" Y", got.Y, row.To[1], tenDigits)
		near(t, row.Case+" Z", got.Z, row.To[2], tenDigits)
	}
}
