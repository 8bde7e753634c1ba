package scenes

import "math"

// harbourNoon is the harbour from the breakwater in full sun: pale sky, painted
// houses, white boats, bright stone.
func harbourNoon(c *canvas, u, v float64) rgb {
	col := noonSky(c, u, v)
	col = noonShore(c, col, u, v)
	col = noonWater(c, col, u, v)
	for _, b := range noonBoats {
		col = noonBoat(c, col, u, v, b)
	}
	return noonBreakwater(c, col, u, v)
}

const noonHorizon = 0.45

func noonSky(c *canvas, u, v float64) rgb {
	t := min(max(v/noonHorizon, 0), 1)
	col := rgb{0.30, 0.50, 0.82}.over(rgb{0.74, 0.86, 0.97}, math.Sqrt(t))
	puff := c.clouds(2.6*u+1, 5.5*v+0.4*u, 6)
	cover := smooth(0.46, 0.66, puff)
	shade := smooth(0.45, 0.8, c.clouds(2.6*u+1.05, 5.5*(v+0.03)+0.4*u, 5))
	return col.over(rgb{1.15, 1.14, 1.12}.over(rgb{0.70, 0.74, 0.80}, shade), 0.92*cover)
}

// noonShore is the hill, the row of houses and the quay below them. It is asked
// for twice: once for itself, once for its reflection.
func noonShore(c *canvas, col rgb, u, v float64) rgb {
	ridge := 0.27 - 0.10*c.clouds(1.6*u+2, 0.3, 4) + 0.05*u
	hill := rgb{0.25, 0.32, 0.22}.over(rgb{0.44, 0.48, 0.36}, smooth(0.3, 0.7, c.clouds(u*38, v*60, 5)))
	hill = hill.over(rgb{0.56, 0.63, 0.68}, 0.35)
	col = col.over(hill, c.edge(v-ridge)*c.edge(noonHorizon+0.02-v))
	for i := range 11 {
		col = noonHouse(c, col, u, v, i)
	}
	quay := rgb{0.62, 0.58, 0.52}.scale(0.8 + 0.35*c.clouds(u*40, v*60, 3))
	return col.over(quay, c.edge(min(v-0.432, noonHorizon+0.01-v)))
}

var noonPaints = [...]rgb{
	{0.80, 0.79, 0.75}, {0.46, 0.085, 0.060}, {0.78, 0.52, 0.17}, {0.82, 0.82, 0.80},
	{0.36, 0.46, 0.52}, {0.52, 0.11, 0.08}, {0.80, 0.74, 0.58},
}

func noonHouse(c *canvas, col rgb, u, v float64, i int) rgb {
	width := 0.125 + 0.03*unit(i, 1, c.seed)
	left := -0.04 + 0.143*float64(i)
	eave := 0.335 + 0.035*unit(i, 2, c.seed)
	middle := left + width/2
	roof := eave - 0.75*(width/2-math.Abs(u-middle))
	front := c.edge(min(v-roof, u-left, left+width-u, noonHorizon-v))
	if front == 0 {
		return col
	}
	wall := noonPaints[(i*3+int(c.seed%7))%len(noonPaints)]
	_, gap := c.boards((u-left)*220, v*8)
	wall = wall.scale((0.92 + 0.12*c.clouds(u*20, v*20, 3)) * (1 - 0.10*gap))
	wall = wall.over(rgb{0.28, 0.13, 0.09}.scale(0.8+0.4*c.noise(u*200, v*90)), c.edge(0.012-(v-roof)))
	wall = wall.scale(1 - 0.4*smooth(0.026, 0.012, v-roof)*smooth(0.008, 0.013, v-roof))
	fx, fy := (u-left)/width*3, (v-eave)/0.045
	x, y := fx-math.Floor(fx), fy-math.Floor(fy)
	frame := smooth(0, 0.08, min(x-0.24, 0.76-x, y-0.14, 0.86-y)) * smooth(-0.05, 0.05, fy)
	glass := smooth(0, 0.08, min(x-0.32, 0.68-x, y-0.22, 0.78-y)) * smooth(-0.05, 0.05, fy)
	wall = wall.over(rgb{0.86, 0.86, 0.84}, frame)
	wall = wall.over(rgb{0.10, 0.13, 0.17}.scale(0.6+1.6*unit(int(fx)+7*i, int(fy), c.seed)), glass)
	return col.over(wall, front)
}

func noonWater(c *canvas, col rgb, u, v float64) rgb {
	depth := v - noonHorizon - 0.01
	if depth < -c.px {
		return col
	}
	depth = max(depth, 0)
	z := 0.1 / (depth + 0.012)
	x := (u - 0.75) * z
	ripple := c.clouds(x*10, z*34, 3) - 0.5
	mirrorV := noonHorizon - 0.9*depth + (0.04+0.35*depth)*ripple
	mirrorU := u + 0.012*(c.noise(x*21, z*50)-0.5)
	mirror := noonShore(c, noonSky(c, mirrorU, mirrorV), mirrorU, mirrorV)
	water := rgb{0.10, 0.21, 0.28}.plus(mirror.scale(0.60))
	glint := smooth(0.80, 0.92, c.noise(x*42, z*120)) * smooth(0.02, 0.3, depth) * smooth(0.9, 0.1, math.Abs(u-0.9))
	water = water.plus(rgb{0.9, 0.9, 0.86}.scale(0.6 * glint))
	return col.over(water, c.edge(v-noonHorizon-0.01))
}

type noonBoatAt struct {
	x, y, size float64
	hull       rgb
}

var noonBoats = [...]noonBoatAt{
	{0.30, 0.515, 0.55, rgb{0.84, 0.85, 0.86}},
	{1.28, 0.535, 0.65, rgb{0.30, 0.42, 0.56}},
	{0.86, 0.60, 1.0, rgb{0.90, 0.90, 0.88}},
}

func noonBoat(c *canvas, col rgb, u, v float64, b noonBoatAt) rgb {
	x, y := (u-b.x)/b.size, (v-b.y)/b.size
	if math.Abs(x) > 0.3 || y < -0.4 || y > 0.4 {
		return col
	}
	wobble := 0.02 * (c.noise(u*14, v*170) - 0.5)
	below := boatShape(c, x+wobble, -y*0.9+wobble) * c.edge(y)
	col = col.over(b.hull.scale(0.45).plus(rgb{0.04, 0.09, 0.12}), 0.62*below)
	paint := b.hull.scale(1 - 0.35*smooth(-0.05, 0.01, y) - 0.2*smooth(0.1, 0.2, math.Abs(x)))
	paint = paint.over(rgb{0.50, 0.09, 0.06}, c.edge(0.006-math.Abs(y+0.003)))
	paint = paint.over(rgb{0.60, 0.44, 0.24}, c.edge(0.004-math.Abs(y+0.056+0.35*x*x)))
	paint = paint.over(rgb{0.62, 0.46, 0.27}, c.edge(0.004-math.Abs(x+0.05))*c.edge(-0.065-y))
	for _, w := range [...]float64{0.032, 0.055, 0.078} {
		paint = paint.over(rgb{0.12, 0.15, 0.18}, c.box(x, y, w-0.008, -0.108, w+0.008, -0.088))
	}
	return col.over(paint, boatShape(c, x, y)*c.edge(-y+0.012))
}

// noonBreakwater is the pale stone underfoot, with a coil of rope.
func noonBreakwater(c *canvas, col rgb, u, v float64) rgb {
	inside := v - (0.80 - 0.06*(u-0.2) + 0.006*c.clouds(u*9, 1, 3))
	if inside < -c.px {
		return col
	}
	z := 0.4 / (v - noonHorizon)
	x := (u - 0.75) * z
	tone, joint := c.blocks(x*5, z*9)
	stone := rgb{0.74, 0.70, 0.63}.scale(0.74 + 0.26*tone + 0.30*(c.clouds(x*16, z*16, 5)-0.5))
	stone = stone.scale(1 - 0.55*joint)
	r := math.Hypot(u-1.17, (v-0.905)*2.3)
	shadow := smooth(0.13, 0.10, math.Hypot(u-1.185, (v-0.914)*2.3))
	stone = stone.by(rgb{1, 1, 1}.over(rgb{0.34, 0.38, 0.46}, shadow))
	turn := 0.5 + 0.5*math.Cos(r*420)
	lay := 0.8 + 0.3*c.noise(math.Atan2(v-0.905, u-1.17)*40, r*60)
	rope := rgb{0.66, 0.52, 0.33}.scale((0.25 + 0.75*turn) * lay)
	stone = stone.over(rope, c.edge(min(0.112-r, r-0.022)))
	return col.over(stone, c.edge(inside))
}
