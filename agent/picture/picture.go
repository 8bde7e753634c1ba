// Package picture reads a picture file: the facts that its container states and
// the distribution of its tones and colours.
//
// [Measure] reads in this process; [Worker] does the same in a child process that
// the system keeps small, slow and mortal, because picture files are hostile
// until shown otherwise. Nothing is allocated on the word of a file alone:
// every count is held against the size of the file first. One worker reads one
// picture: a decoder that runs wild takes no more than that with it.
//
// TIFF is streamed by code of our own on libraries' codecs, since no library streams
// it: a strip at a time, whatever the size. PNG likewise. JPEG and WebP go through
// libraries, behind a gate that knows what memory each kind takes. Rows are read as
// they are stored, and what is shown is turned last ([Turn]): a verdict doesn't depend
// on how a picture stands. What is read, and what that costs, is in README.md here.
package picture

import (
	"image"
	"io"
	"math"

	"lampblack/rules"
)

// The largest pictures that are read. The side bounds the memory of one row.
const (
	maxPixels = 200_000_000
	maxSide   = 1 << 18
)

// maxProfile is the largest colour profile that is read, bytes. Printer profiles
// with fine tables reach 4 MB.
const maxProfile = 16 << 20

// facts is what a container says about its picture.
type facts struct {
	width, height int     // as stored
	depth         int     // bits a channel, as stored
	channels      int     // 1: grey, 3: RGB, 4: CMYK
	ppi           float64 // NaN when the file doesn't say
	turn          Turn    // what the rows as stored need, to stand upright
	profile       []byte  // colour profile, nil when there is none
	profileTrash  string  // why the embedded profile can't be had, "" otherwise
	sRGB          bool    // declared to be sRGB by other means than a profile
	alpha         bool    // has a transparency channel
	least         float64 // the fewest bytes that such a picture can be packed into
}

// container is an opened file: its facts, and how to send every pixel to a tally.
type container struct {
	facts
	decode func(*tally) error
}

// Measure reads the picture in f, which is size bytes long. The errors are
// ErrBroken (or its kind ErrUnfinished), ErrUnsupported and ErrVanished.
//
// What the result holds, beyond the fields' own comments:
//   - Y is media-relative: the white of the file's profile is 1. A file without
//     a usable profile is taken as sRGB; Assumed and a note say so.
//   - Black and White are the shares of pixels with Y below 0.0005 and above
//     0.9955, which is where an 8-bit export clips.
//   - Tones are the pixels grouped by L* in steps of 0.5, each group with its
//     exact mean; groups without pixels are left out.
//   - Tones come from every pixel, except in large pictures whose format has to be
//     unpacked as a whole or in thin strips: there from an even sample, which
//     moves the mean by less than 0.01 stop.
//   - Colours come from every pixel below 1 MP, else from every 16th, in cells of
//     10×10×10 in L*a*b*. The 200 most populous cells are kept, most populous
//     first, and the shares are of the pixels in those.
func Measure(f io.ReaderAt, size int64) (rules.Picture, error) {
	src := &source{f: f, size: size}
	pic, err := measure(src)
	if err != nil {
		return rules.Picture{}, src.explain(err)
	}
	return pic, nil
}

func measure(src *source) (rules.Picture, error) {
	c, err := open(src)
	if err != nil {
		return rules.Picture{}, err
	}
	if err := c.gate(src.size); err != nil {
		return rules.Picture{}, err
	}
	enc, notes := c.encoding()
	t := newTally(enc, c.facts)
	if err := c.decode(t); err != nil {
		return rules.Picture{}, err
	}
	if c.alpha {
		notes = append(notes, rules.Sentence{Code: rules.NoteTransparency, Text: "The file has a transparency channel; it was taken as opaque."})
	}
	pic := t.picture()
	upright := c.turn.Size(image.Pt(c.width, c.height))
	pic.Width, pic.Height, pic.Depth = upright.X, upright.Y, c.depth
	pic.PPI = rules.Figure(c.ppi)
	pic.Profile, pic.Assumed, pic.Notes = enc.Name, enc.assumed, notes
	return pic, nil
}

// open finds out what kind of file this is and reads its facts.
func open(src *source) (container, error) {
	if src.size == 0 {
		return container{}, unfinished("the file is empty: export it again")
	}
	head, err := src.bytes(0, int(min(src.size, sniffLength)))
	if err != nil {
		return container{}, err
	}
	switch format := sniff(head); format {
	case "JPEG":
		return openJPEG(src)
	case "PNG":
		return openPNG(src)
	case "WebP":
		return openWebP(src)
	case "TIFF", "BigTIFF":
		return openTIFF(src)
	case "":
		return container{}, unsupported("this is not a picture file that can be read: export as TIFF, JPEG or PNG")
	default:
		return container{}, unsupported("%s files are not read: export as TIFF, JPEG or PNG", format)
	}
}

// gate refuses, before anything is decoded, what would be too large, and what
// the file is too small to hold: a few bytes must not cost gigabytes.
func (f facts) gate(size int64) error {
	switch {
	case f.width < 1 || f.height < 1:
		return broken("the header says %d x %d pixels: export it again", f.width, f.height)
	case f.width > maxSide || f.height > maxSide || f.width*f.height > maxPixels:
		return unsupported("%d x %d pixels are more than the %d megapixels that are read: export it smaller",
			f.width, f.height, maxPixels/1_000_000)
	case float64(size) < f.least:
		return unfinished("the header promises %d x %d pixels, but %d bytes can't hold them: export it again",
			f.width, f.height, size)
	}
	return nil
}

// ppiOf brings a resolution to pixels an inch and rounds away what the unit's
// own steps added: 11811 a metre means 300. NaN for what can't be one.
func ppiOf(v, perInch float64) float64 {
	ppi := math.Round(v*perInch*100) / 100
	if ppi > 0 && ppi < 1e6 {
		return ppi
	}
	return math.NaN()
}
