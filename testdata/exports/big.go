package exports

import (
	"fmt"
	"image"
	"image/color"
	"io"
	"math"
	"runtime"
	"sync"

	"lampblack/agent/rehearse/scenes"
)

// BigJPEG writes a 3:2 JPEG of about the given megapixels (0.01 to 400), at
// quality 92 and 4:2:0, untagged, for benchmarks: a small scene enlarged, with
// grain in every pixel. 24 megapixels take a few seconds and 120 MB.
func BigJPEG(w io.Writer, megapixels float64, seed uint64) error {
	width, height, err := bigSize(megapixels)
	if err != nil {
		return err
	}
	e, err := newEnlarged(width, height, seed, scenes.Web)
	if err != nil {
		return err
	}
	img := image.NewYCbCr(image.Rect(0, 0, width, height), image.YCbCrSubsampleRatio420)
	e.draw(img)
	return scenes.EncodeJPEG(w, img, scenes.Options{Quality: 92, PPI: 300})
}

// draw fills a picture, on as many goroutines as there are cores.
func (e enlarged) draw(img *image.YCbCr) {
	workers := runtime.GOMAXPROCS(0)
	var wg sync.WaitGroup
	for first := range workers {
		wg.Go(func() {
			row := make([]uint16, 3*e.width)
			for y := first; y < e.height; y += workers {
				e.row(y, row)
				setRow(img, y, row)
			}
		})
	}
	wg.Wait()
}

// setRow converts a row to Y'CbCr; of the chroma, that of the pixels with even
// coordinates is kept.
func setRow(img *image.YCbCr, y int, row []uint16) {
	for x := range len(row) / 3 {
		luma, cb, cr := color.RGBToYCbCr(to8(row[3*x]), to8(row[3*x+1]), to8(row[3*x+2]))
		img.Y[img.YOffset(x, y)] = luma
		if x%2 == 0 && y%2 == 0 {
			at := img.COffset(x, y)
			img.Cb[at], img.Cr[at] = cb, cr
		}
	}
}

// BigTIFF16 writes a 3:2 TIFF of 16 bits a channel in the [scenes.Wide] encoding with
// its profile, of about the given megapixels (0.01 to 400), for benchmarks. Rows
// are made as they are written: only with Deflate is anything but a strip held,
// and that compressed.
func BigTIFF16(w io.Writer, megapixels float64, seed uint64, deflate bool) error {
	width, height, err := bigSize(megapixels)
	if err != nil {
		return err
	}
	e, err := newEnlarged(width, height, seed, scenes.Wide)
	if err != nil {
		return err
	}
	o := scenes.Options{Profile: scenes.Profile(scenes.Wide), PPI: 300, Depth: 16, Deflate: deflate, Quick: true}
	return scenes.EncodeRows(w, width, height, o, e.row)
}

// aspect is the width of a picture in units of its height.
const aspect = 1.5

func bigSize(megapixels float64) (width, height int, err error) {
	if !(megapixels >= 0.01 && megapixels <= 400) {
		return 0, 0, fmt.Errorf("a picture of %g megapixels is not made here, want 0.01 to 400", megapixels)
	}
	h := math.Sqrt(megapixels * 1e6 / aspect)
	return int(math.Round(aspect * h)), int(math.Round(h)), nil
}

// enlarged is a small scene, drawn out to any size by linear interpolation of
// its code values.
type enlarged struct {
	small         *image.NRGBA64
	width, height int
	seed          uint64
}

func newEnlarged(width, height int, seed uint64, k scenes.Kind) (enlarged, error) {
	names := scenes.Names()
	h := min(max(height/4, 16), 320)
	small, err := scenes.Paint(names[seed%uint64(len(names))], h*3/2, h, seed, k)
	return enlarged{small, width, height, seed}, err
}

// row fills one row with 16-bit R, G, B.
func (e enlarged) row(y int, row []uint16) {
	b := e.small.Bounds()
	above, below, ty := between(y, e.height, b.Dy())
	for x := range e.width {
		left, right, tx := between(x, e.width, b.Dx())
		noise := grainAt(x, y, e.seed)
		p, q := e.small.PixOffset(left, above), e.small.PixOffset(right, above)
		r, s := e.small.PixOffset(left, below), e.small.PixOffset(right, below)
		for i := range 3 {
			top := weigh(e.sample(p, i), e.sample(q, i), tx)
			bottom := weigh(e.sample(r, i), e.sample(s, i), tx)
			v := weigh(top, bottom, ty)
			row[3*x+i] = uint16(min(max(v+noise[i]*(v+4096)/65536, 0), 65535))
		}
	}
}

// between finds the two small pixels around large pixel i, and the second one's
// weight of 65536.
func between(i, large, small int) (first, second, weight int) {
	at := (i*(small-1)*65536 + large/2) / max(large-1, 1)
	first = at >> 16
	return first, min(first+1, small-1), at & 0xFFFF
}

func to8(v uint16) uint8 { return uint8((uint32(v)*255 + 32767) / 65535) }

func weigh(a, b, t int) int { return a + (b-a)*t>>16 }

func (e enlarged) sample(offset, channel int) int {
	return int(e.small.Pix[offset+2*channel])<<8 | int(e.small.Pix[offset+2*channel+1])
}

// grainAt is noise of three channels, -3072 to 3072, from one hash; green's is in
// all of them.
func grainAt(x, y int, seed uint64) [3]int {
	h := (uint64(uint32(x))<<32 | uint64(uint32(y))) + (seed+1)*0x9E3779B97F4A7C15
	h = (h ^ h>>30) * 0xBF58476D1CE4E5B9 // mixed as SplitMix64 does
	h = (h ^ h>>27) * 0x94D049BB133111EB
	h ^= h >> 31
	common := (int(h&0xFFF) + int(h>>12&0xFFF)) - 4095
	red, blue := int(h>>24&0x7FF)-1023, int(h>>35&0x7FF)-1023
	return [3]int{common/2 + red, common / 2, common/2 + blue}
}
