package picture

import (
	"errors"
	"io"
	"math"
	"strings"

	"github.com/bep/imagemeta"

	"lampblack/rules/light"
)

// Limits on what is read of a photograph's EXIF. A long one has 300 fields; the
// fields wanted are of 8 bytes at most.
const (
	mostFields     = 2000
	mostFieldBytes = 64
	mostEXIFReads  = 32 << 20 // bytes, in all: a directory that leads in circles ends here
)

// metaFormats are the formats whose EXIF is read, by their sniffed names. Most
// cameras' raw files are TIFF to the outside.
var metaFormats = map[string]imagemeta.ImageFormat{
	"JPEG":             imagemeta.JPEG,
	"TIFF":             imagemeta.TIFF,
	"camera raw (CR2)": imagemeta.CR2,
	"PNG":              imagemeta.PNG,
	"WebP":             imagemeta.WebP,
	"HEIC":             imagemeta.HEIF,
	"AVIF":             imagemeta.AVIF,
}

// shot is what a photograph's EXIF says about its exposure; 0 is not known.
type shot struct {
	light.Exposure             // as the camera was set
	compensation   light.Stops // that the photographer asked for; plus is brighter
	flash          bool        // it fired
	clock, zone    string      // when it was taken, as EXIF writes it; empty: not known
}

// The ranges of what a camera can have been set to: a day's exposure, and wider
// lenses and higher sensitivities than there are.
const (
	longest, widest, stopped  = 86400, 0.3, 512
	mostISO, mostCompensation = 10_000_000, 10
)

// check tells whether the exposure is one that says something of the light. A
// photograph with flash doesn't show the room's. One that was exposed by hand is
// believed: whoever did it is the meter.
func (s shot) check() error {
	switch {
	case s.Seconds == 0 || s.Aperture == 0 || s.ISO == 0:
		return unsupported(
			"the file doesn't say exposure time, aperture and ISO: use a photograph as the camera wrote it")
	case !within(s.Seconds, 1e-6, longest) || !within(s.Aperture, widest, stopped) || !within(s.ISO, 0.1, mostISO) ||
		!within(float64(s.compensation), -mostCompensation, mostCompensation):
		return broken(
			"the file says an exposure of %.3g s at f/%.3g and ISO %.3g, which makes no sense: take another photograph",
			s.Seconds, s.Aperture, s.ISO)
	case s.flash:
		return unsupported("the flash fired, so the photograph doesn't show the room's light: take one without")
	}
	return nil
}

func within(v, low, high float64) bool { return low <= v && v <= high }

// readShot has the library walk the file, within limits.
func readShot(src *source) (shot, error) {
	if src.size == 0 {
		return shot{}, unfinished("the file is empty: take another photograph")
	}
	head, err := src.bytes(0, int(min(src.size, sniffLength)))
	if err != nil {
		return shot{}, err
	}
	format := sniff(head)
	if metaFormats[format] == imagemeta.ImageFormatAuto {
		return shot{}, unsupported("the exposure of this kind of file is not read: use a JPEG from the camera")
	}
	fields, texts := map[string]float64{}, map[string]string{}
	_, err = imagemeta.Decode(imagemeta.Options{
		R:            io.NewSectionReader(&rationed{src, mostEXIFReads}, 0, src.size),
		ImageFormat:  metaFormats[format],
		Sources:      imagemeta.EXIF,
		LimitNumTags: mostFields,
		LimitTagSize: mostFieldBytes,
		ShouldHandleTag: func(t imagemeta.TagInfo) bool { // not the thumbnail's
			return (exposureFields[t.Tag] || clockFields[t.Tag]) && strings.HasPrefix(t.Namespace, "IFD0")
		},
		HandleTag: func(t imagemeta.TagInfo) error {
			if text, ok := t.Value.(string); ok && texts[t.Tag] == "" {
				texts[t.Tag] = text
			}
			if v, ok := number(t.Value); ok && fields[t.Tag] == 0 {
				fields[t.Tag] = v
			}
			return nil
		},
	})
	s := shotOf(fields)
	s.clock, s.zone = texts["DateTimeOriginal"], texts["OffsetTimeOriginal"]
	if err != nil && (s.Seconds == 0 || s.Aperture == 0 || s.ISO == 0) {
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return shot{}, unfinished("the file ends in its EXIF: take another photograph")
		}
		return shot{}, broken("the file's EXIF is damaged: take another photograph")
	}
	return s, nil
}

// exposureFields are the fields of EXIF that are wanted, as the library names
// them. A shutter speed and an aperture may be given as a number, or else as the
// logarithm of it, which the library takes back.
var exposureFields = map[string]bool{
	"ExposureTime": true, "ShutterSpeedValue": true,
	"FNumber": true, "ApertureValue": true,
	"ISO": true, "ISOSpeed": true, "RecommendedExposureIndex": true, "StandardOutputSensitivity": true,
	"ExposureCompensation": true,
	"Flash":                true,
}

// clockFields say when a photograph was taken, by the camera's clock.
var clockFields = map[string]bool{"DateTimeOriginal": true, "OffsetTimeOriginal": true}

func shotOf(fields map[string]float64) shot {
	first := func(names ...string) float64 {
		for _, name := range names {
			if v := fields[name]; v != 0 {
				return v
			}
		}
		return 0
	}
	const tooHigh = 65535 // ISO has 16 bits; above, another field has the number
	if fields["ISO"] == tooHigh {
		delete(fields, "ISO")
	}
	const fired = 1
	return shot{
		Exposure: light.Exposure{
			Seconds:  first("ExposureTime", "ShutterSpeedValue"),
			Aperture: first("FNumber", "ApertureValue"),
			ISO:      first("ISO", "RecommendedExposureIndex", "StandardOutputSensitivity", "ISOSpeed"),
		},
		compensation: light.Stops(fields["ExposureCompensation"]),
		flash:        int(fields["Flash"])&fired != 0,
	}
}

// number is a field's value, or the first of several, when it is a finite number.
func number(value any) (float64, bool) {
	v := math.NaN()
	switch x := value.(type) {
	case interface{ Float64() float64 }:
		v = x.Float64()
	case float64:
		v = x
	case uint32:
		v = float64(x)
	case int32:
		v = float64(x)
	case uint16:
		v = float64(x)
	case uint8:
		v = float64(x)
	case int:
		v = float64(x)
	case []any:
		if len(x) > 0 {
			return number(x[0])
		}
	}
	return v, !math.IsNaN(v) && !math.IsInf(v, 0)
}

// rationed is a file of which so many bytes can be read and no more.
type rationed struct {
	io.ReaderAt
	left int64
}

var errRation = errors.New("too much is read")

func (r *rationed) ReadAt(p []byte, off int64) (int, error) {
	if r.left -= int64(len(p)); r.left < 0 {
		return 0, errRation
	}
	return r.ReaderAt.ReadAt(p, off)
}
