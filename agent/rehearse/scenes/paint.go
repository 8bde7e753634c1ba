package scenes

import "math"

// aspect is the width of every scene in units of its height: u runs from 0 to
// aspect, v from 0 at the top to 1.
const aspect = 1.5

// rgb is linear light, red, green, blue.
type rgb [3]float64

func (a rgb) scale(s float64) rgb { return rgb{a[0] * s, a[1] * s, a[2] * s} }
func (a rgb) plus(b rgb) rgb      { return rgb{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a rgb) by(b rgb) rgb        { return rgb{a[0] * b[0], a[1] * b[1], a[2] * b[2]} }

// over lays b over a, with coverage t of 0..1.
func (a rgb) over(b rgb, t float64) rgb {
	return rgb{a[0] + (b[0]-a[0])*t, a[1] + (b[1]-a[1])*t, a[2] + (b[2]-a[2])*t}
}

// A canvas is what a painter knows of the picture: the seed of its textures, and
// the height of a pixel, over which edges are softened.
type canvas struct {
	seed uint64
	px   float64
}

// edge is the coverage at a signed distance d into a shape.
func (c *canvas) edge(d float64) float64 { return smooth(-c.px, c.px, d) }

// box is the coverage of an upright rectangle.
func (c *canvas) box(u, v, left, top, right, bottom float64) float64 {
	return c.edge(min(u-left, right-u, v-top, bottom-v))
}

// oval is the coverage of an ellipse around the origin.
func (c *canvas) oval(x, y, rx, ry float64) float64 {
	r := math.Hypot(x/rx, y/ry)
	return c.edge((1 - r) * min(rx, ry))
}

// noise is smooth value noise of 0..1, with one lattice cell a unit.
func (c *canvas) noise(x, y float64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	ix, iy := int(fx), int(fy)
	tx, ty := fade(x-fx), fade(y-fy)
	top := mix(unit(ix, iy, c.seed), unit(ix+1, iy, c.seed), tx)
	bottom := mix(unit(ix, iy+1, c.seed), unit(ix+1, iy+1, c.seed), tx)
	return mix(top, bottom, ty)
}

// clouds is noise summed over octaves, each half as strong and twice as fine;
// 0..1, mostly near a half.
func (c *canvas) clouds(x, y float64, octaves int) float64 {
	sum, weight, total := 0.0, 1.0, 0.0
	for i := range octaves {
		sum += weight * c.noise(x+17*float64(i), y-31*float64(i))
		total += weight
		weight /= 2
		x, y = 2*x, 2*y
	}
	return sum / total
}

// blocks is a wall or pavement of courses one unit high and two wide: a tone of
// 0..1 for each block, and how deep in a joint the point is, 0..1.
func (c *canvas) blocks(x, y float64) (tone, joint float64) {
	row := math.Floor(y)
	x = x/2 + 0.37*row + 0.3*unit(int(row), 7, c.seed)
	column := math.Floor(x)
	tone = unit(int(column), int(row), c.seed+11)
	fx, fy := x-column, y-row
	nearest := min(2*fx, 2*(1-fx), fy, 1-fy)
	return tone, 1 - smooth(0.02, 0.09, nearest+0.04*(c.noise(6*x, 3*y)-0.5))
}

// boards is a row of planks one unit wide along y: a grain of 0..1 and the gap.
func (c *canvas) boards(x, y float64) (tone, gap float64) {
	board := math.Floor(x)
	fx := x - board
	own := unit(int(board), 3, c.seed+5)
	wave := c.noise(3*x, 0.5*y+40*own)
	tone = 0.45*own + 0.55*c.clouds(9*x+5*wave, 0.7*y+60*own, 3)
	return tone, 1 - smooth(0.01, 0.06, min(fx, 1-fx))
}

func mix(a, b, t float64) float64 { return a + (b-a)*t }

func fade(t float64) float64 { return t * t * (3 - 2*t) }

// smooth rises from 0 at a to 1 at b.
func smooth(a, b, x float64) float64 { return fade(min(max((x-a)/(b-a), 0), 1)) }

// glow is a bell of height 1 and width r.
func glow(x, y, r float64) float64 { return math.Exp(-(x*x + y*y) / (r * r)) }

// hash mixes a lattice point and a seed into 64 bits that look random.
func hash(x, y int, seed uint64) uint64 {
	h := seed + uint64(uint32(x))*0x9E3779B97F4A7C15 + uint64(uint32(y))*0xC2B2AE3D27D4EB4F
	h ^= h >> 32
	h *= 0xD6E8FEB86659FD93
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	return h ^ h>>32
}

// unit is a hash as a number of 0..1.
func unit(x, y int, seed uint64) float64 { return float64(hash(x, y, seed)>>11) / (1 << 53) }

// bell is a hash with nearly a normal distribution, mean 0 and variance 1: the
// sum of its four 16-bit parts.
func bell(x, y int, seed uint64) float64 {
	h := hash(x, y, seed)
	sum := int(h&0xFFFF) + int(h>>16&0xFFFF) + int(h>>32&0xFFFF) + int(h>>48) - 2*65535
	return float64(sum) * (1.7320508 / 65536)
}
