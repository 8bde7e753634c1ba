package picture

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"strings"
	"time"

	"lampblack/config/legible"
	"lampblack/rules"
)

// Photograph is what a photograph of a sheet, or of a screen's white, tells
// about the light in it.
type Photograph struct {
	// Shot is the exposure, with the tones of a JPEG. Any other kind of file has
	// either no tones that a camera has made (raw, or HEIC, which isn't decoded
	// here) or comes out of an editor, which has changed them.
	Shot rules.Shot `json:"shot"`

	// Clock and Zone are when it was taken, as EXIF writes it.
	Clock string `json:"clock"`
	Zone  string `json:"zone"`
}

// The camera's clock before its first setting, and no later century.
const firstYear, lastYear = 2001, 2199

// Taken is when the photograph was taken, by the camera's clock; where the
// camera doesn't say its zone, that clock shows the time of local. A file that
// says no time, or an impossible one, gives false.
func (p Photograph) Taken(local *time.Location) (t time.Time, ok bool) {
	const clock, zone = "2006:01:02 15:04:05", "-07:00"
	t, err := time.Parse(clock+zone, p.Clock+p.Zone)
	if err != nil {
		t, err = time.ParseInLocation(clock, p.Clock, local)
	}
	if err != nil || t.Year() < firstYear || t.Year() > lastYear {
		return time.Time{}, false
	}
	return t, true
}

// ReadPhotograph reads the photograph in f, which is size bytes long: exposure
// time, aperture, ISO and compensation of its EXIF, which takes no more than 32 MB
// of reading, and the tones of a JPEG. The errors are those of Measure.
func ReadPhotograph(f io.ReaderAt, size int64) (Photograph, error) {
	return photograph(f, size, 0)
}

func photograph(f io.ReaderAt, size int64, memory uint64) (Photograph, error) {
	src := &source{f: f, size: size, memory: memory}
	s, err := readShot(src)
	if err != nil {
		return Photograph{}, ofCamera(src.explain(err))
	}
	if err := s.check(); err != nil {
		return Photograph{}, err
	}
	p := Photograph{
		Shot:  rules.Shot{Exposure: s.Exposure, Compensation: s.compensation},
		Clock: legible.Name(s.clock),
		Zone:  legible.Name(s.zone),
	}
	head, err := src.bytes(0, int(min(size, sniffLength)))
	if err == nil && sniff(head) == "JPEG" {
		var pic rules.Picture
		pic, err = measure(src)
		p.Shot.Tones = pic.Tones
	}
	if err != nil && !errors.Is(err, ErrUnsupported) { // what isn't decoded still has its exposure
		return Photograph{}, ofCamera(src.explain(err))
	}
	return p, nil
}

// ofCamera is an error about a file that no editor has exported.
func ofCamera(err error) error {
	var f *fault
	if !errors.As(err, &f) {
		return err
	}
	return &fault{f.kind, strings.ReplaceAll(f.sentence, "export it again", "copy it from the camera again")}
}

// photographTask is the worker's task of reading a photograph.
const photographTask = "photograph"

// Photograph does what ReadPhotograph does with the file at path, in a child
// process as Measure does. When ctx is cancelled the error is ctx's.
func (w Worker) Photograph(ctx context.Context, path string) (Photograph, error) {
	f, err := openRegular(path)
	if err != nil {
		return Photograph{}, err
	}
	defer f.Close()
	w.task = photographTask
	return ask(ctx, w, f, readPhotograph)
}

// answerPhotograph is WorkerMain for a photograph.
func answerPhotograph(in *os.File, size int64, memory uint64, out io.Writer) int {
	p, err := photograph(in, size, memory)
	if err != nil {
		err = writeAnswer(out, rules.Picture{}, "", err)
	} else {
		err = json.NewEncoder(out).Encode(answer{Photo: &p})
	}
	if err != nil {
		return 1
	}
	return 0
}

// readPhotograph takes the answer about a photograph apart again.
func readPhotograph(b []byte) (Photograph, error) {
	a, err := parseAnswer(b)
	if err != nil {
		return Photograph{}, err
	}
	if a.Photo == nil || !(a.Photo.Shot.Aperture > 0 && a.Photo.Shot.Seconds > 0 && a.Photo.Shot.ISO > 0) {
		return Photograph{}, errGarbage
	}
	return *a.Photo, nil
}
