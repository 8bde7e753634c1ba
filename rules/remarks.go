package rules

import (
	"math"
	"strconv"
	"strings"

	"lampblack/rules/colour"
)

// remarks are what a practised eye would remark on an export before it is printed:
// short sentences, never a verdict.
//
// A picture that was sharpened, resized or toned is none of its business.
func remarks(p *Picture, f Folder, paper Paper) []Sentence {
	if p.Width < 1 || p.Height < 1 {
		return nil // bare tones: there is no file to remark on
	}
	if f.Purpose == ForScreen {
		return saying(wideOnScreens(p))
	}
	size := [2]float64{f.Short, f.Long}
	return saying(fewBits(p), likeScreen(p), printSize(p, size), tooFewPixels(p, size), clippedBlack(p), clippedWhite(p), belowPaperBlack(p, paper))
}

// saying are those that say something.
func saying(all ...Sentence) (notes []Sentence) {
	for _, s := range all {
		if s.Text != "" {
			notes = append(notes, s)
		}
	}
	return notes
}

func wideOnScreens(p *Picture) Sentence {
	if !wideGamut(p.Profile) {
		return Sentence{}
	}
	return Sentence{NoteWideOnScreen, fillIn("Its colour profile is {profile}: many screens and pages will show it drab. Export with sRGB.", "profile", p.Profile)}
}

func fewBits(p *Picture) Sentence {
	if p.Depth != 8 || !wideGamut(p.Profile) {
		return Sentence{}
	}
	return Sentence{NoteFewBits, fillIn("8 bits are few for {profile}: smooth tones may show steps. Export with 16 bits.", "profile", p.Profile)}
}

func likeScreen(p *Picture) Sentence {
	if !looksLikeScreen(p) {
		return Sentence{}
	}
	return Sentence{NoteLooksScreen, fillIn("It has {width} × {height} pixels in sRGB, like a picture for the screen: is this the right folder?", "width", p.Width, "height", p.Height)}
}

func clippedBlack(p *Picture) Sentence {
	if p.Black < muchClipped {
		return Sentence{}
	}
	return Sentence{NoteBlack, fillIn("{share} of the picture is clipped to black: nothing is left in those shadows.", "share", percent(p.Black))}
}

func clippedWhite(p *Picture) Sentence {
	if p.White < muchClipped {
		return Sentence{}
	}
	return Sentence{NoteWhite, fillIn("{share} of the picture is clipped to white: the paper stays bare there.", "share", percent(p.White))}
}

const (
	// muchClipped is the share of clipped pixels from which it is worth a word
	// (common practice, no source).
	muchClipped = 0.005
	// muchBelowBlack is the same for tones below the paper's black, of which most
	// pictures have some.
	muchBelowBlack = 0.02
	// screenSide is the longest side, in pixels, of pictures made for pages and
	// screens: the width of a large one.
	screenSide = 2560
	cmPerInch  = 2.54
)

// wideGamut tells from a colour profile's name whether its primaries lie well outside
// of sRGB's. The names are those of the encodings, which profiles carry.
func wideGamut(profile string) bool {
	name := strings.NewReplacer(" ", "", "-", "", "_", "", ".", "").Replace(strings.ToLower(profile))
	for _, part := range []string{
		"adobergb", "rgb1998", "prophoto", "romm", "widegamut", "2020", "2100", "displayp3", "dcip3", "acescg", "aces2065",
	} {
		if strings.Contains(name, part) {
			return true
		}
	}
	return false
}

// looksLikeScreen tells a file that has the size and the profile of one for
// screens. A file without a profile has the profile of one, for that is how such
// files are shown.
func looksLikeScreen(p *Picture) bool {
	return max(p.Width, p.Height) <= screenSide && (p.Assumed || strings.Contains(strings.ToLower(p.Profile), "srgb"))
}

// printSize says how large the picture prints: on the folder's size if that is
// known, else at the file's own resolution, else at a common one.
func printSize(p *Picture, size [2]float64) Sentence {
	const common = 300
	switch {
	case sized(size):
		return Sentence{NoteFitted, fillIn("Printed to fit {size} it has {ppi} ppi.", "size", sides(size[0], size[1]), "ppi", wholeNumber(fittedPPI(p, size)))}
	case p.PPI.Known() && p.PPI > 0:
		return Sentence{NoteOwnSize, fillIn("At its {ppi} ppi it prints as {size}.", "ppi", short(float64(p.PPI)), "size", sidesAt(p, float64(p.PPI)))}
	default:
		return Sentence{NoteUsualSize, fillIn("The file states no resolution; at {ppi} ppi it prints as {size}.", "ppi", common, "size", sidesAt(p, common))}
	}
}

// tooFewPixels warns when the pixels can be told apart on the folder's size.
func tooFewPixels(p *Picture, size [2]float64) Sentence {
	if !sized(size) {
		return Sentence{}
	}
	ppi, needed := fittedPPI(p, size), visiblePPI(size)
	if ppi >= needed {
		return Sentence{}
	}
	return Sentence{NoteFewPixels, fillIn("{ppi} ppi are few for {size}: looked at from {distance} cm it takes about {needed} to be sharp.",
		"ppi", wholeNumber(ppi), "size", sides(size[0], size[1]), "distance", wholeNumber(viewingDistance(size)), "needed", wholeNumber(needed))}
}

// viewingDistance is where a print is looked at from, cm: its diagonal away, and no
// nearer than one can focus with ease (common practice, no source).
func viewingDistance(size [2]float64) float64 { return max(25, math.Hypot(size[0], size[1])) }

// visiblePPI is the resolution at which pixels can't be told apart: normal
// vision resolves one minute of arc (ISO 8596: visual acuity 1.0).
//
//	ppi = 2.54 / (d·tan 1')
func visiblePPI(size [2]float64) float64 {
	return cmPerInch / (viewingDistance(size) * math.Tan(math.Pi/180/60))
}

// fittedPPI is the resolution of the picture made as large as fits into size.
func fittedPPI(p *Picture, size [2]float64) float64 {
	short, long := float64(min(p.Width, p.Height)), float64(max(p.Width, p.Height))
	return cmPerInch * max(short/min(size[0], size[1]), long/max(size[0], size[1]))
}

func sized(size [2]float64) bool { return size[0] > 0 && size[1] > 0 }

// sidesAt is the size of the picture at a resolution.
func sidesAt(p *Picture, ppi float64) string {
	return sides(float64(p.Width)/ppi*cmPerInch, float64(p.Height)/ppi*cmPerInch)
}

// sides is a size in both units: "30 × 40 cm (11.8 × 15.7 in)".
func sides(a, b float64) string {
	one := func(v float64) string { return strconv.FormatFloat(toDecimals(v, 1), 'f', -1, 64) }
	return fillIn("{a} × {b} cm ({in a} × {in b} in)", "a", one(a), "b", one(b), "in a", one(a/cmPerInch), "in b", one(b/cmPerInch))
}

// belowPaperBlack is about the tones darker than the paper can show: of a
// relative luminance below that of its black over its white.
func belowPaperBlack(p *Picture, paper Paper) Sentence {
	if !(paper.White.Value > 0) || !(paper.DMax.Value > 0) {
		return Sentence{}
	}
	black := colour.FromDensity(paper.DMax.Value) / paper.White.Value
	share := 0.0
	for _, t := range p.Tones {
		if t.Y < black {
			share += t.Share
		}
	}
	if share < muchBelowBlack {
		return Sentence{}
	}
	return Sentence{NoteBelowBlack, fillIn("{share} of the picture is darker than the deepest black of \"{paper}\": without black point compensation its steps merge there.",
		"share", percent(share), "paper", paper.Name)}
}
