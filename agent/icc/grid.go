package icc

import (
	"math"
	"sort"

	"lampblack/rules/colour"
)

// The nodes along each side of a grid.
const (
	gridOfRGB  = 33
	gridOfCMYK = 17
)

// codeMax is the largest code of a sample of 16 bits.
const codeMax = 65535

// A place along a channel is the number of the node below it, and above that a
// fraction of the way to the next in so many bits.
const (
	placeBits = 16
	oneNode   = 1 << placeBits
)

// Grid is a colour transform sampled for millions of pixels. Along each channel
// its nodes are denser where the colour changes faster; between the nodes it is
// straight within each simplex (in RGB: tetrahedron) from the lower corner to
// the upper. What is straight is L*, which device values are closer to than they
// are to Y. Against the profiles of papers and presses it is right to half a ΔE.
//
// A pixel goes through it in three steps: the places of its codes ([Grid.Places]),
// the corners around them, and what these are wanted for, so that a pixel whose
// colour nobody looks at costs its luminance alone.
type Grid struct {
	at     [MostChannels][]uint32 // place of each code along each channel
	stride [MostChannels]uint32   // between neighbours along each channel
	light  []uint16               // L* of each node, codeMax = 100
	lab    [][3]float32           // L*, a*, b* of each node
	y      []int32                // luminance by L*, in the caller's unit
}

// NewGrid samples a profile's ToLab for pixels of 3 or 4 channels, the samples of
// which are codes from 0 to codes − 1, at most 65,535. white is the integer that
// stands for Y = 1 in what [Grid.Luminance] gives.
func NewGrid(lab func(Values) colour.Lab, channels, codes int, white int32) *Grid {
	side := uint32(gridOfRGB)
	if channels == 4 {
		side = gridOfCMYK
	}
	g, nodes := &Grid{}, uint32(1)
	var device [MostChannels][]float64
	for c := channels - 1; c >= 0; c-- {
		g.stride[c] = nodes
		nodes *= side
		w := newWarp(lab, c, channels)
		g.at[c] = make([]uint32, codes)
		for code := range codes {
			g.at[c][code] = uint32(w.place(float64(code)/float64(codes-1))*float64((side-1)*oneNode) + 0.5)
		}
		for i := range side {
			device[c] = append(device[c], w.device(float64(i)/float64(side-1)))
		}
	}
	// At the upper end of a channel the neighbour beyond has no weight but a place.
	room := nodes
	for _, stride := range g.stride {
		room += stride
	}
	g.light, g.lab = make([]uint16, room), make([][3]float32, room)
	for i := range nodes {
		var v Values
		for c := range channels {
			v[c] = device[c][i/g.stride[c]%side]
		}
		g.set(i, lab(v))
	}
	g.y = make([]int32, codeMax+1)
	for i := range g.y {
		g.y[i] = int32(float64(white)*colour.FromLightness(100*float64(i)/codeMax) + 0.5)
	}
	return g
}

// Places is the place of each code along a channel, 0 to channels − 1.
func (g *Grid) Places(channel int) []uint32 { return g.at[channel] }

// set puts a colour into a node, within what a surface or screen can have.
func (g *Grid) set(node uint32, lab colour.Lab) {
	const most = 300
	l := min(max(lab.L, 0), 100)
	g.light[node] = uint16(l/100*codeMax + 0.5)
	g.lab[node] = [3]float32{
		float32(l), float32(min(max(lab.A, -most), most)), float32(min(max(lab.B, -most), most)),
	}
}

// warp is the place, 0..1, of device values at equal steps: half of it is the
// value itself, half how far the colour has come, in ΔE, on the way from none of
// the channel to all of it.
type warp [257]float64

func newWarp(lab func(Values) colour.Lab, channel, channels int) *warp {
	w := new(warp)
	last := float64(len(w) - 1)
	at := func(i int) colour.Lab {
		var v Values
		for c := range channels {
			// Light adds up along the neutrals; inks are looked at one by one.
			if c == channel || channels == 3 {
				v[c] = float64(i) / last
			}
		}
		return lab(v)
	}
	before := at(0)
	for i := range w[1:] {
		here := at(i + 1)
		w[i+1] = w[i] + math.Sqrt(square(here.L-before.L)+square(here.A-before.A)+square(here.B-before.B))
		before = here
	}
	whole := max(w[len(w)-1], 1e-9)
	for i := range w {
		w[i] = (float64(i)/last + w[i]/whole) / 2
	}
	w[len(w)-1] = 1
	return w
}

func square(v float64) float64 { return v * v }

func (w *warp) place(device float64) float64 {
	x := device * float64(len(w)-1)
	i := min(int(x), len(w)-2)
	return w[i] + (x-float64(i))*(w[i+1]-w[i])
}

// device undoes place.
func (w *warp) device(place float64) float64 {
	i := max(sort.SearchFloat64s(w[:], place), 1)
	return (float64(i-1) + (place-w[i-1])/(w[i]-w[i-1])) / float64(len(w)-1)
}

// Corners are the nodes around a colour and their weights, which add up to
// oneNode. In RGB the last has none.
type Corners struct{ node, weight [MostChannels + 1]uint32 }

// Around3 finds the four nodes around R, G, B, given as places.
func (g *Grid) Around3(r, green, b uint32) Corners {
	s, t, u := g.stride[0], g.stride[1], g.stride[2]
	base := r>>placeBits*s + green>>placeBits*t + b>>placeBits*u
	r, green, b = r%oneNode, green%oneNode, b%oneNode
	if r < green {
		r, green, s, t = green, r, t, s
	}
	if green < b {
		green, b, t, u = b, green, u, t
	}
	if r < green {
		r, green, s, t = green, r, t, s
	}
	return Corners{
		[...]uint32{base, base + s, base + s + t, base + s + t + u, 0},
		[...]uint32{oneNode - r, r - green, green - b, b, 0},
	}
}

// Around4 finds the five nodes around C, M, Y, K, given as places.
func (g *Grid) Around4(c, m, y, k uint32) Corners {
	s, t, u, v := g.stride[0], g.stride[1], g.stride[2], g.stride[3]
	base := c>>placeBits*s + m>>placeBits*t + y>>placeBits*u + k>>placeBits*v
	c, m, y, k = c%oneNode, m%oneNode, y%oneNode, k%oneNode
	if c < m {
		c, m, s, t = m, c, t, s
	}
	if y < k {
		y, k, u, v = k, y, v, u
	}
	if c < y {
		c, y, s, u = y, c, u, s
	}
	if m < k {
		m, k, t, v = k, m, v, t
	}
	if m < y {
		m, y, t, u = y, m, u, t
	}
	return Corners{
		[...]uint32{base, base + s, base + s + t, base + s + t + u, base + s + t + u + v},
		[...]uint32{oneNode - c, c - m, m - y, y - k, k},
	}
}

// Luminance is Y within the corners, 0 to the white of [NewGrid].
func (g *Grid) Luminance(c *Corners) int32 {
	sum := uint32(oneNode / 2)
	for i, node := range c.node {
		sum += c.weight[i] * uint32(g.light[node])
	}
	return g.y[sum>>placeBits]
}

// Colour is L*a*b* within the corners, relative to the medium's white.
func (g *Grid) Colour(c *Corners) colour.Lab {
	var lab colour.Lab
	for i, at := range c.node {
		weight, node := float64(c.weight[i])/oneNode, &g.lab[at]
		lab.L += weight * float64(node[0])
		lab.A += weight * float64(node[1])
		lab.B += weight * float64(node[2])
	}
	return lab
}
