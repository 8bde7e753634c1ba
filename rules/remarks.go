package rules

import (
	"fmt"
	"math"
	"strings"

	"lampblack/rules/colour"
)

// remarks are what a practised eye would remark on an export before it is printed:
// short sentences, never a verdict.
//
// A picture that was sharpened, resized or toned is none of its business.
func remarks(p *Picture, f Folder, paper Paper) []string {
	if p.Width < 1 || p.Height < 1 {
		return nil // bare tones: there is no file to remark on
	}
	size := [2]float64{f.Short, f.Long}
	var notes []string
	say := func(when bool, note string) {
		if when && note != "" {
			notes = append(notes, note)
		}
	}
	if f.Purpose == ForScreen {
		say(wideGamut(p.Profile), "Its profile is "+p.Profile+": many screens and pages will show it drab. Export with sRGB.")
		return notes
	}
	say(p.Depth == 8 && wideGamut(p.Profile), "8 bits are few for "+p.Profile+": smooth tones may show steps. Export with 16 bits.")
	say(looksLikeScreen(p), fmt.Sprintf("It has %d × %d pixels in sRGB, like a picture for the screen: is this the right folder?", p.Width, p.Height))
	say(true, printSize(p, size))
	say(true, tooFewPixels(p, size))
	say(p.Black >= muchClipped, percent(p.Black)+" of the picture is clipped to black: nothing is left in those shadows.")
	say(p.White >= muchClipped, percent(p.White)+" of the picture is clipped to white: there the paper stays bare.")
	say(true, belowPaperBlack(p, paper))
	return notes
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

// wideGamut tells from a profile's name whether its primaries lie well outside
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
func printSize(p *Picture, size [2]float64) string {
	switch {
	case sized(size):
		return fmt.Sprintf("Printed to fit %s it has %.0f ppi.", sides(size[0], size[1]), fittedPPI(p, size))
	case p.PPI.Known() && p.PPI > 0:
		return fmt.Sprintf("At its %s ppi it prints as %s.", short(float64(p.PPI)), sidesAt(p, float64(p.PPI)))
	default:
		const common = 300
		return fmt.Sprintf("The file states no resolution; at %d ppi it prints as %s.", common, sidesAt(p, common))
	}
}

// tooFewPixels warns when the pixels can be told apart on the folder's size.
func tooFewPixels(p *Picture, size [2]float64) string {
	if !sized(size) {
		return ""
	}
	ppi, needed := fittedPPI(p, size), visiblePPI(size)
	if ppi >= needed {
		return ""
	}
	return fmt.Sprintf("%.0f ppi are few for %s: looked at from %.0f cm it takes about %.0f to be sharp.",
		ppi, sides(size[0], size[1]), viewingDistance(size), needed)
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
	one := func(v float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0") }
	return fmt.Sprintf("%s × %s cm (%s × %s in)", one(a), one(b), one(a/cmPerInch), one(b/cmPerInch))
}

// belowPaperBlack is about the tones darker than the paper can show: of a
// relative luminance below that of its black over its white.
func belowPaperBlack(p *Picture, paper Paper) string {
	if !(paper.White.Value > 0) || !(paper.DMax.Value > 0) {
		return ""
	}
	black := colour.FromDensity(paper.DMax.Value) / paper.White.Value
	share := 0.0
	for _, t := range p.Tones {
		if t.Y < black {
			share += t.Share
		}
	}
	if share < muchBelowBlack {
		return ""
	}
	return fmt.Sprintf("%s of the picture is darker than the deepest black of %q: without black point compensation its steps merge there.", percent(share), paper.Name)
}
