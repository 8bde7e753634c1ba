package picture

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"lampblack/agent/icc/icctest"
	"lampblack/rules/colour"
)

// Of every kind of file the samples' mean luminance is the measured one.
func TestSamplesAgreeWithMeasure(t *testing.T) {
	for name, file := range goodFiles(t) {
		s, err := ReadSamples(bytes.NewReader(file), int64(len(file)))
		if err != nil {
			if !errors.Is(err, ErrUnsupported) || !withoutSamples(name) {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if withoutSamples(name) {
			t.Errorf("%s: read after all", name)
		}
		pic := measured(t, file)
		if s.Width != pic.Width || s.Height != pic.Height || s.Encoding != pic.Profile || s.Assumed != pic.Assumed {
			t.Errorf("%s: %+v, measured %d x %d %q", name, s, pic.Width, pic.Height, pic.Profile)
		}
		if got := s.meanY(t); math.Abs(got-pic.MeanY) > 1e-5 {
			t.Errorf("%s: mean Y %.6f, measured %.6f", name, got, pic.MeanY)
		}
	}
}

// withoutSamples tells whether a good file of this name can be measured, but not
// taken apart.
func withoutSamples(name string) bool {
	return strings.Contains(name, "inks") || strings.Contains(name, "webp")
}

// meanY is the mean luminance of the samples.
func (s *Samples) meanY(t *testing.T) float64 {
	t.Helper()
	sum := 0.0
	if err := s.Rows(0, s.Height, func(_ int, row []uint16) {
		for i, v := range row {
			c := i % s.Channels
			sum += s.Weights[c] * s.Curves[c](float64(v)/65535)
		}
	}); err != nil {
		t.Error(err)
	}
	return sum / float64(s.Width*s.Height)
}

// Samples come as they are stored, from strips and from tiles, any part of them.
func TestRows(t *testing.T) {
	const w, h, from, to = 61, 43, 20, 40
	for _, layout := range []sheet{
		{rows: 9}, {rows: h}, {tile: 16}, {tile: 32, compression: packDeflate, predictor: true}, {rows: 7, compression: packLZW},
	} {
		layout.w, layout.h, layout.bits, layout.channels = w, h, 16, 3
		layout.compression = max(layout.compression, packNone)
		file := layout.bytes()
		s, err := ReadSamples(bytes.NewReader(file), int64(len(file)))
		if err != nil {
			t.Fatal(err)
		}
		next := from
		if err := s.Rows(from, to, func(y int, row []uint16) {
			if y != next || len(row) != 3*w {
				t.Fatalf("%+v: row %d of %d samples, want %d", layout, y, len(row), next)
			}
			for i, v := range row {
				if want := testValue(w, h, i/3, y, i%3); v != want {
					t.Fatalf("%+v: row %d, sample %d is %d, want %d", layout, y, i, v, want)
				}
			}
			next++
		}); err != nil || next != to {
			t.Errorf("%+v: the rows end at %d: %v", layout, next, err)
		}
	}
}

// A disk that goes away between the header and the rows is a vanished file, and
// a file cut short an unfinished one.
func TestRowsThatEnd(t *testing.T) {
	for name, file := range goodFiles(t) {
		if withoutSamples(name) {
			continue
		}
		for cause, f := range map[error]io.ReaderAt{
			ErrVanished:   dying{bytes.NewReader(file), int64(len(file)) * 3 / 4},
			ErrUnfinished: bytes.NewReader(file[:len(file)/2]),
		} {
			s, err := ReadSamples(f, int64(len(file)))
			if err == nil {
				err = s.Rows(0, s.Height, func(int, []uint16) {})
			}
			if !errors.Is(err, cause) {
				t.Errorf("%s: %v, want %v", name, err, cause)
			}
		}
	}
}

func TestSamplesKeepTheProfile(t *testing.T) {
	profile := icctest.Matrix("Tidemark", colour.AdobeRGB, icctest.Curv(563))
	file := makePNG(t, testRGB16(9, 9), iccChunk(profile))
	s, err := ReadSamples(bytes.NewReader(file), int64(len(file)))
	if err != nil || !bytes.Equal(s.Profile, profile) || s.Assumed {
		t.Errorf("%v, %+v", err, s)
	}
}

// Without a way back from light there are no samples.
func TestSamplesWithoutAWayBack(t *testing.T) {
	img := testRGB(9, 9)
	cases := map[string][]byte{
		"can't be used":   makePNG(t, img, iccChunk(icctest.Grey("x", "XYZ ", icctest.Curv()))),
		"works by tables": makePNG(t, img, iccChunk(tableProfile())),
		"4 inks":          sheet{w: 9, h: 9, bits: 8, channels: 4, compression: packNone, fields: map[uint16]uint32{tagPhotometric: 5}}.bytes(),
	}
	for _, file := range goldenFiles(t, "blue-purple-pink.lossless.webp") {
		cases["only TIFF, JPEG and PNG"] = file
	}
	if len(cases) < 4 {
		t.Error("no WebP found")
	}
	for want, file := range cases {
		_, err := ReadSamples(bytes.NewReader(file), int64(len(file)))
		if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
}

// tableProfile is an RGB profile of a lut8Type with two steps to a side: white
// is white, the other corners are greys.
func tableProfile() []byte {
	table := append([]byte("mft1\x00\x00\x00\x00\x03\x03\x02\x00"), icctest.AppendFixed(nil, 1, 0, 0, 0, 1, 0, 0, 0, 1)...)
	curves := func() {
		for i := range 3 * 256 {
			table = append(table, byte(i))
		}
	}
	curves()
	for corner := range 8 {
		table = append(table, byte(corner*255/7), 128, 128)
	}
	curves()
	return icctest.Profile("prtr", "RGB ", "Lab ", map[string][]byte{"desc": icctest.Name("slip gloss"), "A2B0": table})
}
