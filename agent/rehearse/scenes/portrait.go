package scenes

import "math"

// portrait is one of the two of Tidemark by the studio's window, which is out of
// focus; its light falls from the left and leaves half of the face in shade.
func portrait(c *canvas, u, v float64) rgb {
	col := portraitWall(c, u, v)
	col = portraitWindow(c, col, u, v)
	col = portraitTorso(c, col, u, v)
	return portraitHead(c, col, u-0.93, v-0.40)
}

func portraitWall(c *canvas, u, v float64) rgb {
	fall := 0.16 + 0.62*math.Exp(-1.5*u) + 0.05*(c.clouds(u*3, v*3, 4)-0.5)
	wall := rgb{0.60, 0.58, 0.50}.scale(fall)
	frame := smooth(0, 0.02, min(u-1.20, 1.44-u, v-0.12, 0.44-v))
	print := smooth(0, 0.02, min(u-1.245, 1.395-u, v-0.165, 0.395-v))
	wall = wall.over(rgb{0.045, 0.03, 0.02}, frame)
	wall = wall.over(rgb{0.20, 0.20, 0.19}, smooth(0, 0.02, min(u-1.22, 1.42-u, v-0.14, 0.42-v)))
	sea := rgb{0.09, 0.11, 0.13}.over(rgb{0.03, 0.04, 0.05}, smooth(0.27, 0.31, v))
	return wall.over(sea, print)
}

// portraitWindow is two by three panes with the harbour behind them, blurred.
func portraitWindow(c *canvas, col rgb, u, v float64) rgb {
	const soft = 0.018
	opening := smooth(-soft, soft, min(u-0.05, 0.50-u, v-0.04, 0.76-v))
	outside := rgb{0.95, 1.02, 1.10}.over(rgb{0.50, 0.56, 0.58}, smooth(0.40, 0.62, v))
	outside = outside.over(rgb{0.38, 0.17, 0.12}, 0.7*smooth(0.05, -0.03, math.Hypot(u-0.17, (v-0.46)*1.3)-0.07))
	outside = outside.over(rgb{0.25, 0.30, 0.22}, 0.6*smooth(0.05, -0.03, math.Hypot((u-0.36)*0.6, v-0.50)-0.06))
	bars := min(math.Abs(u-0.275), math.Abs(v-0.28), math.Abs(v-0.52))
	outside = outside.over(rgb{0.32, 0.31, 0.29}, smooth(0.026, 0.006, bars))
	sill := smooth(-soft, soft, min(u-0.0, 0.55-u, v-0.76, 0.81-v))
	col = col.over(rgb{0.62, 0.61, 0.57}, smooth(-soft, soft, min(u-0.02, 0.53-u, v-0.01, 0.79-v)))
	col = col.over(outside, opening)
	return col.over(rgb{0.82, 0.80, 0.75}, sill)
}

// portraitTorso wears a ribbed jersey of dark blue wool.
func portraitTorso(c *canvas, col rgb, u, v float64) rgb {
	x := u - 0.95
	slope := math.Abs(x)
	shoulder := 0.695 + 0.22*slope + 1.6*max(0, slope-0.24)*max(0, slope-0.24)*6
	body := c.edge((min(v-shoulder, 0.43-slope+0.1*(v-0.7)) + 0.004*(c.noise(u*60, v*60)-0.5)) * 0.7)
	turn := 0.55 - 1.25*x + 0.25*(c.clouds(u*5+2*v, v*6, 3)-0.5)
	fold := 0.8 + 0.4*c.clouds(u*7-v*4, v*3, 3)
	rib := 0.5 + 0.5*math.Sin(x*260+4*c.noise(u*8, v*8))
	stitch := 0.6 + 0.25*rib + 0.35*c.noise(u*160, v*240)
	wool := rgb{0.060, 0.085, 0.125}.scale(stitch * fold * (0.12 + 1.15*min(max(turn, 0), 1.1)))
	col = col.over(wool, body)
	col = portraitNeck(c, col, x, v)
	collar := smooth(1.04, 0.98, math.Pow(slope/0.128, 4)+math.Pow((v-0.672-0.025*math.Cos(x*12))/0.045, 4))
	roll := wool.scale(1.15 * (0.75 + 0.5*math.Sin(x*330)*0.3))
	return col.over(roll, collar)
}

func portraitNeck(c *canvas, col rgb, x, v float64) rgb {
	neck := c.edge((0.080 + 0.022*smooth(0.60, 0.72, v) - math.Abs(x)) * 0.7)
	neck *= c.edge(min(v-0.50, 0.715-v))
	lit := min(max(0.55-7*x, 0.05), 1) * (0.35 + 0.65*smooth(0.56, 0.66, v+0.5*x))
	return col.over(skin(lit*0.75), neck)
}

// skin is a fair skin under a share of the window's light; its own shade is red.
func skin(lit float64) rgb {
	shade := rgb{0.088, 0.044, 0.030}
	return shade.plus(rgb{0.60, 0.365, 0.262}.scale(lit))
}

// portraitHead is an ellipsoid under the window's light, with its features;
// x, y are from its middle.
func portraitHead(c *canvas, col rgb, x, y float64) rgb {
	col = portraitHair(c, col, x, y, false)
	jaw := 0.132 - 0.7*max(0, y-0.02)*max(0, y-0.02)
	nx, ny := x/jaw, y/0.192
	face := c.edge((1 - math.Hypot(nx, ny)) * 0.12)
	if face > 0 {
		nz := math.Sqrt(max(0, 1-nx*nx-ny*ny))
		lit := (-0.80*nx - 0.22*ny + 0.52*nz + 0.12) / 1.12
		lit = max(0, lit) * (0.96 + 0.10*(c.clouds(x*40, y*40, 4)-0.5))
		lit += portraitRelief(x+0.012, y)
		flesh := skin(min(max(lit, 0), 1.05))
		flesh = flesh.by(rgb{1, 1, 1}.over(rgb{1.06, 0.84, 0.80}, 0.8*glow(x+0.075, y-0.055, 0.045)+0.5*glow(x-0.055, y-0.055, 0.04)))
		col = col.over(portraitFeatures(c, flesh, x+0.012, y), face)
	}
	return portraitHair(c, col, x, y, true)
}

// portraitRelief adds what sockets, nose, lips and chin do to the light.
func portraitRelief(x, y float64) float64 {
	sockets := 0.24*glow(x+0.052, (y+0.028)*1.5, 0.034) + 0.20*glow(x-0.048, (y+0.028)*1.5, 0.034)
	ridge := smooth(-0.06, 0.045, y) * smooth(0.075, 0.05, y)
	nose := ridge * (0.20*glow(x+0.016, 0, 0.012) - 0.28*glow(x-0.017, 0, 0.013))
	under := 0.30*glow(x*0.7-0.006, (y-0.071)*1.8, 0.017) + 0.16*glow(x*0.6, (y-0.133)*1.6, 0.016)
	chin := 0.12*glow(x+0.015, y-0.152, 0.024) + 0.10*glow(x+0.06, y-0.035, 0.03)
	brow := 0.10 * glow((x+0.05)*0.7, (y+0.078)*1.6, 0.03)
	return nose + chin + brow - sockets - under
}

func portraitFeatures(c *canvas, flesh rgb, x, y float64) rgb {
	for _, e := range [...]struct{ x, lit float64 }{{-0.053, 1}, {0.047, 0.34}} {
		ex, ey := x-e.x, y+0.022
		lid := 0.0115 * (1 - (ex/0.026)*(ex/0.026))
		open := smooth(-0.003, 0.002, min(lid*0.8+ey, lid*0.62-ey))
		white := rgb{0.42, 0.37, 0.34}.scale(e.lit)
		white = white.over(rgb{0.060, 0.075, 0.080}.scale(e.lit), smooth(0.0105, 0.008, math.Hypot(ex+0.004, ey)))
		white = white.over(rgb{0.006, 0.005, 0.005}, smooth(0.006, 0.004, math.Hypot(ex+0.004, ey)))
		white = white.over(rgb{0.9, 0.95, 1}, e.lit*glow(ex+0.008, ey+0.004, 0.0024))
		flesh = flesh.over(white, open)
		lash := smooth(0.0042, 0.001, math.Abs(ey+lid*0.8)) * smooth(0.030, 0.022, math.Abs(ex))
		crease := smooth(0.003, 0.001, math.Abs(ey+0.011+lid*0.7)) * smooth(0.030, 0.018, math.Abs(ex))
		flesh = flesh.over(rgb{0.020, 0.012, 0.010}, 0.85*lash).scale(1 - 0.35*crease)
		arch := ey + 0.041 - 5*(ex-0.004)*(ex-0.004)
		hair := smooth(0.0085, 0.003, math.Abs(arch)) * smooth(0.040, 0.022, math.Abs(ex))
		flesh = flesh.over(rgb{0.035, 0.021, 0.014}, hair*(0.5+0.45*c.noise(x*260, y*420)))
	}
	nostril := 0.7*glow(x+0.012, (y-0.066)*1.6, 0.006) + 0.7*glow(x-0.012, (y-0.066)*1.6, 0.006)
	flesh = flesh.scale(1 - nostril)
	return portraitMouth(flesh, x, y-0.105)
}

func portraitMouth(flesh rgb, x, y float64) rgb {
	width := 1 - (x/0.045)*(x/0.045)
	bow := 0.010*width + 0.002*math.Cos(x*110)
	lips := smooth(-0.003, 0.003, min(y+bow, 0.014*width-y))
	flesh = flesh.by(rgb{1, 1, 1}.over(rgb{0.80, 0.46, 0.45}, lips))
	flesh = flesh.scale(1 + 0.22*glow(x+0.008, y-0.006, 0.008))
	line := smooth(0.0026, 0.0008, math.Abs(y-0.0015*math.Cos(x*90))) * smooth(0.047, 0.036, math.Abs(x))
	return flesh.scale(1 - 0.65*line)
}

// portraitHair is drawn in two layers, behind the face and over its temples.
func portraitHair(c *canvas, col rgb, x, y float64, front bool) rgb {
	ragged := 0.012 * (c.clouds(x*60, y*18, 3) - 0.5)
	around := math.Hypot(x/0.158, (y+0.03)/0.205)
	cover := c.edge((1-around)*0.13+ragged) * smooth(0.115, 0.075, y)
	if front {
		parting := -0.105 + 0.9*(x+0.03)*(x+0.03)*6 + 0.35*max(0, x+0.03)
		cover *= max(smooth(0.012, -0.012, y-parting+ragged), smooth(0.108, 0.124, math.Abs(x-0.004)+ragged))
	}
	// Strands fall from the crown, which lies just behind the outline.
	angle := math.Atan2(y+0.27, x+0.035)
	radius := math.Hypot(x+0.035, y+0.27)
	strand := c.clouds(angle*22+2*c.noise(angle*4, radius*14), radius*9, 4)
	shine := 0.8*glow(radius-0.11, 0, 0.05) + 0.25
	lit := min(max(0.55-3.2*x-1.2*y, 0.06), 1)
	hair := rgb{0.030, 0.018, 0.011}.plus(rgb{0.22, 0.135, 0.08}.scale(lit * shine * smooth(0.2, 0.9, strand)))
	return col.over(hair, cover)
}
