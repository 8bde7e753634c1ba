//go:build !race

package picture

import (
	"errors"
	"image"
	"slices"
	"strings"
	"testing"
)

// These tests measure out memory so tightly that the race detector, which needs
// a gigabyte for itself, can't be in the child.

// What would pass the memory limit is refused before it is decoded. A progressive
// JPEG of 36 MP takes half a gigabyte before its data, here missing, is looked at.
func TestWorkerRefusesWhatItCannotAfford(t *testing.T) {
	path := stored(t, slices.Concat([]byte("\xff\xd8"),
		segment(0xfe, strings.Repeat("x", 60_000)), segment(0xfe, strings.Repeat("x", 60_000)),
		segment(0xc2, "\x08\x17\x70\x17\x70\x03\x01\x11\x00\x02\x11\x00\x03\x11\x00"),
		segment(markerSOS, "\x03\x01\x00\x02\x00\x03\x00\x00\x00\x00"), make([]byte, 10_000)))

	small := troupe(t, "worker")
	small.MemoryLimit = 192 << 20
	_, err := small.Measure(t.Context(), path)
	const want = "a progressive JPEG of 36 megapixels takes 643 MiB of memory to read, more than the 192 that it may: "
	if !errors.Is(err, ErrUnsupported) || !strings.HasPrefix(err.Error(), want) {
		t.Errorf("%v", err)
	}
	_, err = troupe(t, "worker").Measure(t.Context(), path)
	if !errors.Is(err, ErrBroken) {
		t.Errorf("with memory enough: %v", err)
	}
}

// What the gate lets pass can be read within the limit.
func TestWorkerAffordsWhatItLetsPass(t *testing.T) {
	img := image.NewYCbCr(image.Rect(0, 0, 6000, 4000), image.YCbCrSubsampleRatio420)
	path := stored(t, makeJPEG(t, img))
	w := troupe(t, "worker")
	const need = 6000 * 4000 * 3 / 2
	w.MemoryLimit = apart + need + 100_000
	if _, err := w.Measure(t.Context(), path); err != nil {
		t.Errorf("%v", err)
	}
	w.MemoryLimit = apart + need - 100_000
	if _, err := w.Measure(t.Context(), path); !errors.Is(err, ErrUnsupported) {
		t.Errorf("with too little: %v", err)
	}
}

// A child that takes more in spite of all gates is stopped by the system, and
// nobody else notices.
func TestWorkerOutOfMemory(t *testing.T) {
	w := troupe(t, "devour")
	w.MemoryLimit = 128 << 20
	_, err := w.Measure(t.Context(), stored(t, []byte("x")))
	if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "more than 128 MiB of memory and was stopped") {
		t.Errorf("%v", err)
	}
}

// The gate, not the limit, refuses the bombs: they would take gigabytes.
func TestBombsInAWorker(t *testing.T) {
	for name, file := range bombs() {
		w := troupe(t, "worker")
		w.MemoryLimit = 128 << 20
		_, err := w.Measure(t.Context(), stored(t, file))
		_, direct := Measure(strings.NewReader(string(file)), int64(len(file)))
		if err == nil || err.Error() != direct.Error() {
			t.Errorf("%s: %v, directly %v", name, err, direct)
		}
	}
}
