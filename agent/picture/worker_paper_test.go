package picture

import (
	"errors"
	"strings"
	"testing"

	"lampblack/agent/icc"
	"lampblack/agent/icc/icctest"
	"lampblack/rules/colour"
)

func TestWorkerGivesWhatPaperOfGives(t *testing.T) {
	profile := icctest.Press(16)
	got, err := troupe(t, "worker").Paper(t.Context(), stored(t, profile))
	if err != nil {
		t.Fatal(err)
	}
	if want, _ := icc.PaperOf(profile); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	// Cut after its header, it is still known for a profile, and a broken one.
	_, err = troupe(t, "worker").Paper(t.Context(), stored(t, profile[:200]))
	if _, want := icc.PaperOf(profile[:200]); !errors.Is(err, ErrBroken) || err.Error() != want.Error() {
		t.Errorf("%v, directly %v", err, want)
	}
}

func TestPicturesAndPapersAreToldApart(t *testing.T) {
	w := troupe(t, "worker")
	_, err := w.Measure(t.Context(), stored(t, icctest.Press(8)))
	if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "a colour profile, not a picture") {
		t.Errorf("a profile measured: %v", err)
	}
	for _, file := range [][]byte{makePNG(t, testRGB(20, 20)), nil, []byte("Dear diary")} {
		_, err = w.Paper(t.Context(), stored(t, file))
		if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "no colour profile") {
			t.Errorf("a paper of %.8q: %v", file, err)
		}
	}
	if _, err = w.Paper(t.Context(), t.TempDir()); !errors.Is(err, ErrUnsupported) {
		t.Errorf("a paper of a folder: %v", err)
	}
	if _, err = troupe(t, "garbage").Paper(t.Context(), stored(t, icctest.Press(8))); !errors.Is(err, ErrBroken) {
		t.Errorf("a worker that prints garbage: %v", err)
	}
}

// What a worker says of a profile that is of no paper has its kind, too.
func TestProfileOfNoPaperIsUnsupported(t *testing.T) {
	screen := icctest.Matrix("Tidemark web", colour.SRGB, icctest.SRGBCurve())
	_, err := troupe(t, "worker").Paper(t.Context(), stored(t, screen))
	if !errors.Is(err, ErrUnsupported) || err.Error() != icc.ErrNoPaper.Error() {
		t.Errorf("%v", err)
	}
}
