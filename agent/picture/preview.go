package picture

import (
	"context"
	"encoding/json"
	"image"
	"io"
	"math"

	"lampblack/agent/icc"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// Preview is a small copy of a picture, upright, each pixel the mean light of the
// area that it stands for.
type Preview struct {
	Width, Height int
	// Pix are the pixels row by row, each R, G, B of ROMM RGB (ISO 22028-2) with
	// 16 bits, the high byte first. Its white is that of the connection space, D50,
	// and few surfaces have colours outside of it.
	Pix []byte
}

// LargestPreview is the longest side that a preview can have, pixels.
const LargestPreview = 1200

// romm leads from XYZ relative to D50 to linear ROMM RGB.
var romm = colour.ROMM.ToXYZ().Inverse()

// Preview makes a preview of the picture at path, in a child process as Measure
// does. Its long side has at most LargestPreview pixels; nothing is enlarged. It
// reads what Measure reads, but for WebP and for JPEG in CMYK, with the same errors;
// when ctx is cancelled the error is ctx's.
func (w Worker) Preview(ctx context.Context, path string) (Preview, error) {
	f, err := openRegular(path)
	if err != nil {
		return Preview{}, err
	}
	defer f.Close()
	w.task = previewTask
	return ask(ctx, w, f, readPreview)
}

// previewTask is the worker's task of making a preview.
const previewTask = "preview"

// mostPreview is the longest answer with a preview: its pixels as JSON writes
// bytes, four for three.
const mostPreview = 6*LargestPreview*LargestPreview/3*4 + 4<<10

// answerPreview is WorkerMain for a preview.
func answerPreview(src *source, out io.Writer) int {
	p, err := previewOf(src, LargestPreview)
	if err != nil {
		err = writeAnswer(out, rules.Picture{}, "", src.explain(err))
	} else {
		err = json.NewEncoder(out).Encode(answer{Preview: &p})
	}
	if err != nil {
		return 1
	}
	return 0
}

// readPreview takes the answer with a preview apart again.
func readPreview(b []byte) (Preview, error) {
	a, err := parseAnswer(b)
	if err != nil {
		return Preview{}, err
	}
	p := a.Preview
	switch {
	case p == nil, p.Width < 1, p.Height < 1, p.Width > LargestPreview, p.Height > LargestPreview:
		return Preview{}, errGarbage
	case len(p.Pix) != 6*p.Width*p.Height:
		return Preview{}, errGarbage
	}
	return *p, nil
}

// PreviewOf makes a preview in this process, its long side at most side pixels.
func PreviewOf(f io.ReaderAt, size int64, side int) (Preview, error) {
	src := &source{f: f, size: size}
	p, err := previewOf(src, side)
	if err != nil {
		return Preview{}, src.explain(err)
	}
	return p, nil
}

func previewOf(src *source, side int) (Preview, error) {
	c, err := open(src)
	if err != nil {
		return Preview{}, err
	}
	if err := c.gate(src.size); err != nil {
		return Preview{}, err
	}
	enc, _ := c.encoding()
	s := &Samples{Width: c.width, Height: c.height, Channels: c.channels}
	if err := s.openRows(src, c.facts); err != nil {
		return Preview{}, err
	}
	r := newReducer(s, enc, side)
	if err := s.Rows(0, s.Height, r.add); err != nil {
		return Preview{}, err
	}
	return r.preview.upright(c.turn), nil
}

// upright is the preview as its picture is looked at.
func (p Preview) upright(t Turn) Preview {
	stored := image.Pt(p.Width, p.Height)
	size := t.Size(stored)
	return Preview{size.X, size.Y, Upright(t, p.Pix, stored, 6)}
}

// reducer takes in rows of a picture and gives out the rows of its preview.
type reducer struct {
	preview  Preview
	height   int // of the picture
	channels int // of the picture
	light    func(pixel []uint16) [3]float32
	toROMM   colour.Matrix // from the light
	columns  []column
	row      []float32 // one row of the picture, as wide as the preview
	sum      []float32 // the rows so far of the preview's next row
	next     int       // that row
}

// column tells where a column of the picture goes: a share of it into one column
// of the preview, the rest into the next.
type column struct {
	to    int
	share float32
}

func newReducer(s *Samples, enc encoding, side int) *reducer {
	scale := min(1, float64(side)/float64(max(s.Width, s.Height)))
	w := max(1, int(math.Round(float64(s.Width)*scale)))
	h := max(1, int(math.Round(float64(s.Height)*scale)))
	light, toXYZ := enc.light(s.Channels)
	return &reducer{
		preview:  Preview{Width: w, Height: h, Pix: make([]byte, 0, 6*w*h)},
		height:   s.Height,
		channels: s.Channels,
		light:    light,
		toROMM:   romm.Mul(toXYZ),
		columns:  spreadOver(s.Width, w),
		row:      make([]float32, w*3),
		sum:      make([]float32, w*3),
	}
}

// light leads from the 16-bit samples of a pixel to numbers that mix as light
// does, and from those to XYZ relative to D50.
func (e encoding) light(channels int) (func(pixel []uint16) [3]float32, colour.Matrix) {
	if e.ToLab != nil {
		g := icc.NewGrid(e.ToLab, channels, codeMax+1, unit)
		return lightIn(g), colour.Matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	}
	var tables [3][]float32
	for c := range channels {
		tables[c] = make([]float32, codeMax+1)
		for v := range tables[c] {
			tables[c][v] = float32(e.Curves[c](float64(v) / codeMax))
		}
	}
	if channels == 1 {
		grey := func(pixel []uint16) [3]float32 { return [3]float32{tables[0][pixel[0]]} }
		return grey, colour.Matrix{{icc.PCSWhite.X}, {icc.PCSWhite.Y}, {icc.PCSWhite.Z}}
	}
	return func(pixel []uint16) [3]float32 {
		return [3]float32{tables[0][pixel[0]], tables[1][pixel[1]], tables[2][pixel[2]]}
	}, e.ToXYZ
}

// lightIn gives the XYZ relative to D50 of pixels of 3 or 4 channels.
func lightIn(g *icc.Grid) func(pixel []uint16) [3]float32 {
	return func(pixel []uint16) [3]float32 {
		place := func(c int) uint32 { return g.Places(c)[pixel[c]] }
		var around icc.Corners
		if len(pixel) == 4 {
			around = g.Around4(place(0), place(1), place(2), place(3))
		} else {
			around = g.Around3(place(0), place(1), place(2))
		}
		v := g.Colour(&around).XYZ(icc.PCSWhite)
		return [3]float32{float32(v.X), float32(v.Y), float32(v.Z)}
	}
}

// spreadOver divides n columns evenly over m of them, m ≤ n.
func spreadOver(n, m int) []column {
	columns := make([]column, n)
	for i := range columns {
		// The column is [i, i+1)·m in units in which the preview's are n wide.
		from, to := i*m, (i+1)*m
		at := from / n
		inside := min(to, (at+1)*n) - from
		columns[i] = column{at, float32(inside) / float32(m)}
	}
	return columns
}

// add takes in the next row of the picture.
func (r *reducer) add(y int, row []uint16) {
	r.narrow(row)
	m := r.preview.Height
	from, to := y*m, (y+1)*m
	edge := (r.next + 1) * r.height
	share := float32(min(to, edge)-from) / float32(m)
	for i, v := range r.row {
		r.sum[i] += share * v
	}
	if to < edge {
		return
	}
	r.emit()
	for i, v := range r.row {
		r.sum[i] = (1 - share) * v
	}
}

// narrow fills r.row from a row of the picture.
func (r *reducer) narrow(row []uint16) {
	clear(r.row)
	n, last := r.channels, len(r.row)-3
	for x, c := range r.columns {
		to := 3 * c.to
		for i, v := range r.light(row[x*n : (x+1)*n]) {
			r.row[to+i] += c.share * v
			if to < last {
				r.row[to+3+i] += (1 - c.share) * v
			}
		}
	}
}

// emit appends the sum of rows as a row of the preview.
func (r *reducer) emit() {
	area := float64(len(r.columns)) / float64(r.preview.Width) * float64(r.height) / float64(r.preview.Height)
	for x := range r.preview.Width {
		var v [3]float64
		for i := range v {
			v[i] = float64(r.sum[3*x+i]) / area
		}
		c := r.toROMM.Apply(colour.XYZ{X: v[0], Y: v[1], Z: v[2]})
		for _, linear := range [3]float64{c.X, c.Y, c.Z} {
			code := uint16(math.Round(math.MaxUint16 * colour.ROMM.Encode(min(1, max(0, linear)))))
			r.preview.Pix = append(r.preview.Pix, byte(code>>8), byte(code))
		}
	}
	r.next++
}
