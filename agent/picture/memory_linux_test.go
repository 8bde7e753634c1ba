//go:build !race

package picture

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

// These tests measure out memory so tightly that the race detector, which needs
// a gigabyte for itself, can't be in the child.

// A picture that passes the gate but not the memory limit is refused with a
// sentence, and nobody else notices. A progressive JPEG of 36 MP takes half a
// gigabyte before its data, here missing, is looked at.
func TestWorkerOutOfMemory(t *testing.T) {
	path := stored(t, slices.Concat([]byte("\xff\xd8"),
		segment(0xfe, strings.Repeat("x", 60_000)), segment(0xfe, strings.Repeat("x", 60_000)),
		segment(0xc2, "\x08\x17\x70\x17\x70\x03\x01\x11\x00\x02\x11\x00\x03\x11\x00"),
		segment(markerSOS, "\x03\x01\x00\x02\x00\x03\x00\x00\x00\x00"), make([]byte, 10_000)))

	small := troupe(t, "worker")
	small.MemoryLimit = 128 << 20
	_, err := small.Measure(t.Context(), path)
	if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "more than 128 MiB") {
		t.Errorf("%v", err)
	}
	_, err = troupe(t, "worker").Measure(t.Context(), path)
	if !errors.Is(err, ErrBroken) {
		t.Errorf("with memory enough: %v", err)
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
