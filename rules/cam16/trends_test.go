package cam16

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"lampblack/rules/colour"
)

var (
	whiteD65 = colour.XYZ{X: 95.047, Y: 100, Z: 108.883}
	whiteD50 = colour.XYZ{X: 96.422, Y: 100, Z: 82.521}
	skin     = colour.XYZ{X: 38, Y: 34, Z: 24}
)

// Hunt effect (colourfulness grows with luminance) and Stevens effect (contrast
// does), as numbers and as directions.
func TestHuntAndStevens(t *testing.T) {
	var file struct {
		Rows []struct {
			LA    float64
			FL    float64
			SkinC float64 `json:"skin_C"`
			SkinM float64 `json:"skin_M"`
			SkinS float64 `json:"skin_s"`
			QW    float64 `json:"Q_white"`
			QMid  float64 `json:"Q_mid"`
			QK    float64 `json:"Q_black2pct"`
			Range float64 `json:"dQ_white_black"`
			JMid  float64 `json:"J_mid"`
			JK    float64 `json:"J_black"`
		} `json:"hunt_stevens"`
	}
	readVectors(t, "trends.json", &file)
	if len(file.Rows) < 2 {
		t.Fatal("no rows")
	}
	lastM, lastRange := 0.0, 0.0
	for _, row := range file.Rows {
		at := fmt.Sprintf("LA %g ", row.LA)
		v := mustView(t, whiteD65, row.LA, 20, Average, CIE248)
		s, white := v.Forward(skin), v.Forward(whiteD65)
		mid, black := v.Forward(whiteD65.Scale(0.1804)), v.Forward(whiteD65.Scale(0.02))
		near(t, at+"FL", v.fl, row.FL, tenDigits)
		near(t, at+"C of skin", s.C, row.SkinC, tenDigits)
		near(t, at+"M of skin", s.M, row.SkinM, tenDigits)
		near(t, at+"s of skin", s.S, row.SkinS, tenDigits)
		near(t, at+"Q of white", white.Q, row.QW, tenDigits)
		near(t, at+"Q of mid grey", mid.Q, row.QMid, tenDigits)
		near(t, at+"Q of black", black.Q, row.QK, tenDigits)
		near(t, at+"Q white − black", white.Q-black.Q, row.Range, tenDigits)
		near(t, at+"J of mid grey", mid.J, row.JMid, tenDigits)
		near(t, at+"J of black", black.J, row.JK, tenDigits)
		if s.M <= lastM || white.Q-black.Q <= lastRange {
			t.Errorf("%scolourfulness or contrast doesn't grow with luminance", at)
		}
		lastM, lastRange = s.M, white.Q-black.Q
	}
}

// checkNeutrals compares columns J_Y0.5, J_Y1 … of a row with both ways to J.
func checkNeutrals(t *testing.T, at string, v View, row map[string]any) {
	t.Helper()
	columns := 0
	for name, want := range row {
		percent, ok := strings.CutPrefix(name, "J_Y")
		if !ok {
			continue
		}
		var y float64
		if _, err := fmt.Sscan(percent, &y); err != nil {
			t.Fatal(err)
		}
		near(t, at+name, v.Forward(whiteD65.Scale(y/100)).J, want.(float64), tenDigits)
		near(t, at+name+" by NeutralJ", v.NeutralJ(y/100), want.(float64), tenDigits)
		columns++
	}
	if columns == 0 {
		t.Errorf("%sno columns", at)
	}
}

// A lighter background makes everything on it darker.
func TestBackground(t *testing.T) {
	var file struct {
		Rows []map[string]any `json:"background_J"`
	}
	readVectors(t, "trends.json", &file)
	last := math.Inf(1)
	for _, row := range file.Rows {
		yb := row["Yb"].(float64)
		v := mustView(t, whiteD65, 32, yb, Average, CIE248)
		checkNeutrals(t, fmt.Sprintf("Yb %g ", yb), v, row)
		if j := v.NeutralJ(0.18); j < last {
			last = j
		} else {
			t.Errorf("Yb %g: mid grey isn't darker than on the darker background", yb)
		}
	}
	if math.IsInf(last, 1) {
		t.Error("no rows")
	}
}

func TestSurroundVectors(t *testing.T) {
	var file struct {
		Rows []map[string]any `json:"surround_J"`
	}
	readVectors(t, "trends.json", &file)
	if len(file.Rows) != 3 {
		t.Fatalf("%d rows, want 3", len(file.Rows))
	}
	for _, row := range file.Rows {
		name := row["surround"].(string)
		checkNeutrals(t, name+" ", mustView(t, whiteD65, 32, 20, surrounds[name], CIE248), row)
	}
}

// Bartleson and Breneman (J. Opt. Soc. Am. 57 (1967) 953) found that a picture
// needs a contrast 1.5 : 1.25 : 1 in dark, dim and average surrounds to look the
// same (figures from memory); later magnitude estimates say 1.2 : 1.11 : 1 (Baek,
// Kwak and others). The model should lie between them.
func TestContrastBySurround(t *testing.T) {
	gamma := func(s Surround) float64 { // slope of log J over log Y around mid grey
		v := mustView(t, whiteD65, 32, 20, s, CIE248)
		return math.Log(v.NeutralJ(0.5)/v.NeutralJ(0.05)) / math.Log(0.5/0.05)
	}
	average := gamma(Average)
	dim, dark := average/gamma(Dim), average/gamma(Dark)
	t.Logf("contrast dark : dim : average = %.3f : %.3f : 1", dark, dim)
	if dim < 1.11 || dim > 1.25 {
		t.Errorf("dim surround asks for a contrast of %.3f, want 1.11 to 1.25", dim)
	}
	if dark < 1.20 || dark > 1.5 {
		t.Errorf("dark surround asks for a contrast of %.3f, want 1.20 to 1.5", dark)
	}
}

func TestScenarios(t *testing.T) {
	var file struct {
		Scenarios []struct {
			Name     string
			LA, Yb   float64
			Surround string
			Rows     []struct{ Y, J, Q float64 }
			Skin     struct{ J, C, Q, M, S float64 }
		}
	}
	readVectors(t, "trends.json", &file)
	if len(file.Scenarios) == 0 {
		t.Fatal("no scenarios")
	}
	for _, s := range file.Scenarios {
		white, complexion := whiteD65, skin
		if strings.HasPrefix(s.Name, "print") {
			white = whiteD50
			complexion.X *= whiteD50.X / whiteD65.X
			complexion.Z *= whiteD50.Z / whiteD65.Z
		}
		v := mustView(t, white, s.LA, s.Yb, surrounds[s.Surround], CIE248)
		for _, row := range s.Rows {
			got := v.Forward(white.Scale(row.Y / 100))
			at := fmt.Sprintf("%s: Y %g: ", s.Name, row.Y)
			near(t, at+"J", got.J, row.J, tenDigits)
			near(t, at+"Q", got.Q, row.Q, tenDigits)
		}
		got := v.Forward(complexion)
		near(t, s.Name+": J of skin", got.J, s.Skin.J, tenDigits)
		near(t, s.Name+": C of skin", got.C, s.Skin.C, tenDigits)
		near(t, s.Name+": Q of skin", got.Q, s.Skin.Q, tenDigits)
		near(t, s.Name+": M of skin", got.M, s.Skin.M, tenDigits)
		near(t, s.Name+": s of skin", got.S, s.Skin.S, tenDigits)
	}
}
