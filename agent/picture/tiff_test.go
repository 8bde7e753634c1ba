package picture

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"testing"

	"lampblack/rules"
	"lampblack/rules/colour"
)

// rainbow is a palette of 256 colours that are no greys.
func rainbow() [][3]uint16 {
	list := make([][3]uint16, 256)
	for i := range list {
		v := uint16(i)
		list[i] = [3]uint16{v * 257, ^(v * 257), v * 7 % 256 * 257}
	}
	return list
}

// What is rare in TIFF means the same as what is usual, however it is laid out:
// planes, BigTIFF, floating-point values and inks.
func TestRareTIFFLayouts(t *testing.T) {
	const w, h = 70, 45
	want := map[int]rules.Picture{}
	for _, channels := range []int{3, 4} {
		want[channels] = measured(t, sheet{w: w, h: h, bits: 16, channels: channels, compression: packNone}.bytes())
	}
	for i := range 1 << 6 {
		on := func(bit int) bool { return i>>bit&1 == 1 }
		rare := sheet{w: w, h: h, bits: 16, channels: 3}
		if on(0) {
			rare.channels = 4
		}
		rare.planar, rare.big, rare.predictor = on(1), on(2), on(3)
		if on(4) {
			rare.tile, rare.compression = 32, packDeflate
		} else {
			rare.rows, rare.compression = 7, packLZW
		}
		if on(5) {
			rare.bits, rare.whole = 32, on(1)
		}
		if on(2) != on(3) {
			rare.extra, rare.order = 1, binary.BigEndian
		}
		pic, want := measured(t, rare.bytes()), want[rare.channels]
		if pic.MeanY != want.MeanY || pic.Depth != rare.bits || len(pic.Tones) != len(want.Tones) {
			t.Errorf("%+v: mean Y %v, want %v; %d bits", rare, pic.MeanY, want.MeanY, pic.Depth)
		}
	}
}

func TestPaletteTIFF(t *testing.T) {
	colours := rainbow()
	s := sheet{w: 64, h: 40, bits: 8, channels: 1, compression: packLZW, palette: colours}
	number := func(x, y int) uint16 { return uint16((x*5 + y*7) % 256) }
	s.value = func(x, y, c int) uint16 { return number(x, y) << 8 }
	same := sheet{w: 64, h: 40, bits: 8, channels: 3, compression: packNone}
	same.value = func(x, y, c int) uint16 { return colours[number(x, y)][c] }
	want := measured(t, same.bytes()).MeanY
	for _, planar := range []bool{false, true} {
		s.extra, s.planar = 1, planar
		if got := measured(t, s.bytes()).MeanY; got != want {
			t.Errorf("mean Y %v, the same in RGB %v", got, want)
		}
	}
}

// Floating-point values beyond 0..1 are cut off, and what is no number is black.
func TestFloatBeyondWhite(t *testing.T) {
	var wide [6]uint16
	l := layout{order: binary.LittleEndian, bytes: 4}
	var raw []byte
	for _, v := range []float64{-1, 0.5, 1, 7, math.NaN(), math.Inf(1)} {
		raw = binary.LittleEndian.AppendUint32(raw, math.Float32bits(float32(v)))
	}
	l.widen(wide[:], raw, 3)
	if want := [6]uint16{0, 32768, 65535, 65535, 0, 65535}; wide != want {
		t.Errorf("%v, want %v", wide, want)
	}
}

// A picture large enough for two goroutines gives to the last bit what one gives,
// in strips of any height.
func TestDecodersAgree(t *testing.T) {
	const w, h = 1250, 900
	value := noisy()
	for _, s := range []sheet{
		{rows: 0, compression: packNone}, {rows: 17, compression: packDeflate}, {tile: 256, compression: packNone},
	} {
		s.w, s.h, s.bits, s.channels, s.value = w, h, 16, 3, value
		file := s.bytes()
		src := sourceOf(file)
		c, err := open(src)
		if err != nil {
			t.Fatal(err)
		}
		enc, _ := c.encoding()
		alone := newTally(enc, c.facts)
		for y := range h {
			row := make([]uint16, 3*w)
			for x := range row {
				row[x] = value(x/3, y, x%3)
			}
			if s.tile == 0 {
				addRGB(alone, y, row, 3)
				continue
			}
			for x := 0; x < w; x += s.tile { // the sample of colours begins anew in each tile
				addRGB(alone, y, row[3*x:3*min(x+s.tile, w)], 3)
			}
		}
		together := newTally(enc, c.facts)
		if err := c.decode(together); err != nil {
			t.Fatal(err)
		}
		if got, want := fmt.Sprint(together.picture()), fmt.Sprint(alone.picture()); got != want {
			t.Errorf("strips of %d rows: %.200s, want %.200s", s.rows, got, want)
		}
	}
}

// The first damage stops both goroutines, each at the end of its strip.
func TestDamageStopsDecoding(t *testing.T) {
	const w, h = 1250, 900
	s := sheet{w: w, h: h, bits: 8, channels: 1, rows: 100, compression: packDeflate}
	file := s.bytes()
	src := sourceOf(file)
	d, err := firstIFD(src)
	if err != nil {
		t.Fatal(err)
	}
	offsets, err := d.uints(tagStripOffsets, 9)
	if err != nil {
		t.Fatal(err)
	}
	for _, strip := range []int{8, 5, 4} {
		copy(file[offsets[strip]:], "\xff\xff\xff\xff")
	}
	for range 10 {
		c, err := open(sourceOf(file))
		if err != nil {
			t.Fatal(err)
		}
		enc, _ := c.encoding()
		tally := newTally(enc, c.facts)
		if err := c.decode(tally); err == nil {
			t.Fatal("damage goes unnoticed")
		}
		rows := uint64(0)
		for _, packed := range tally.hist {
			rows += packed >> sumBits
		}
		rows /= w
		if rows != 400 {
			t.Errorf("%d rows were counted, want those of the four strips before the damage", rows)
		}
	}
}

// Inks without a profile darken by the rule of thumb, and the notes say so.
func TestInksWithoutProfile(t *testing.T) {
	for name, test := range map[string]struct {
		ink  [4]uint16
		want float64
	}{
		"paper": {[4]uint16{}, 1},
		"black": {[4]uint16{0, 0, 0, 65535}, 0},
		"grey":  {[4]uint16{0, 0, 0, 32768}, colour.SRGB.Decode(1 - 32768.0/65535)},
		"all":   {[4]uint16{65535, 65535, 65535, 0}, 0},
	} {
		pic := measured(t, sheet{
			w: 9, h: 9, bits: 16, channels: 4, compression: packNone,
			value: func(x, y, c int) uint16 { return test.ink[c] },
		}.bytes())
		if math.Abs(pic.MeanY-test.want) > 2e-4 || !pic.Assumed || len(pic.Notes) != 1 {
			t.Errorf("%s: mean Y %v, want %v; notes %q", name, pic.MeanY, test.want, pic.Notes)
		}
	}
}

// thumbnailFirst puts a small black picture before the one in the sheet. What follows
// the thumbnail is at the offset next gives, of the sheet's own directory.
func thumbnailFirst(s sheet, next func(whole uint64) uint64) []byte {
	s.order = binary.LittleEndian
	file := s.bytes()
	thumbnail := sheet{order: s.order, big: s.big, w: 8, h: 8, bits: 8, channels: 3, compression: packNone}
	fields := thumbnail.description()
	fields[tagSubfileType] = []uint32{1}
	fields[tagRowsPerStrip] = []uint32{8}
	fields[tagStripOffsets], fields[tagStripByteCounts] = []uint32{uint32(len(file))}, []uint32{8 * 8 * 3}
	at, size := 4, 4
	if s.big {
		at, size = 8, 8
	}
	whole := binary.LittleEndian.Uint64(append(bytes.Clone(file[at:at+size]), make([]byte, 8-size)...))
	out := thumbnail.directory(append(file, make([]byte, 8*8*3)...), fields)
	copy(out[len(out)-size:], binary.LittleEndian.AppendUint64(nil, next(whole))[:size])
	return out
}

func TestThumbnailFirst(t *testing.T) {
	for _, big := range []bool{false, true} {
		s := sheet{w: 70, h: 45, bits: 16, channels: 3, compression: packNone, big: big}
		want := measured(t, s.bytes())
		got := measured(t, thumbnailFirst(s, func(whole uint64) uint64 { return whole }))
		if got.Width != 70 || got.MeanY != want.MeanY {
			t.Errorf("BigTIFF %v: %d pixels wide with mean Y %v, want 70 with %v", big, got.Width, got.MeanY, want.MeanY)
		}
		if alone := measured(t, thumbnailFirst(s, func(uint64) uint64 { return 0 })); alone.Width != 8 {
			t.Errorf("BigTIFF %v: of a thumbnail alone %d pixels", big, alone.Width)
		}
		outside := thumbnailFirst(s, func(uint64) uint64 { return 1 << 31 })
		_, err := Measure(bytes.NewReader(outside), int64(len(outside)))
		if !errors.Is(err, ErrUnfinished) {
			t.Errorf("BigTIFF %v: of a directory outside the file: %v", big, err)
		}
	}
}

// A thumbnail that is followed by itself is taken for the picture, and the walk ends.
func TestThumbnailsInACircle(t *testing.T) {
	s := sheet{w: 70, h: 45, bits: 8, channels: 3, compression: packNone}
	file := thumbnailFirst(s, func(uint64) uint64 { return 0 })
	copy(file[len(file)-4:], file[4:8])
	if got := measured(t, file); got.Width != 8 {
		t.Errorf("%d pixels wide", got.Width)
	}
}
