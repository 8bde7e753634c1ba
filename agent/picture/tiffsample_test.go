package picture

import (
	"encoding/binary"
	"image"
	"math"
	"slices"
	"testing"

	"lampblack/agent/rehearse/scenes"
)

// One strip in each group is read, and not always the same.
func TestSampleIsEven(t *testing.T) {
	var place [sparseStrips]int
	const groups = 4000
	for group := range groups {
		chosen := 0
		for i := range sparseStrips {
			if inSample(group*sparseStrips + i) {
				chosen++
				place[i]++
			}
		}
		if chosen != 1 {
			t.Fatalf("group %d: %d strips are read", group, chosen)
		}
	}
	for i, n := range place {
		if n < groups/sparseStrips*9/10 || n > groups/sparseStrips*11/10 {
			t.Errorf("strip %d of a group is read %d times of %d", i, n, groups)
		}
	}
}

// What a sample of the fewest strips that one is taken from says of a picture is
// what all of them say: the mean within 0.01 stop, the share of the dark within
// 0.1 point.
func TestSampleIsHonest(t *testing.T) {
	for _, name := range scenes.Names() {
		img, err := scenes.Paint(name, 300, manyStrips, 7, scenes.Wide)
		if err != nil {
			t.Fatal(err)
		}
		all, sample := tallied(img, func(int) bool { return true }), tallied(img, inSample)
		shift, points := math.Log2(sample.mean/all.mean), 100*(sample.dark-all.dark)
		t.Logf("%s: the mean is off by %.4f stops, the dark share by %.3f points of %.2f", name, shift, points, 100*all.dark)
		if math.Abs(shift) > 0.01 || math.Abs(points) > 0.1 {
			t.Errorf("%s: the mean is off by %.4f stops, the dark share by %.3f points", name, shift, points)
		}
	}
}

type summary struct{ mean, dark float64 }

// tallied is the mean Y of some rows of a picture, and the share with Y below 1 %.
func tallied(img *image.NRGBA64, wanted func(y int) bool) summary {
	b := img.Bounds()
	t := newTally(encoding{Profile: sRGB}, facts{width: b.Dx(), height: b.Dy(), depth: 16, channels: 3})
	row := make([]uint16, 3*b.Dx())
	for y := range b.Dy() {
		if !wanted(y) {
			continue
		}
		for x := range b.Dx() {
			c := img.NRGBA64At(x, y)
			row[3*x], row[3*x+1], row[3*x+2] = c.R, c.G, c.B
		}
		addRGB(t, y, row, 3)
	}
	pic := t.picture()
	s := summary{mean: pic.MeanY}
	for _, tone := range pic.Tones {
		if tone.Y < 0.01 {
			s.dark += tone.Share
		}
	}
	return s
}

// A picture that is large enough is read by its sample, another is not.
func TestThinStripsAreSampled(t *testing.T) {
	for _, test := range []struct {
		w, h, rows  int
		compression uint64
		want        bool
	}{
		{20_000, 1000, 1, packBits, true},
		{5000, 4000, 4, packLZW, true},
		{4000, 5000, 5, packLZW, false},
		{5000, 4000, 1, packNone, false},
		{20_000, 1000, 2, packDeflate, false},
		{20_000, 999, 1, packDeflate, false},
	} {
		l := layout{width: test.w, height: test.rows, compression: test.compression}
		if got := l.thin(facts{width: test.w, height: test.h}); got != test.want {
			t.Errorf("%+v: %v", test, got)
		}
	}

	// All strips of this one are the same strip of the file.
	const w, h = 20_000, 1000
	strip := packedBits(make([]byte, w))
	l := layout{
		order: binary.LittleEndian, compression: packBits, samples: 1, bytes: 1, predictor: predictNothing,
		width: w, height: 1, offsets: make([]uint64, h), byteCounts: slices.Repeat([]uint64{uint64(len(strip))}, h),
	}
	f := facts{width: w, height: h, depth: 8, channels: 1}
	tally := newTally(encoding{Profile: sRGB}, f)
	if err := l.decode(sourceOf(strip), f, tally); err != nil {
		t.Fatal(err)
	}
	if got := tally.hist[0] >> sumBits; got != w*h/sparseStrips {
		t.Errorf("%d rows were counted", got/w)
	}
}
