package icc

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"lampblack/agent/icc/icctest"
	"lampblack/rules/colour"
)

func TestPaperOfAPress(t *testing.T) {
	// The invented press prints Lab (0, 0, 0) as black with half of each ink.
	ink := Values{0.5, 0.5, 0.5, 1}
	for _, bits := range []int{8, 16} {
		p, err := PaperOf(icctest.Press(bits))
		if err != nil {
			t.Fatal(err)
		}
		white := colour.XYZ{X: 0.82, Y: 0.85, Z: 0.69}
		checkPaperIs(t, p, white, icctest.PressLab(ink), map[int]float64{8: 0.5, 16: 0.02}[bits])
		if p.Description != "harbour press" {
			t.Errorf("%q", p.Description)
		}
	}
}

// Without a table to the device, black is the device's own.
func TestPaperOfAPrinter(t *testing.T) {
	for _, pcs := range []string{"Lab ", "XYZ "} {
		p, err := PaperOf(icctest.Printer(pcs))
		if err != nil {
			t.Fatal(err)
		}
		checkPaperIs(t, p, colour.XYZ{X: 0.85, Y: 0.88, Z: 0.74}, icctest.PrinterLab(Values{}), 0.1)
	}
}

// checkPaperIs compares with a white, and with a black relative to it.
func checkPaperIs(t *testing.T, p Paper, white colour.XYZ, black colour.Lab, within float64) {
	t.Helper()
	if de := distance(p.White, colour.LabOf(white, PCSWhite)); de > 0.01 {
		t.Errorf("white %v is off by %v", p.White, de)
	}
	if math.Abs(p.RelativeBlack-black.L) > within {
		t.Errorf("relative black %v, want %v", p.RelativeBlack, black.L)
	}
	// Relative to the sheet's white the same black is the same light.
	relative := black.XYZ(white)
	if de := distance(p.Black, colour.LabOf(relative, PCSWhite)); de > within {
		t.Errorf("black %v is off by %v", p.Black, de)
	}
}

func TestPaperOfAMatrix(t *testing.T) {
	printer := icctest.Matrix("x", colour.SRGB, icctest.SRGBCurve())
	copy(printer[12:], "prtr")
	for name, profile := range map[string][]byte{
		"rgb": printer,
		"grey": icctest.Profile("prtr", "GRAY", "XYZ ", map[string][]byte{
			"desc": icctest.Name("x"), "kTRC": icctest.Curv(), "wtpt": icctest.XYZ(PCSX, 1, PCSZ),
		}),
	} {
		p, err := PaperOf(profile)
		if err != nil || math.Abs(p.White.L-100) > 0.01 || p.RelativeBlack != 0 || p.Black.L != 0 {
			t.Errorf("%s: %+v, %v", name, p, err)
		}
	}
}

// A profile of something that doesn't print is no paper's, however sound it is.
func TestProfilesOfNoPaper(t *testing.T) {
	for _, class := range []string{"mntr", "scnr", "spac"} {
		profile := icctest.Matrix("Tidemark web", colour.SRGB, icctest.SRGBCurve())
		copy(profile[12:], class)
		if _, err := PaperOf(profile); !errors.Is(err, ErrNoPaper) {
			t.Errorf("%s: %v", class, err)
		}
	}
}

func TestUnusablePapers(t *testing.T) {
	good := icctest.Press(16)
	without := func(sig string) []byte {
		return bytes.Replace(good, []byte(sig), []byte("none"), 1)
	}
	wrongBack := bytes.Clone(good)
	wrongBack[bytes.LastIndex(good, []byte("mft2"))+9] = 3
	lying := bytes.Clone(good)
	lying[bytes.LastIndex(good, []byte("mft2"))+10] = 200
	for name, test := range map[string]struct {
		profile []byte
		want    string
	}{
		"nothing":      {nil, "cut short"},
		"cut":          {good[:len(good)/2], "promises"},
		"no white":     {without("wtpt"), "no sensible white"},
		"black white":  {bytes.Replace(good, icctest.XYZ(0.82, 0.85, 0.69), icctest.XYZ(0.1, 0.1, 0.1), 1), "no sensible white"},
		"no table":     {without("A2B1"), "says too little"},
		"back to RGB":  {wrongBack, "from 3 channels to 3"},
		"lying counts": {lying, "damaged"},
	} {
		_, err := PaperOf(test.profile)
		if err == nil || errors.Is(err, ErrNoPaper) || !strings.Contains(err.Error(), test.want) || !strings.HasSuffix(err.Error(), ": get it again from the paper's maker") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
