package picture

import (
	"cmp"
	"math"
	"slices"

	"lampblack/agent/icc"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// Luminance is summed as an integer: unit is Y = 1. Its upper 16 bits are the
// bin of the histogram, its lower fraction bits what the bin's mean is made of.
const (
	fraction = 8
	unit     = 65535 << fraction
)

// A counter packs a bin's count of pixels above the sum of their fractions:
// one memory access a pixel instead of two. 28 bits count to 268 million; the
// fractions of maxPixels pixels fit into 36.
const (
	sumBits  = 36
	onePixel = 1 << sumBits
	_        = uint(1<<(64-sumBits) - 1 - maxPixels)
	_        = uint(1<<sumBits - maxPixels<<fraction)
)

// The clipped ends of an 8-bit export, relative luminance.
const (
	blackBelow = 0.0005
	whiteAbove = 0.9955
)

const (
	toneStep    = 0.5 // L*
	colourStep  = 10  // L*, a*, b*
	mostColours = 200
	sampled     = 16        // one pixel in so many is looked at for its colour ...
	smallPixels = 1_000_000 // ... unless the picture has fewer than these
)

// The cells of the colour histogram: L* 0..110, a* and b* −200..200. What lies
// outside goes into the outermost cell; its mean stays its own.
const (
	cellsL  = 11
	cellsAB = 40
)

// cell sums the colours of the pixels in it, in whole steps of 1/labUnit, so
// that the order in which they come makes no difference.
type cell struct {
	l, a, b int64
	n       int64
}

const labUnit = 1 << 20

// mean is the colour of a cell that has pixels.
func (c cell) mean() colour.Lab {
	n := float64(c.n) * labUnit
	return colour.Lab{L: float64(c.l) / n, A: float64(c.a) / n, B: float64(c.b) / n}
}

// tally is the accumulator: every pixel's luminance, and some pixels' colours.
type tally struct {
	tables
	every     int // one pixel in every is looked at for its colour
	hist      [65536]uint64
	cells     []cell
	lightness *lightnessTable
}

func newTally(enc encoding, f facts) *tally {
	t := &tally{
		tables: enc.tables(f),
		every:  sampled,
		cells:  make([]cell, cellsL*cellsAB*cellsAB),

		lightness: new(lightnessTable),
	}
	t.lightness.fill()
	if f.width*f.height < smallPixels {
		t.every = 1
	}
	return t
}

// fork is another tally of the same picture, empty, for another goroutine.
func (t *tally) fork() *tally {
	return &tally{tables: t.tables, every: t.every, cells: make([]cell, len(t.cells)), lightness: t.lightness}
}

// join adds what a fork has counted. The order of joining makes no difference.
func (t *tally) join(fork *tally) {
	for i, n := range fork.hist {
		t.hist[i] += n
	}
	for i, c := range fork.cells {
		sum := &t.cells[i]
		sum.l += c.l
		sum.a += c.a
		sum.b += c.b
		sum.n += c.n
	}
}

// addRGB counts a row of pixels whose first three of step samples are R, G, B.
// y is the row's number, which only staggers the sampling.
func addRGB[T uint8 | uint16](t *tally, y int, row []T, step int) {
	if t.grid != nil {
		addByGrid(t, y, row, step)
		return
	}
	r, g, b := t.y[0], t.y[1], t.y[2]
	for i := 0; i+2 < len(row); i += step {
		t.count(r[row[i]] + g[row[i+1]] + b[row[i+2]])
	}
	lr, lg, lb := t.linear[0], t.linear[1], t.linear[2]
	for i := t.first(y) * step; i+2 < len(row); i += t.every * step {
		t.look(float64(lr[row[i]]), float64(lg[row[i+1]]), float64(lb[row[i+2]]))
	}
}

// addGrey counts a row of pixels whose first of step samples is the grey value.
func addGrey[T uint8 | uint16](t *tally, y int, row []T, step int) {
	grey := t.y[0]
	for i := 0; i < len(row); i += step {
		t.count(grey[row[i]])
	}
	l := t.linear[0]
	for i := t.first(y) * step; i < len(row); i += t.every * step {
		t.look(float64(l[row[i]]), 0, 0)
	}
}

// count adds one pixel of luminance y to the histogram.
func (t *tally) count(y int32) {
	y = min(max(y, 0), unit)
	t.hist[uint16(y>>fraction)] += onePixel | uint64(y&(1<<fraction-1))
}

// first is the first pixel of row y to look at. 7 and 16 share no factor, so
// 16 rows in succession look at 16 different columns.
func (t *tally) first(y int) int { return 7 * y % t.every }

// look adds the colour of one pixel, given as linear device values.
func (t *tally) look(r, g, b float64) {
	t.lookAt(t.lightness.lab(t.toXYZ.Apply(colour.XYZ{X: r, Y: g, Z: b})))
}

// lookAt adds the colour of one pixel.
func (t *tally) lookAt(lab colour.Lab) {
	c := &t.cells[cellOf(lab)]
	c.l += int64(lab.L * labUnit)
	c.a += int64(lab.A * labUnit)
	c.b += int64(lab.B * labUnit)
	c.n++
}

func cellOf(lab colour.Lab) int {
	index := func(v float64, n int) int {
		return min(max(int(math.Floor(v/colourStep)), 0), n-1)
	}
	const shift = colourStep * cellsAB / 2
	return (index(lab.L, cellsL)*cellsAB+index(lab.A+shift, cellsAB))*cellsAB + index(lab.B+shift, cellsAB)
}

// lightnessTable is CIE L* of a ratio, at equal steps of it. Between them it is
// taken as straight, which is wrong by less than 0.001 and saves three cube roots
// a pixel, a sixth of the time of a JPEG.
type lightnessTable [2*lightnessSteps + 1]float64

const lightnessSteps = 4096 // to a ratio of 1

func (t *lightnessTable) fill() {
	for i := range t {
		t[i] = colour.Lightness(float64(i) / lightnessSteps)
	}
}

// at is L* of v. Outside of the table its outermost piece goes on.
func (t *lightnessTable) at(v float64) float64 {
	v *= lightnessSteps
	i := min(max(int(v), 0), len(t)-2)
	return t[i] + (v-float64(i))*(t[i+1]-t[i])
}

// lab is what colour.LabOf gives, whose function f is (L* + 16)/116 of X, Y or Z.
func (t *lightnessTable) lab(v colour.XYZ) colour.Lab {
	x, y, z := t.at(v.X*(1/icc.PCSX)), t.at(v.Y), t.at(v.Z*(1/icc.PCSZ))
	return colour.Lab{L: y, A: (x - y) * (500.0 / 116), B: (y - z) * (200.0 / 116)}
}

// picture is what has been counted; the facts are left to the caller.
func (t *tally) picture() rules.Picture {
	type tone struct{ n, sum float64 }
	var (
		tones        [100 / toneStep]tone
		whole        tone
		black, white float64
	)
	for bin, packed := range t.hist {
		if packed == 0 {
			continue
		}
		n := float64(packed >> sumBits)
		sum := (n*float64(bin<<fraction) + float64(packed&(onePixel-1))) / unit
		mean := sum / n
		k := min(int(colour.Lightness(mean)/toneStep), len(tones)-1)
		tones[k].n += n
		tones[k].sum += sum
		whole.n += n
		whole.sum += sum
		if mean < blackBelow {
			black += n
		}
		if mean > whiteAbove {
			white += n
		}
	}
	pic := rules.Picture{
		MeanY: whole.sum / whole.n,
		Black: black / whole.n,
		White: white / whole.n,
	}
	for _, k := range tones {
		if k.n > 0 {
			pic.Tones = append(pic.Tones, rules.Tone{Y: k.sum / k.n, Share: k.n / whole.n})
		}
	}
	pic.Colours = t.colours()
	return pic
}

// colours is the most populous cells, most populous first.
func (t *tally) colours() []rules.Colour {
	var full []cell
	for _, c := range t.cells {
		if c.n > 0 {
			full = append(full, c)
		}
	}
	slices.SortStableFunc(full, func(a, b cell) int { return cmp.Compare(b.n, a.n) })
	full = full[:min(len(full), mostColours)]
	covered := int64(0)
	for _, c := range full {
		covered += c.n
	}
	list := make([]rules.Colour, len(full))
	for i, c := range full {
		list[i] = rules.Colour{Lab: c.mean(), Share: float64(c.n) / float64(covered)}
	}
	return list
}
