// Package strip makes the test strip of a picture: the part of it that tells
// most, at several exposures side by side, and a step wedge into black. It is
// printed once, like the picture, and looked at in the light that the picture
// will hang in; the step that looks right there is the print's outcome.
package strip

import (
	"fmt"
	"image"
	"io"
	"math"
	"slices"
	"time"

	"lampblack/agent/picture"
	"lampblack/rules"
)

// Options say what the strip is for. The zero value is a strip without labels
// of its own, with the usual steps, that an A5 sheet holds.
type Options struct {
	Name    string    // the file's name, as one would type it
	Paper   string    // the sheet's name, "" for none
	Viewing string    // the name of the light that it will be looked at in, "" for none
	Date    time.Time // for the label; zero for none

	// Steps are the exposures, at most 11, each within ±3 stops. They are rounded
	// to hundredths, as the labels tell them, and sorted. Nil: DefaultSteps.
	Steps []rules.Stops

	// The largest size, 10 to 50 cm each way; 0: 20 × 13.8 cm, an A5 sheet across
	// with the margins that printers leave.
	WidthCM, HeightCM float64
}

// DefaultSteps are the exposures of a strip of which nothing is predicted, stops.
func DefaultSteps() []rules.Stops { return []rules.Stops{-0.6, -0.4, -0.2, 0, 0.2, 0.4, 0.6} }

// Plan says what a written strip holds.
type Plan struct {
	Crop    image.Rectangle // the part of the picture, in its pixels as stored
	Scale   int             // the strip's pixels to one of the picture, each way
	Steps   []rules.Stops   // from left to right
	Profile string          // the encoding of the picture and the strip

	WidthCM, HeightCM float64
	Notes             []string // plain sentences
}

// Write makes the test strip of the picture in f, which is size bytes long, and
// writes it to w as a TIFF of 16 bits at 300 ppi, in the picture's own channels
// and with its own profile. Patches at step 0 have the picture's very samples, and
// stand as the picture does when it is looked at.
//
// Every error is a sentence that says what to do. Those about the picture are
// the picture package's, ErrUnsupported among them where its profile doesn't
// lead back from light; nothing has been written then.
func Write(w io.Writer, f io.ReaderAt, size int64, o Options) (Plan, error) {
	steps, err := o.steps()
	if err != nil {
		return Plan{}, err
	}
	if err := o.setSize(); err != nil {
		return Plan{}, err
	}
	pic, err := picture.ReadSamples(f, size)
	if err != nil {
		return Plan{}, fmt.Errorf("no test strip can be made: %w", err)
	}
	ls, err := newLights(pic)
	if err != nil {
		return Plan{}, err
	}
	s, err := layOut(o, steps, pic)
	if err != nil {
		return Plan{}, err
	}
	crop, err := bestCrop(pic, ls, pic.Turn.Size(s.box))
	if err != nil {
		return Plan{}, fmt.Errorf("no test strip can be made: %w", err)
	}
	samples, err := crop.read(pic)
	if err != nil {
		return Plan{}, fmt.Errorf("no test strip can be made: %w", err)
	}
	s.fit(pic.Turn.Size(crop.area.Size()))
	page := s.draw(ls, picture.Upright(pic.Turn, samples, crop.area.Size(), pic.Channels))
	if err := writeTIFF(w, page, pic.Profile); err != nil {
		return Plan{}, fmt.Errorf("the test strip can't be written: %w: see that there is space on the disk", err)
	}
	return Plan{
		Crop: crop.area, Scale: s.scale, Steps: steps, Profile: pic.Encoding,
		WidthCM: centimetres(page.w), HeightCM: centimetres(page.h),
		Notes: notes(pic, crop, s.scale),
	}, nil
}

func notes(pic *picture.Samples, c crop, scale int) []string {
	var list []string
	if pic.Assumed {
		list = append(list, "The file carries no colour profile; it was taken as sRGB, and the strip carries none either.")
	}
	if c.shadows < fewShadows {
		list = append(list, "The picture has hardly any shadows: the strip tells about its midtones alone.")
	}
	if scale > 1 {
		list = append(list, fmt.Sprintf("The picture is smaller than a patch; each of its pixels is printed %d times as wide and high.", scale))
	}
	return list
}

// steps are the exposures in hundredths of a stop, in rising order.
func (o Options) steps() ([]rules.Stops, error) {
	const most, farthest = 11, 3
	steps := slices.Clone(o.Steps)
	if steps == nil {
		steps = DefaultSteps()
	}
	if len(steps) < 1 || len(steps) > most {
		return nil, fmt.Errorf("a test strip of %d steps can't be laid out: give 1 to %d", len(steps), most)
	}
	for i, s := range steps {
		if !(math.Abs(float64(s)) <= farthest) {
			return nil, fmt.Errorf("a step of %g stops is no use: give steps from -%d to +%d", float64(s), farthest, farthest)
		}
		steps[i] = rules.Stops(math.Round(float64(s)*100)/100 + 0) // no −0
	}
	slices.Sort(steps)
	return slices.Compact(steps), nil
}

// setSize checks the size, and fills in the usual one.
func (o *Options) setSize() error {
	const smallest, largest = 10, 50
	if o.WidthCM == 0 {
		o.WidthCM = 20
	}
	if o.HeightCM == 0 {
		o.HeightCM = 13.8
	}
	for _, side := range []float64{o.WidthCM, o.HeightCM} {
		if !(side >= smallest && side <= largest) { // true for NaN, too
			return fmt.Errorf("a test strip of %g × %g cm can't be made: each way it is at least %d and at most %d cm",
				o.WidthCM, o.HeightCM, smallest, largest)
		}
	}
	return nil
}
