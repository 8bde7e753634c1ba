package strip

import (
	"image"
	"math"
	"slices"
)

// ppi is the strip's resolution, pixels an inch.
const ppi = 300

// mm is a length in pixels.
func mm(v float64) int { return int(math.Round(v * ppi / 25.4)) }

func centimetres(pixels int) float64 { return math.Round(float64(pixels)*254/ppi) / 100 }

// page is the strip's pixels: rows from top to bottom, the channels interleaved.
type page struct {
	w, h, channels int
	pix            []uint16
}

func newPage(w, h int, background []uint16) *page {
	return &page{w, h, len(background), slices.Repeat(background, w*h)}
}

// row is n pixels from x, y on.
func (p *page) row(x, y, n int) []uint16 {
	i := (y*p.w + x) * p.channels
	return p.pix[i : i+n*p.channels]
}

func (p *page) fill(r image.Rectangle, pixel []uint16) {
	line := slices.Repeat(pixel, r.Dx())
	for y := r.Min.Y; y < r.Max.Y; y++ {
		copy(p.row(r.Min.X, y, r.Dx()), line)
	}
}

// paste puts samples, rows of width pixels, with their upper left corner to at,
// each as scale x scale pixels, and with each channel's codes replaced by those
// of its table.
func (p *page) paste(at image.Point, samples []uint16, width, scale int, tables [][]uint16) {
	line := make([]uint16, 0, width*scale*p.channels)
	for pixels := range slices.Chunk(samples, width*p.channels) {
		line = line[:0]
		for i := 0; i < len(pixels); i += p.channels {
			for range scale {
				for c, table := range tables {
					line = append(line, table[pixels[i+c]])
				}
			}
		}
		for range scale {
			copy(p.row(at.X, at.Y, width*scale), line)
			at.Y++
		}
	}
}

// blend puts ink where the mask covers the page.
func (p *page) blend(mask *image.Alpha, ink []uint16) {
	r := mask.Rect.Intersect(image.Rect(0, 0, p.w, p.h))
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			a := int(mask.AlphaAt(x, y).A)
			pixel := p.row(x, y, 1)
			for c, v := range pixel {
				pixel[c] = uint16((int(v)*(255-a) + int(ink[c])*a) / 255)
			}
		}
	}
}
