package strip

import (
	"bytes"
	"image"
	"testing"
)

// A picture that is stored on its side or head makes the same strip as the upright
// one: it is as small as a patch, so that all of it is there to see.
func TestPatchesStandUpright(t *testing.T) {
	const w, h = 60, 40
	tone := func(x, y int) uint16 { return uint16(1500 + 300*x + 37*y*y%9000) }
	upright := drawn(t, w, h, tone)
	want := makeStrip(t, upright, hall("pier.tif"))
	for value, stored := range map[byte]struct {
		size image.Point
		seen func(x, y int) (int, int) // where a stored pixel belongs
	}{
		2: {image.Pt(w, h), func(x, y int) (int, int) { return w - 1 - x, y }},
		3: {image.Pt(w, h), func(x, y int) (int, int) { return w - 1 - x, h - 1 - y }},
		6: {image.Pt(h, w), func(x, y int) (int, int) { return w - 1 - y, x }},
		8: {image.Pt(h, w), func(x, y int) (int, int) { return y, h - 1 - x }},
	} {
		file := drawn(t, stored.size.X, stored.size.Y, func(x, y int) uint16 { return tone(stored.seen(x, y)) })
		const says = "\x12\x01\x03\x00\x01\x00\x00\x00" // field 274, one number
		at := bytes.Index(file, []byte(says)) + len(says)
		if at < len(says) || file[at] != 1 {
			t.Fatal("the file doesn't say how it stands")
		}
		if file[at] = value; !bytes.Equal(makeStrip(t, file, hall("pier.tif")).file, want.file) {
			t.Errorf("stored by %d, the strip is another", value)
		}
	}
}
