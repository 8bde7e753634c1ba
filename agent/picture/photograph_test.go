package picture

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
	"lampblack/rules/light"
	"lampblack/testdata/photo"
)

// ofPaper is a photograph of a sheet as a camera in automatic takes it.
var ofPaper = photo.Sheet{
	Grey: 118, Aperture: [2]uint32{4, 1}, Seconds: [2]uint32{1, 30}, ISO: 400,
	Clock: "2026:03:01 09:50:12", Zone: "+01:00",
}

func readBytes(file []byte) (Photograph, error) {
	return ReadPhotograph(bytes.NewReader(file), int64(len(file)))
}

func TestReadPhotograph(t *testing.T) {
	for name, read := range map[string]func() (Photograph, error){
		"here": func() (Photograph, error) { return readBytes(ofPaper.JPEG()) },
		"worker": func() (Photograph, error) {
			return troupe(t, "worker").Photograph(t.Context(), stored(t, ofPaper.JPEG()))
		},
	} {
		p, err := read()
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		want := light.Exposure{Aperture: 4, Seconds: 1.0 / 30, ISO: 400}
		if p.Shot.Exposure != want || p.Shot.Compensation != 0 || len(p.Shot.Tones) == 0 {
			t.Errorf("%s: %+v", name, p)
		}
		m, err := rules.Meter(p.Shot, rules.OfPaper, 0)
		if err != nil || math.Abs(float64(m.Level)-0.181) > 0.005 || math.Abs(float64(m.Value)-53.6) > 2 {
			t.Errorf("%s: %+v, %v", name, m, err)
		}
		taken, ok := p.Taken(time.UTC)
		if !ok || !taken.Equal(time.Date(2026, 3, 1, 8, 50, 12, 0, time.UTC)) {
			t.Errorf("%s: taken %v, %v", name, taken, ok)
		}
	}
}

// The correction that the photographer asked for comes back with the exposure as
// it was set: how bright the sheet came out shows it.
func TestPhotographWithCorrection(t *testing.T) {
	p := ofPaper
	p.Compensation, p.Seconds = [2]int32{1, 1}, [2]uint32{1, 15}
	got, err := readBytes(p.JPEG())
	if err != nil || got.Shot.Compensation != 1 || math.Abs(got.Shot.Seconds-1.0/15) > 1e-6 {
		t.Errorf("%+v, %v", got, err)
	}
}

// What no camera has written as it is, or what isn't decoded, has an exposure
// and no tones.
func TestTonesAreOfJPEGsOnly(t *testing.T) {
	for name, file := range map[string][]byte{
		"tiff": exposureEXIF(ordinary()...),
		"png":  makePNG(t, testRGB(8, 8), chunk("eXIf", string(exposureEXIF(ordinary()...)))),
	} {
		p, err := readBytes(file)
		if err != nil || p.Shot.Tones != nil || p.Shot.ISO != 400 {
			t.Errorf("%s: %+v, %v", name, p, err)
		}
	}
}

func TestPhotographsThatTellNothing(t *testing.T) {
	flash, bare := ofPaper, photo.Sheet{Grey: 118}
	flash.Flash = true
	whole := ofPaper.JPEG()
	for name, c := range map[string]struct {
		file []byte
		kind error
	}{
		"flash":   {flash.JPEG(), ErrUnsupported},
		"no EXIF": {bare.JPEG(), ErrUnsupported},
		"torn":    {whole[:len(whole)-40], ErrUnfinished},
		"text":    {[]byte("Dear diary,"), ErrUnsupported},
		"empty":   {nil, ErrUnfinished},
	} {
		_, here := readBytes(c.file)
		_, err := troupe(t, "worker").Photograph(t.Context(), stored(t, c.file))
		if !errors.Is(here, c.kind) || !errors.Is(err, c.kind) || here.Error() != err.Error() {
			t.Errorf("%s: here %v, by the worker %v", name, here, err)
		}
	}
	_, err := troupe(t, "garbage").Photograph(t.Context(), stored(t, whole))
	if !errors.Is(err, ErrBroken) {
		t.Errorf("a worker that prints garbage: %v", err)
	}
	_, err = troupe(t, "worker").Photograph(t.Context(), t.TempDir()+"/none")
	if !errors.Is(err, ErrVanished) {
		t.Errorf("a file that isn't there: %v", err)
	}
}

func TestTaken(t *testing.T) {
	local := time.FixedZone("Skarvik", 2*3600)
	at := time.Date(2026, 3, 1, 9, 50, 12, 0, local)
	for _, c := range []struct {
		clock, zone string
		want        time.Time
	}{
		{"2026:03:01 09:50:12", "", at},
		{"2026:03:01 08:50:12", "+01:00", at},
		{"2026:03:01 09:50:12", "rubbish", at},
		{"0000:00:00 00:00:00", "", time.Time{}},
		{"1970:01:01 00:00:00", "", time.Time{}},
		{"2026:13:01 09:50:12", "", time.Time{}},
		{"yesterday", "", time.Time{}},
		{"", "+01:00", time.Time{}},
	} {
		got, ok := Photograph{Clock: c.clock, Zone: c.zone}.Taken(local)
		if !got.Equal(c.want) || ok != !c.want.IsZero() {
			t.Errorf("%q %q: %v, %v", c.clock, c.zone, got, ok)
		}
	}
}

func FuzzPhotograph(f *testing.F) {
	whole := ofPaper.JPEG()
	f.Add(whole)
	f.Add(whole[:len(whole)/2])
	f.Add(bytes.Replace(whole, []byte("2026:03"), []byte("\xff\x00\x1b:03"), 1))
	exif := exposureEXIF(ordinary(flash(16), compensation(1, 3))...)
	f.Add(exif)
	f.Add(exif[:len(exif)-5])
	f.Add(makePNG(f, testRGB(8, 8), chunk("eXIf", string(exif))))
	f.Add(riff("VP8X", "\x08\x00\x00\x00\x07\x00\x00\x07\x00\x00", "EXIF", string(exif)))
	f.Add([]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic\x00\x00\x00\x08meta"))
	f.Fuzz(func(t *testing.T, file []byte) {
		p, err := readBytes(file)
		switch {
		case err == nil:
			if !(p.Shot.Aperture > 0 && p.Shot.Seconds > 0 && p.Shot.ISO > 0) || strings.ContainsAny(p.Clock+p.Zone, "\x1b\x00\n") {
				t.Errorf("%+v", p)
			}
			if taken, ok := p.Taken(time.UTC); ok && (taken.Year() < firstYear-1 || taken.Year() > lastYear+1) {
				t.Errorf("taken %v", taken)
			}
			if m, err := rules.Meter(p.Shot, rules.OfPaper, 0); err == nil && !(m.Value > 0 && m.Low < m.Value && m.Value < m.High) {
				t.Errorf("%+v", m)
			}
		case !errors.Is(err, ErrBroken) && !errors.Is(err, ErrUnsupported):
			t.Errorf("%v", err)
		case strings.Contains(err.Error(), "\n") || !strings.Contains(err.Error(), ": "):
			t.Errorf("no sentence with advice: %q", err)
		}
	})
}
