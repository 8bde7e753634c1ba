package picture

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"lampblack/rules/colour"
)

func TestPaperOfAPress(t *testing.T) {
	// The invented press prints Lab (0, 0, 0) as black with half of each ink.
	ink := values{0.5, 0.5, 0.5, 1}
	for _, bits := range []int{8, 16} {
		p, err := PaperOf(pressProfile(bits))
		if err != nil {
			t.Fatal(err)
		}
		white := colour.XYZ{X: 0.82, Y: 0.85, Z: 0.69}
		checkPaperIs(t, p, white, pressLab(ink), map[int]float64{8: 0.5, 16: 0.02}[bits])
		if p.Description != "harbour press" {
			t.Errorf("%q", p.Description)
		}
	}
}

// Without a table to the device, black is the device's own.
func TestPaperOfAPrinter(t *testing.T) {
	for _, pcs := range []string{"Lab ", "XYZ "} {
		p, err := PaperOf(printerProfile(pcs))
		if err != nil {
			t.Fatal(err)
		}
		checkPaperIs(t, p, colour.XYZ{X: 0.85, Y: 0.88, Z: 0.74}, printerLab(values{}), 0.1)
	}
}

// checkPaperIs compares with a white, and with a black relative to it.
func checkPaperIs(t *testing.T, p Paper, white colour.XYZ, black colour.Lab, within float64) {
	t.Helper()
	if de := distance(p.White, colour.LabOf(white, pcsWhite)); de > 0.01 {
		t.Errorf("white %v is off by %v", p.White, de)
	}
	if math.Abs(p.RelativeBlack-black.L) > within {
		t.Errorf("relative black %v, want %v", p.RelativeBlack, black.L)
	}
	// Relative to the sheet's white the same black is the same light.
	relative := black.XYZ(white)
	if de := distance(p.Black, colour.LabOf(relative, pcsWhite)); de > within {
		t.Errorf("black %v is off by %v", p.Black, de)
	}
}

func TestPaperOfAMatrix(t *testing.T) {
	printer := matrixProfile("x", colour.SRGB, sRGBCurve())
	copy(printer[12:], "prtr")
	for name, profile := range map[string][]byte{
		"rgb": printer,
		"grey": makeProfile("prtr", "GRAY", "XYZ ", map[string][]byte{
			"desc": nameElement("x"), "kTRC": curvElement(), "wtpt": xyzElement(pcsX, 1, pcsZ),
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
		profile := matrixProfile("Tidemark web", colour.SRGB, sRGBCurve())
		copy(profile[12:], class)
		if _, err := PaperOf(profile); !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "not of a paper: name the one") {
			t.Errorf("%s: %v", class, err)
		}
	}
}

func TestUnusablePapers(t *testing.T) {
	good := pressProfile(16)
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
		"black white":  {bytes.Replace(good, xyzElement(0.82, 0.85, 0.69), xyzElement(0.1, 0.1, 0.1), 1), "no sensible white"},
		"no table":     {without("A2B1"), "says too little"},
		"back to RGB":  {wrongBack, "from 3 channels to 3"},
		"lying counts": {lying, "damaged"},
	} {
		_, err := PaperOf(test.profile)
		if !errors.Is(err, ErrBroken) || !strings.Contains(err.Error(), test.want) || !strings.HasSuffix(err.Error(), ": get it again from the paper's maker") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestWorkerGivesWhatPaperOfGives(t *testing.T) {
	profile := pressProfile(16)
	got, err := troupe(t, "worker").Paper(t.Context(), stored(t, profile))
	if err != nil {
		t.Fatal(err)
	}
	if want, _ := PaperOf(profile); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	// Cut after its header, it is still known for a profile, and a broken one.
	_, err = troupe(t, "worker").Paper(t.Context(), stored(t, profile[:200]))
	if _, want := PaperOf(profile[:200]); !errors.Is(err, ErrBroken) || err.Error() != want.Error() {
		t.Errorf("%v, directly %v", err, want)
	}
}

func TestPicturesAndPapersAreToldApart(t *testing.T) {
	w := troupe(t, "worker")
	_, err := w.Measure(t.Context(), stored(t, pressProfile(8)))
	if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "a colour profile, not a picture") {
		t.Errorf("a profile measured: %v", err)
	}
	for _, file := range [][]byte{makePNG(t, testRGB(20, 20)), nil, []byte("Dear diary")} {
		_, err = w.Paper(t.Context(), stored(t, file))
		if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "no ICC profile") {
			t.Errorf("a paper of %.8q: %v", file, err)
		}
	}
	if _, err = w.Paper(t.Context(), t.TempDir()); !errors.Is(err, ErrUnsupported) {
		t.Errorf("a paper of a folder: %v", err)
	}
	if _, err = troupe(t, "garbage").Paper(t.Context(), stored(t, pressProfile(8))); !errors.Is(err, ErrBroken) {
		t.Errorf("a worker that prints garbage: %v", err)
	}
}
