package light

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"lampblack/rules/colour"
)

// The makers print ten digits.
const tenDigits = 1e-9

func readVectors(t *testing.T, name string, into any) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, into); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

func within[T ~float64](t *testing.T, what string, got T, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(float64(got)-want) <= tolerance) {
		t.Errorf("%s = %.10g, want %.10g ± %.1g", what, float64(got), want, tolerance)
	}
}

// near fails unless got is want to a relative tolerance.
func near[T ~float64](t *testing.T, what string, got T, want, tolerance float64) {
	t.Helper()
	within(t, what, got, want, tolerance*math.Abs(want))
}

func TestGSDFVectors(t *testing.T) {
	type row struct{ J, L float64 }
	var file struct {
		Published []row `json:"published_rows"`
		LOfJ      []row `json:"L_of_j"`
		JOfL      []row `json:"j_of_L"`
	}
	readVectors(t, "gsdf/gsdf.json", &file)
	if len(file.Published) == 0 || len(file.LOfJ) == 0 || len(file.JOfL) == 0 {
		t.Fatal("a block is empty")
	}
	luminance := func(j, want, tolerance float64) {
		t.Helper()
		l, err := LuminanceOfJND(j)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("L(%g)", j), l, want, tolerance)
	}
	for _, r := range file.LOfJ {
		luminance(r.J, r.L, tenDigits)
	}
	for _, r := range file.JOfL {
		near(t, fmt.Sprintf("j(%g)", r.L), JND(Luminance(r.L)), r.J, tenDigits)
	}
	// The table of the standard rounds to four decimals and at its upper end lies
	// 2e-5 above its own equation.
	for _, r := range file.Published {
		luminance(r.J, r.L, 4e-4)
	}
}

// PS3.14 table D.2-1: densities for a lightbox of L0 cd/m² in a room that adds La,
// 256 P-values spread evenly over the indices between Dmin and Dmax.
func TestGSDFTableD21(t *testing.T) {
	var file struct {
		Check struct {
			L0, La, Dmin, Dmax float64
			Lmin, Lmax         float64
			JMin               float64         `json:"j_min"`
			DensityOfPValue    map[int]float64 `json:"density_of_pvalue"`
			Tol                float64
		} `json:"d2_check"`
	}
	readVectors(t, "gsdf/gsdf.json", &file)
	c := file.Check
	if len(c.DensityOfPValue) == 0 {
		t.Fatal("no rows")
	}
	onBox := func(d float64) Luminance { return Luminance(c.La + c.L0*math.Pow(10, -d)) }
	within(t, "Lmin", onBox(c.Dmax), c.Lmin, 0.05)
	within(t, "Lmax", onBox(c.Dmin), c.Lmax, 0.05)
	low, high := JND(onBox(c.Dmax)), JND(onBox(c.Dmin))
	within(t, "j of Lmin", low, c.JMin, 0.005)
	for p, want := range c.DensityOfPValue {
		l, err := LuminanceOfJND(low + (high-low)*float64(p)/255)
		if err != nil {
			t.Fatal(err)
		}
		within(t, fmt.Sprintf("density of P-value %d", p), -math.Log10((float64(l)-c.La)/c.L0), want, c.Tol)
	}
}

func TestExposureVectors(t *testing.T) {
	var file struct {
		Rows []struct {
			EV100  float64
			FlatLx float64 `json:"lux_C250"`
			Lx330  float64 `json:"lux_C330"`
			Lx340  float64 `json:"lux_C340"`
			L125   float64 `json:"cdm2_K12_5"`
			L14    float64 `json:"cdm2_K14"`
		}
		Exposures []struct {
			N          float64
			Time       float64 `json:"t"`
			ISO        float64 `json:"S"`
			EV100      float64
			E250       float64 `json:"E_C250"`
			E330       float64 `json:"E_C330"`
			L125       float64 `json:"L_K12_5"`
			L14        float64 `json:"L_K14"`
			CardLux    float64 `json:"E_from_18pct_card_K12_5"`
			PaperLux90 float64 `json:"E_from_white_paper_rho090_K12_5"`
		}
	}
	readVectors(t, "metering/exposure.json", &file)
	if len(file.Rows) == 0 || len(file.Exposures) == 0 {
		t.Fatal("a block is empty")
	}
	for _, r := range file.Rows {
		x, at := Exposure{Aperture: 1, Seconds: math.Pow(2, -r.EV100), ISO: 100}, fmt.Sprintf("EV %g: ", r.EV100)
		within(t, at+"EV100", x.EV100(), r.EV100, tenDigits)
		near(t, at+"E, C 250", x.Illuminance(CFlat), r.FlatLx, tenDigits)
		near(t, at+"E, C 330", x.Illuminance(CDome330), r.Lx330, tenDigits)
		near(t, at+"E, C 340", x.Illuminance(CDome340), r.Lx340, tenDigits)
		near(t, at+"L, K 12.5", x.Luminance(K125), r.L125, tenDigits)
		near(t, at+"L, K 14", x.Luminance(K14), r.L14, tenDigits)
	}
	for _, r := range file.Exposures {
		x := Exposure{Aperture: r.N, Seconds: r.Time, ISO: r.ISO}
		at := fmt.Sprintf("f/%g %g s ISO %g: ", r.N, r.Time, r.ISO)
		near(t, at+"EV100", x.EV100(), r.EV100, tenDigits)
		near(t, at+"E, C 250", x.Illuminance(CFlat), r.E250, tenDigits)
		near(t, at+"E, C 330", x.Illuminance(CDome330), r.E330, tenDigits)
		near(t, at+"L, K 12.5", x.Luminance(K125), r.L125, tenDigits)
		near(t, at+"L, K 14", x.Luminance(K14), r.L14, tenDigits)
		near(t, at+"card", MatchingLux(x.Luminance(K125), 0.18), r.CardLux, tenDigits)
		near(t, at+"paper", MatchingLux(x.Luminance(K125), 0.90), r.PaperLux90, tenDigits)
	}
}

func TestPrintVectors(t *testing.T) {
	var file struct {
		Print []struct {
			E   Lux `json:"E_lx"`
			Rho float64
			L   float64
		}
		Flare []struct {
			Dmax     float64
			White    float64 `json:"rho_white"`
			Flare    float64 `json:"flare_frac"`
			Contrast float64
			Black    float64 `json:"rel_black_pct"`
			Lstar    float64 `json:"Lstar_rel"`
			Density  float64 `json:"eff_density_rel"`
		}
	}
	readVectors(t, "metering/luminance.json", &file)
	if len(file.Print) == 0 || len(file.Flare) == 0 {
		t.Fatal("a block is empty")
	}
	for _, r := range file.Print {
		at := fmt.Sprintf("%g lx on %g: ", r.E, r.Rho)
		near(t, at+"L", Print(r.E, r.Rho), r.L, tenDigits)
		near(t, at+"back", MatchingLux(Luminance(r.L), r.Rho), float64(r.E), tenDigits)
	}
	for _, r := range file.Flare {
		at := fmt.Sprintf("D %g, flare %g: ", r.Dmax, r.Flare)
		s := Sheet{On: 500, White: r.White, Black: colour.FromDensity(r.Dmax), Flare: r.Flare, Transmit: 1}
		black := float64(s.Luminance(0) / s.AdoptedWhite())
		near(t, at+"contrast", 1/black, r.Contrast, tenDigits)
		near(t, at+"black", 100*black, r.Black, tenDigits)
		near(t, at+"L* of black", colour.Lightness(black), r.Lstar, tenDigits)
		near(t, at+"density of black", colour.Density(black), r.Density, tenDigits)
	}
}

// The maker gives the panel a reflectance of k, so that Rd = k/π.
func TestScreenVectors(t *testing.T) {
	var file struct {
		Display []struct {
			White    Luminance `json:"Lwhite"`
			Contrast float64   `json:"contrast_dark"`
			Refl     float64
			E        Lux     `json:"E_lx"`
			Glare    float64 `json:"Lrefl"`
			Black    float64 `json:"Lblack"`
			SeenW    float64 `json:"Lwhite_eff"`
			SeenK    float64 `json:"Lblack_eff"`
			SeenC    float64 `json:"contrast_eff"`
			Lstar    float64 `json:"black_Lstar"`
			JNDLost  float64 `json:"jnd_lost_at_black"`
		}
	}
	readVectors(t, "metering/luminance.json", &file)
	if len(file.Display) == 0 {
		t.Fatal("no rows")
	}
	for _, r := range file.Display {
		at := fmt.Sprintf("%g cd/m², k %g, %g lx: ", r.White, r.Refl, r.E)
		s := Screen{White: r.White, Contrast: r.Contrast, Diffuse: r.Refl / math.Pi, On: r.E}
		near(t, at+"glare", s.Glare(), r.Glare, tenDigits)
		near(t, at+"white", s.AdoptedWhite(), r.SeenW, tenDigits)
		near(t, at+"black", s.Luminance(0), r.SeenK, tenDigits)
		near(t, at+"contrast", s.AdoptedWhite()/s.Luminance(0), r.SeenC, tenDigits)
		near(t, at+"L* of black", colour.Lightness(float64(s.Luminance(0)/s.AdoptedWhite())), r.Lstar, tenDigits)
		near(t, at+"steps lost", JND(s.Luminance(0))-JND(Luminance(r.Black)), r.JNDLost, 1e-8)

		s.On = 0
		near(t, at+"black in the dark", s.Luminance(0), r.Black, tenDigits)
	}
}

// The luminance of a white in the surround over that of the display's white.
func TestSurroundRatioVectors(t *testing.T) {
	var file struct {
		Ratios []struct {
			Case    string
			E       Lux `json:"E_lx"`
			LDW     Luminance
			LSW, SR float64
		}
	}
	readVectors(t, "cam16/surround.json", &file)
	if len(file.Ratios) == 0 {
		t.Fatal("no rows")
	}
	for _, r := range file.Ratios {
		near(t, r.Case+": white of the room", Print(r.E, 1), r.LSW, tenDigits)
		near(t, r.Case+": ratio", Print(r.E, 1)/r.LDW, r.SR, tenDigits)
	}
}

func TestMixedWhiteVectors(t *testing.T) {
	d50, d65, a := colour.D50, colour.D65, colour.XY{X: 0.44758, Y: 0.40745}
	cases := map[string]struct {
		display, ambient colour.XY
		ld, la           Luminance
	}{
		"D65 120 + D50 142": {d65, d50, 120, 142},
		"D65 120 + D50 10":  {d65, d50, 120, 10},
		"D65 160 + A 40":    {d65, a, 160, 40},
		"D50 160 + D50 160": {d50, d50, 160, 160},
	}
	var file struct {
		Rows []struct {
			Case string
			R    float64 `json:"R_adp"`
			X, Y float64
		}
	}
	readVectors(t, "metering/mixed_white.json", &file)
	if len(file.Rows) == 0 {
		t.Fatal("no rows")
	}
	for _, r := range file.Rows {
		c, ok := cases[r.Case]
		if !ok {
			t.Errorf("unknown case %q", r.Case)
		}
		got := MixedWhite(c.display, c.ld, c.ambient, c.la, r.R)
		within(t, fmt.Sprintf("%s, r %g: x", r.Case, r.R), got.X, r.X, 1e-9)
		within(t, fmt.Sprintf("%s, r %g: y", r.Case, r.R), got.Y, r.Y, 1e-9)
	}
}
