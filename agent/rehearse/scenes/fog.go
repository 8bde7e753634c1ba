package scenes

import "math"

// fog is the old jetty on a morning without distance: everything fades into one
// grey, nothing is black and nothing white.
func fog(c *canvas, u, v float64) rgb {
	drift := c.clouds(1.5*u, 2.5*v, 5) - 0.5
	air := rgb{0.40, 0.42, 0.435}.scale(0.92 + 0.22*drift + 0.20*smooth(0.5, 0.1, v))
	col := fogWater(c, air, u, v)
	col = fogShapes(c, col, air, u, v)
	return fogJetty(c, col, air, u, v)
}

const fogHorizon = 0.46

// through is a colour seen through z units of fog.
func through(air, col rgb, z float64) rgb { return col.over(air, 1-math.Exp(-0.33*z)) }

func fogWater(c *canvas, air rgb, u, v float64) rgb {
	depth := max(0, v-fogHorizon)
	z := 0.28 / (depth + 0.02)
	ripple := c.clouds((u-0.75)*z*5, z*16, 4) - 0.5
	water := rgb{0.20, 0.225, 0.235}.scale(1 + 0.7*ripple)
	return air.over(through(air, water, 0.8*z), smooth(0, 0.12, depth))
}

// fogShapes are a moored boat and the headland behind it.
func fogShapes(c *canvas, col, air rgb, u, v float64) rgb {
	land := fogHorizon - 0.02 - 0.12*c.clouds(1.8*u+3, 0.2, 4)*smooth(1.1, 0.2, u)
	land -= 0.02
	col = col.over(through(air, rgb{0.10, 0.11, 0.11}, 6), smooth(-0.01, 0.01, v-land)*smooth(fogHorizon+0.02, fogHorizon-0.01, v))
	x, y := (u-0.40)/0.95, (v-0.60)/0.95
	wobble := 0.015 * (c.noise(u*10, v*120) - 0.5)
	hull := through(air, rgb{0.09, 0.10, 0.11}, 2.6)
	col = col.over(hull, 0.55*boatShape(c, x+wobble, -0.8*y+wobble)*c.edge(y))
	paint := through(air, rgb{0.10, 0.11, 0.13}.over(rgb{0.5, 0.5, 0.5}, c.edge(0.008-math.Abs(y+0.056+0.35*x*x))), 2.2)
	return col.over(paint, boatShape(c, x, y)*c.edge(-y))
}

// fogJetty runs from the lower right into the grey, on posts.
func fogJetty(c *canvas, col, air rgb, u, v float64) rgb {
	for i := 9; i >= 1; i-- {
		z := 0.55 + 0.42*float64(i)*float64(i)/3
		col = fogPost(c, col, air, u, v, 0.86+0.30/z, z)
	}
	if v < fogHorizon+0.015 {
		return col
	}
	z := 0.42 / (v - fogHorizon)
	left, right := 0.86+0.21/z, 0.86+0.62/z
	deck := c.edge(min(u-left, right-u))
	grain, gap := c.boards(z*8, u*6*z)
	wood := rgb{0.23, 0.21, 0.19}.scale((0.6 + 0.7*grain) * (1 - 0.7*gap*smooth(5, 1.2, z)))
	wood = wood.over(rgb{0.40, 0.41, 0.42}, 0.35*smooth(0.45, 0.7, c.clouds(u*4*z, z*3, 4)))
	under := c.edge(min(left-u, u-left+0.035/z))
	col = col.over(through(air, rgb{0.10, 0.10, 0.10}, z), under)
	return col.over(through(air, wood, z), deck)
}

func fogPost(c *canvas, col, air rgb, u, v, at, z float64) rgb {
	top, foot, half := fogHorizon+0.10/z, fogHorizon+0.60/z, 0.020/z
	lean := (unit(int(at*1000), 1, c.seed) - 0.5) * 0.03
	x := u - at + 0.09/z - lean*(v-foot)
	wood := rgb{0.12, 0.115, 0.11}.scale(0.7 + 0.7*c.clouds(x*60*z, v*10*z, 3))
	wood = wood.scale(1.25 - 0.5*smooth(-half, half, x))
	col = col.over(through(air, wood, z), c.edge(min(half-math.Abs(x), v-top, foot-v)))
	mirror := c.edge(min(half-math.Abs(x+0.008*(c.noise(u*20, v*120)-0.5)), v-foot, 2*foot-top-v))
	return col.over(through(air, rgb{0.13, 0.14, 0.145}, z), 0.5*mirror)
}
