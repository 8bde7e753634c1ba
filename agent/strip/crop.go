package strip

import (
	"image"
	"math"

	"lampblack/agent/picture"
	"lampblack/rules/colour"
)

// The crop that tells most is the window with the highest score
//
//	score = (s·σ/σ₀ + 0.3·m) · (0.05 + d)
//
// s    share of its pixels in the shadows, L* 3..35
// σ    standard deviation of those pixels' L*; σ₀ = 32/√12, that of an even spread
// m    share of its pixels in the midtones, L* 35..70
// d    local contrast of both, 0..1: the mean difference in L* between a cell and
// its neighbours to the right and below, 4 counting as full
//
// Shadows come first because they are what a print loses. Local contrast is a
// factor because a flat patch, whatever its tone, can't be judged by eye; it is
// taken between cells of at least 4 x 4 pixels, a third of a millimetre on the
// strip, which averages out most of the grain. Equal scores: nearest to the centre.
const (
	blackEnd, shadowEnd, midtoneEnd = 3, 35, 70

	evenSpread    = 9.2376 // 32/√12
	midtoneWeight = 0.3
	flatWeight    = 0.05
	fullContrast  = 4 // L*

	smallestCell = 4   // pixels
	mostCells    = 512 // to the longer side
)

// fewShadows is the share of shadows in a crop below which it tells nothing of them.
const fewShadows = 0.02

// crop is the chosen part of a picture.
type crop struct {
	area    image.Rectangle
	shadows float64 // the share of its pixels
}

// sums are what a cell, or a window of cells, has gathered of its pixels. L* is
// in steps of 1/128, with which the sums are exact: no more than 2^53 of them.
type sums struct {
	n, all          float64 // pixels, and their L*
	shadows         float64 // pixels in the shadows, ...
	dark, darkSq    float64 // ... their L*, and its square
	midtones        float64 // pixels
	contrast, share float64 // by cell: local contrast of its shadows and midtones; 1
}

func (s *sums) add(t sums, sign float64) {
	s.n += sign * t.n
	s.all += sign * t.all
	s.shadows += sign * t.shadows
	s.dark += sign * t.dark
	s.darkSq += sign * t.darkSq
	s.midtones += sign * t.midtones
	s.contrast += sign * t.contrast
	s.share += sign * t.share
}

// look counts a pixel of lightness l.
func (s *sums) look(l float64) {
	s.n++
	s.all += l
	switch {
	case l < blackEnd || l >= midtoneEnd:
	case l < shadowEnd:
		s.shadows++
		s.dark += l
		s.darkSq += l * l
	default:
		s.midtones++
	}
}

func (s *sums) score() float64 {
	spread := 0.0
	if s.shadows > 0 {
		// As one difference, so that an even tone has exactly none.
		spread = math.Sqrt(max(s.darkSq*s.shadows-s.dark*s.dark, 0)) / s.shadows / evenSpread
	}
	tones := (s.shadows*spread + midtoneWeight*s.midtones) / s.n
	return tones * (flatWeight + s.contrast/s.share)
}

// cells is the picture in square cells, row by row. Those at its right and
// lower edge may be smaller.
type cells struct {
	side          int // pixels
	across, down  int
	width, height int // of the picture
	list          []sums
}

// bestCrop is the part of the picture, as large as box or as large as it is,
// that tells most. The error is the picture package's.
func bestCrop(pic *picture.Samples, ls lights, box image.Point) (crop, error) {
	g, err := gather(pic, ls)
	if err != nil {
		return crop{}, err
	}
	g.compare()
	return g.best(image.Pt(min(box.X, pic.Width), min(box.Y, pic.Height))), nil
}

// gather looks at every pixel of the picture.
func gather(pic *picture.Samples, ls lights) (*cells, error) {
	side := max(smallestCell, (max(pic.Width, pic.Height)+mostCells-1)/mostCells)
	g := &cells{
		side:   side,
		across: (pic.Width + side - 1) / side, down: (pic.Height + side - 1) / side,
		width: pic.Width, height: pic.Height,
	}
	g.list = make([]sums, g.across*g.down)
	lightness := lightnessTable()
	weighed := ls.weighed(pic.Weights)
	err := pic.Rows(0, pic.Height, func(y int, row []uint16) {
		line := g.list[y/side*g.across:]
		for x := range pic.Width {
			line[x/side].look(lightness[weighed.luminance(row[x*pic.Channels:])])
		}
	})
	return g, err
}

// weighed is each channel's part of the luminance by code; 65535 is white.
type weighed [][]float32

func (ls lights) weighed(weights []float64) weighed {
	w := make(weighed, len(ls))
	for c, l := range ls {
		w[c] = make([]float32, codes)
		for v, y := range l {
			w[c][v] = float32(y * weights[c] * (codes - 1))
		}
	}
	return w
}

func (w weighed) luminance(pixel []uint16) uint16 {
	sum := float32(0.5)
	for c, part := range w {
		sum += part[pixel[c]]
	}
	return uint16(min(max(sum, 0), codes-1)) // wide primaries may have a negative part
}

// lightnessTable is L* in steps of 1/128 by luminance, 65535 being white.
func lightnessTable() []float64 {
	t := make([]float64, codes)
	for i := range t {
		t[i] = math.Round(128*colour.Lightness(float64(i)/(codes-1))) / 128
	}
	return t
}

// compare finds every cell's local contrast.
func (g *cells) compare() {
	mean := func(i int) float64 { return g.list[i].all / g.list[i].n }
	for i := range g.list {
		var sum, n float64
		if i%g.across+1 < g.across {
			sum, n = sum+math.Abs(mean(i)-mean(i+1)), n+1
		}
		if i+g.across < len(g.list) {
			sum, n = sum+math.Abs(mean(i)-mean(i+g.across)), n+1
		}
		c := &g.list[i]
		c.share = 1
		if n > 0 {
			c.contrast = min(sum/n/fullContrast, 1) * (c.shadows + c.midtones) / c.n
		}
	}
}

// best tries a window of the given size in pixels at every cell.
func (g *cells) best(size image.Point) crop {
	table := g.summed()
	gw, gh := max(size.X/g.side, 1), max(size.Y/g.side, 1)
	var found crop
	bestScore, bestOff := math.Inf(-1), 0
	for y := range g.down - gh + 1 {
		for x := range g.across - gw + 1 {
			s := g.window(table, image.Rect(x, y, x+gw, y+gh))
			at := image.Pt(min(x*g.side, g.width-size.X), min(y*g.side, g.height-size.Y))
			area := image.Rectangle{at, at.Add(size)}
			score, off := s.score(), g.offCentre(area)
			const equal = 1e-9
			if score > bestScore+equal || score > bestScore-equal && off < bestOff {
				bestScore, bestOff = score, off
				found = crop{area, s.shadows / s.n}
			}
		}
	}
	return found
}

// offCentre is twice the distance between the middles of area and picture, in
// pixels along both axes.
func (g *cells) offCentre(area image.Rectangle) int {
	off := func(v int) int { return max(v, -v) }
	return off(area.Min.X+area.Max.X-g.width) + off(area.Min.Y+area.Max.Y-g.height)
}

// summed is the table of what lies above and to the left of each cell's corner,
// from which four look-ups give any window.
func (g *cells) summed() []sums {
	stride := g.across + 1
	t := make([]sums, stride*(g.down+1))
	for y := range g.down {
		var line sums
		for x := range g.across {
			line.add(g.list[y*g.across+x], 1)
			sum := t[y*stride+x+1]
			sum.add(line, 1)
			t[(y+1)*stride+x+1] = sum
		}
	}
	return t
}

func (g *cells) window(table []sums, r image.Rectangle) sums {
	at := func(x, y int) sums { return table[y*(g.across+1)+x] }
	s := at(r.Max.X, r.Max.Y)
	s.add(at(r.Min.X, r.Max.Y), -1)
	s.add(at(r.Max.X, r.Min.Y), -1)
	s.add(at(r.Min.X, r.Min.Y), 1)
	return s
}

// read is the crop's samples, row by row.
func (c crop) read(pic *picture.Samples) ([]uint16, error) {
	var out []uint16
	err := pic.Rows(c.area.Min.Y, c.area.Max.Y, func(_ int, row []uint16) {
		out = append(out, row[c.area.Min.X*pic.Channels:c.area.Max.X*pic.Channels]...)
	})
	return out, err
}
