package picture

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"lampblack/rules/light"
)

// exifField is a field of the EXIF directory to be made: at most two numbers of
// 32 bits.
type exifField struct {
	tag, kind uint16
	values    []uint32
}

const (
	exifRational       = 5
	exifSignedRational = 10
)

// exposureEXIF makes a TIFF with an EXIF directory, which is also what a JPEG's
// EXIF segment holds.
func exposureEXIF(fields ...exifField) []byte {
	order := binary.LittleEndian
	const root, sub = 8, 26 // the directories
	b := []byte("II*\x00\x08\x00\x00\x00\x01\x00")
	b = append(b, 0x69, 0x87, 4, 0, 1, 0, 0, 0, sub, 0, 0, 0, 0, 0, 0, 0)
	b = order.AppendUint16(b[:sub], uint16(len(fields)))
	values := sub + 2 + 12*len(fields) + 4
	var tail []byte
	for _, f := range fields {
		b = order.AppendUint16(order.AppendUint16(b, f.tag), f.kind)
		b = order.AppendUint32(b, 1)
		if len(f.values) == 1 {
			b = order.AppendUint32(b, f.values[0])
			continue
		}
		b = order.AppendUint32(b, uint32(values+len(tail)))
		for _, v := range f.values {
			tail = order.AppendUint32(tail, v)
		}
	}
	return slices.Concat(b, make([]byte, 4), tail)
}

func exposureTime(n, d uint32) exifField { return exifField{0x829a, exifRational, []uint32{n, d}} }
func aperture(n, d uint32) exifField     { return exifField{0x829d, exifRational, []uint32{n, d}} }
func iso(v uint32) exifField             { return exifField{0x8827, typeShort, []uint32{v}} }
func flash(v uint32) exifField           { return exifField{0x9209, typeShort, []uint32{v}} }
func compensation(n, d int32) exifField {
	return exifField{0x9204, exifSignedRational, []uint32{uint32(n), uint32(d)}}
}

// ordinary is an exposure of 1/60 s at f/2.8 and ISO 400.
func ordinary(further ...exifField) []exifField {
	return append([]exifField{exposureTime(1, 60), aperture(28, 10), iso(400)}, further...)
}

// readExposure is the exposure that the camera's meter found right.
func readExposure(file []byte) (light.Exposure, error) {
	p, err := readBytes(file)
	x := p.Shot.Exposure
	x.Seconds /= math.Exp2(float64(p.Shot.Compensation))
	return x, err
}

func TestReadExposure(t *testing.T) {
	plain := light.Exposure{Seconds: 1.0 / 60, Aperture: 2.8, ISO: 400}
	brighter := plain
	brighter.Seconds /= 2
	segmented := func(fields ...exifField) []byte {
		return makeJPEG(t, testRGB(8, 8), segment(markerAPP1, "Exif\x00\x00"+string(exposureEXIF(fields...))))
	}
	high := plain
	high.ISO = 102400
	for name, test := range map[string]struct {
		file []byte
		want light.Exposure
	}{
		"jpeg":              {segmented(ordinary()...), plain},
		"tiff":              {exposureEXIF(ordinary()...), plain},
		"png":               {makePNG(t, testRGB(8, 8), chunk("eXIf", string(exposureEXIF(ordinary()...)))), plain},
		"flash didn't fire": {segmented(ordinary(flash(16))...), plain},
		"compensated":       {segmented(ordinary(compensation(1, 1))...), brighter},
		"no compensation":   {segmented(ordinary(compensation(0, 6))...), plain},
		"by logarithms": {exposureEXIF(
			exifField{0x9201, exifSignedRational, []uint32{5906891, 1000000}},
			exifField{0x9202, exifRational, []uint32{2970854, 1000000}}, iso(400)), plain},
		"beyond 16 bits": {exposureEXIF(exposureTime(1, 60), aperture(28, 10), iso(65535),
			exifField{0x8832, typeLong, []uint32{102400}}), high},
	} {
		got, err := readExposure(test.file)
		off := math.Max(math.Abs(got.Seconds/test.want.Seconds-1), math.Abs(got.Aperture/test.want.Aperture-1))
		if err != nil || off > 1e-5 || got.ISO != test.want.ISO {
			t.Errorf("%s: %+v, %v, want %+v", name, got, err, test.want)
		}
	}
}

func TestExposuresThatAreNone(t *testing.T) {
	loop := exposureEXIF(ordinary()...)
	binary.LittleEndian.PutUint32(loop[18:], 8) // the EXIF directory is the first again
	many := exposureEXIF(iso(100))
	binary.LittleEndian.PutUint16(many[26:], 65535)
	wrongKind := exposureEXIF(exifField{0x829a, 77, []uint32{0}})
	for want, test := range map[string]struct {
		file []byte
		kind error
	}{
		"the flash fired":           {exposureEXIF(ordinary(flash(1))...), ErrUnsupported},
		"doesn't say exposure time": {exposureEXIF(exposureTime(1, 60), iso(400)), ErrUnsupported},
		"as the camera wrote it":    {exposureEXIF(exposureTime(0, 60), aperture(28, 10), iso(400)), ErrUnsupported},
		"use a photograph as":       {makeJPEG(t, testRGB(8, 8)), ErrUnsupported},
		"aperture and ISO: use":     {loop, ErrUnsupported},
		"1e+06 s at f/2.8":          {exposureEXIF(exposureTime(1e6, 1), aperture(28, 10), iso(400)), ErrBroken},
		"which makes no sense":      {exposureEXIF(ordinary(compensation(100, 1))...), ErrBroken},
		"this kind of file":         {[]byte("Dear diary,"), ErrUnsupported},
		"the file is empty":         {nil, ErrUnfinished},
		"EXIF is damaged":           {wrongKind, ErrBroken},
		"damaged: take another":     {many, ErrBroken},
	} {
		_, err := readExposure(test.file)
		if !errors.Is(err, test.kind) || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", want, err)
		}
	}
}

func TestExposureOfALostDisk(t *testing.T) {
	file := exposureEXIF(ordinary()...)
	_, err := ReadPhotograph(dying{bytes.NewReader(file), 0}, int64(len(file)))
	if !errors.Is(err, ErrVanished) {
		t.Errorf("%v", err)
	}
}

// A directory can't make the reader go round for ever.
func TestReadingIsRationed(t *testing.T) {
	r := &rationed{bytes.NewReader(make([]byte, 100)), 150}
	var b [100]byte
	if _, err := r.ReadAt(b[:], 0); err != nil {
		t.Error(err)
	}
	if _, err := r.ReadAt(b[:], 0); !errors.Is(err, errRation) {
		t.Errorf("beyond the ration: %v", err)
	}
}
