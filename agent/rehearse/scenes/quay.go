package scenes

import "math"

// quayAtDusk looks along the harbour after sunset: the sky is bright, the quay
// and the houses lie in their own shadow, one lamp is lit.
func quayAtDusk(c *canvas, u, v float64) rgb {
	col := duskSky(c, u, v)
	col = duskHills(c, col, u, v)
	col = duskWater(c, col, u, v)
	col = duskWharf(c, col, u, v)
	col = duskBoat(c, col, u, v)
	col = duskHouses(c, col, u, v)
	col = duskPavement(c, col, u, v)
	return duskPeople(c, col, u, v)
}

const duskHorizon = 0.42

func duskSky(c *canvas, u, v float64) rgb {
	t := min(max(v/duskHorizon, 0), 1)
	col := rgb{0.05, 0.10, 0.22}.over(rgb{0.42, 0.33, 0.36}, smooth(0, 0.85, t))
	col = col.over(rgb{0.95, 0.52, 0.22}, smooth(0.55, 1.05, t)*(0.35+0.65*glow(u-1.15, 0, 0.75)))
	bank := smooth(0.48, 0.72, c.clouds(2.2*u+3*v, 9*v+0.6*u, 5))
	lit := rgb{0.16, 0.13, 0.19}.over(rgb{0.85, 0.36, 0.20}, smooth(0.3, 1, t)*glow(u-1.1, 0, 0.9))
	return col.over(lit, 0.75*bank)
}

func duskHills(c *canvas, col rgb, u, v float64) rgb {
	far := duskHorizon - 0.035 - 0.06*c.clouds(2.1*u+5, 0.5, 4)
	col = col.over(rgb{0.16, 0.13, 0.17}, c.edge(v-far))
	near := duskHorizon - 0.055*c.clouds(3*u+9, 3.5, 5)*smooth(1.6, 0.4, u)
	return col.over(rgb{0.055, 0.05, 0.07}, c.edge(v-near))
}

func duskWater(c *canvas, col rgb, u, v float64) rgb {
	depth := v - duskHorizon
	if depth < -c.px {
		return col
	}
	z := 0.08 / (max(depth, 0) + 0.006)
	x := (u - 0.75) * z
	ripple := c.clouds(x*9, z*26, 3) - 0.5
	mirror := duskSky(c, u+0.25*ripple, duskHorizon-max(depth, 0)*0.8+0.22*ripple)
	water := rgb{0.012, 0.022, 0.035}.plus(mirror.scale(0.62 * math.Exp(-1.2*max(depth, 0))))
	return col.over(water, c.edge(depth))
}

// duskBoat is a fishing boat at her mooring, with her reflection.
func duskBoat(c *canvas, col rgb, u, v float64) rgb {
	const waterline = 0.535
	x, y := u-1.18, v-waterline
	wobble := 0.012 * (c.noise(u*9, v*140) - 0.5)
	reflected := boatShape(c, x+wobble, -y*0.8+wobble)
	col = col.over(rgb{0.020, 0.022, 0.028}, 0.8*reflected*c.edge(y))
	hull := rgb{0.016, 0.020, 0.030}.scale(0.6 + 0.8*c.clouds(u*20, v*50, 3))
	hull = hull.over(rgb{0.20, 0.10, 0.06}, c.edge(0.008-math.Abs(y+0.055-0.25*x*x))*0.7)
	col = col.over(hull, boatShape(c, x, y)*c.edge(-y))
	return col.over(rgb{0.9, 0.6, 0.3}, 0.8*c.box(x, y, 0.035, -0.105, 0.06, -0.087))
}

// boatShape is the side view of hull, wheelhouse, mast and stays; y is 0 at the
// waterline and grows downwards.
func boatShape(c *canvas, x, y float64) float64 {
	sheer := -0.06 - 0.35*x*x
	hull := c.edge(min(y-sheer, 0.012-y, 0.20-math.Abs(x)-0.5*max(0, y+0.05)))
	house := c.box(x, y, 0.01, -0.12, 0.10, -0.04)
	mast := c.edge(min(0.003-math.Abs(x+0.05), y+0.30, -y))
	boom := c.edge(min(0.002-math.Abs(y+0.13-0.4*(x+0.05)), x+0.05, 0.07-x))
	stay := c.edge(0.0008-math.Abs(y+0.30-1.6*math.Abs(x+0.05))) * c.edge(-0.06-y)
	return min(1, max(hull, house, mast, boom, 0.6*stay))
}

// duskQuayside is where the houses stand.
const duskQuayside = 0.515

// duskWharf is the old wall under the houses; below it, it and they darken the
// water, and their windows lie on it in streaks.
func duskWharf(c *canvas, col rgb, u, v float64) rgb {
	below := v - duskQuayside
	if below < -c.px {
		return col
	}
	end := 0.60 + 0.012*(c.noise(u*12, v*150)-0.5) - 0.35*max(0, below-0.035)
	dark := rgb{0.010, 0.011, 0.015}.scale(0.6 + 0.9*c.clouds(u*8, v*90, 3))
	col = col.over(dark, 0.93*smooth(-0.012, 0.012, end-u)*c.edge(below))
	for _, lit := range [...]float64{0.19, 0.375, 0.50} {
		streak := glow(u-lit-0.006*(c.noise(3, v*120)-0.5), 0, 0.009) * smooth(0.30, 0.7, c.noise(u*10, v*130))
		col = col.plus(rgb{0.26, 0.13, 0.04}.scale(streak * c.edge(below-0.035) * smooth(0.17, 0.03, below)))
	}
	tone, joint := c.blocks(u*50, v*70)
	wall := rgb{0.016, 0.014, 0.014}.scale((0.5 + tone) * (1 - 0.6*joint))
	return col.over(wall, c.edge(min(below, 0.035-below, 0.605-u)))
}

// duskHouses are four gabled fronts along the left, in shade but for windows.
func duskHouses(c *canvas, col rgb, u, v float64) rgb {
	walls := [...]struct {
		left, right, eave float64
		paint             rgb
	}{
		{-0.12, 0.16, 0.16, rgb{0.030, 0.013, 0.010}},
		{0.165, 0.33, 0.235, rgb{0.028, 0.026, 0.024}},
		{0.335, 0.46, 0.285, rgb{0.026, 0.020, 0.009}},
		{0.465, 0.56, 0.33, rgb{0.020, 0.019, 0.023}},
	}
	for i, w := range walls {
		middle, half := (w.left+w.right)/2, (w.right-w.left)/2
		roof := w.eave - 0.75*(half-math.Abs(u-middle))
		front := c.edge(min(v-roof, u-w.left, w.right-u, duskQuayside-v))
		if front == 0 {
			continue
		}
		_, gap := c.boards((u-w.left)*90/(1+0.4*float64(i)), v*20)
		wall := w.paint.scale((0.7 + 0.7*c.clouds(u*30, v*12, 4)) * (1 - 0.4*gap))
		wall = wall.over(rgb{0.05, 0.045, 0.05}, 0.5*c.edge(0.006-(v-roof)))
		wall = duskWindows(c, wall, (u-w.left)/(2*half), (v-w.eave)/half, i)
		col = col.over(wall, front)
	}
	return col
}

// duskWindows puts two storeys of windows into a front; x is 0..1 across it.
func duskWindows(c *canvas, wall rgb, x, y float64, house int) rgb {
	column, storey := math.Floor(x*3), math.Floor(y/0.75)
	if storey < 0 || storey > 2 || x < 0 || x > 1 {
		return wall
	}
	fx, fy := x*3-column, y/0.75-storey
	pane := smooth(0.0, 0.04, min(fx-0.28, 0.72-fx, fy-0.22, 0.80-fy))
	bar := smooth(0.03, 0.01, min(math.Abs(fx-0.5), math.Abs(fy-0.45)))
	glass := rgb{0.035, 0.042, 0.06}
	if unit(int(column)+10*house, int(storey), c.seed+77) > 0.68 {
		glass = rgb{0.80, 0.42, 0.13}.scale(0.5 + 0.8*c.noise(fx*3+column, fy*3))
	}
	return wall.over(glass, pane*(1-0.8*bar))
}

// duskPavement is the quay: granite setts, worn wet, and a timber edge.
func duskPavement(c *canvas, col rgb, u, v float64) rgb {
	inside := v - (0.555 + 0.27*u)
	if inside < -0.02 {
		return col
	}
	z := 0.30 / (v - duskHorizon)
	x := (u - 0.35) * z
	tone, joint := c.blocks(x*15, z*16)
	fine := 1 / (1 + 0.5*z*z)
	worn := c.clouds(x*4, z*4, 4)
	stone := rgb{0.021, 0.020, 0.024}.scale(0.55 + 0.7*tone*fine + 0.5*worn)
	stone = stone.scale(1 - 0.75*joint*fine)
	wet := smooth(0.5, 0.68, worn) * (1 - 0.6*joint)
	stone = stone.plus(duskSky(c, u, 0.25).scale(0.08 * wet))
	lamp := lampLight(u, v, z)
	stone = stone.plus(rgb{0.34, 0.18, 0.06}.scale(lamp * (0.45 + 0.6*tone) * (1 - 0.7*joint*fine)))

	grain, gap := c.boards((inside)*60, u*14)
	timber := rgb{0.034, 0.026, 0.021}.scale((0.5 + 1.1*grain) * (1 - 0.7*gap))
	stone = stone.over(timber, c.edge(0.045-inside))
	col = col.over(rgb{0.006, 0.006, 0.008}, c.edge(inside+0.018))
	return col.over(stone, c.edge(inside))
}

func lampLight(u, v, z float64) float64 {
	dx, dz := (u-0.60)*z*1.1, (z-1.05)*1.3
	return 0.55 / (1 + 9*(dx*dx+dz*dz)) * smooth(2.6, 1.2, z)
}

// duskPeople stand by the lamp; bollards follow the edge.
func duskPeople(c *canvas, col rgb, u, v float64) rgb {
	for _, b := range [...][3]float64{{0.42, 0.69, 0.6}, {0.84, 0.81, 0.9}, {1.33, 0.955, 1.3}} {
		x, y := (u-b[0])/b[2], (v-b[1])/b[2]
		post := max(c.box(x, y, -0.018, -0.07, 0.018, 0.0), c.oval(x, y+0.07, 0.026, 0.014), c.oval(x, y, 0.024, 0.008))
		iron := rgb{0.008, 0.008, 0.010}.over(rgb{0.10, 0.07, 0.06}, glow(x-0.012, y+0.05, 0.016))
		col = col.over(iron, post)
	}
	post := c.edge(min(0.0035-math.Abs(u-0.60), v-0.29, 0.735-v))
	col = col.over(rgb{0.012, 0.011, 0.011}, post)
	col = duskFigure(c, col, (u-0.655)/0.9, (v-0.765)/0.9, rgb{0.012, 0.014, 0.022})
	col = duskFigure(c, col, (u-0.70)/0.84, (v-0.76)/0.84, rgb{0.030, 0.012, 0.010})
	lantern := c.oval(u-0.60, v-0.285, 0.011, 0.017)
	halo := 0.35*glow(u-0.60, v-0.285, 0.05) + 0.10*glow(u-0.60, v-0.285, 0.16)
	return col.over(rgb{2.2, 1.5, 0.8}, lantern).plus(rgb{1, 0.62, 0.25}.scale(halo))
}

// duskFigure is a person from behind in a long coat, feet at the origin.
func duskFigure(c *canvas, col rgb, x, y float64, coat rgb) rgb {
	width := 0.021 + 0.008*smooth(-0.15, -0.03, y) - 0.012*smooth(-0.155, -0.172, y)
	body := c.edge(min(width-math.Abs(x), y+0.175, -0.028-y))
	legs := c.edge(min(0.007-math.Abs(math.Abs(x)-0.011), y+0.05, -y))
	head := c.oval(x, y+0.193, 0.0125, 0.0165)
	shadow := glow(x*0.5-0.012, y*2.2, 0.022)
	col = col.scale(1 - 0.75*shadow*smooth(-0.02, 0.01, y+0.012))
	cloth := coat.scale(0.6 + 0.9*c.clouds(x*70, y*25, 3))
	cloth = cloth.plus(rgb{0.075, 0.040, 0.015}.scale(smooth(-0.010, -0.03, x)))
	col = col.over(cloth, max(body, legs))
	skin := rgb{0.03, 0.02, 0.016}.over(rgb{0.30, 0.16, 0.08}, smooth(-0.002, -0.011, x))
	return col.over(skin, head)
}
