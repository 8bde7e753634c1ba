package scenes

import "math"

// boatshed stands inside the shed and looks at its open door: a room of boards
// in one-point perspective, a boat on the slip, sun through slits in the wall.
func boatshed(c *canvas, u, v float64) rgb {
	col := shedRoom(c, u, v)
	col = shedBoat(c, col, u, v)
	return shedBeams(c, col, u, v)
}

// The shed, in metres from the eye: x to the right, y down, z ahead.
const (
	shedHalf  = 3.2  // half of its width
	shedFloor = 1.5  // below the eye
	shedRoof  = -2.6 // above it
	shedEnd   = 11.0
	shedLens  = 0.85 // focal length in heights of the picture
)

// shedRoom finds which surface a line of sight meets first, and its colour.
func shedRoom(c *canvas, u, v float64) rgb {
	dx, dy := (u-0.80)/shedLens, (v-0.46)/shedLens
	z := shedEnd
	side, level := math.Abs(dx), 0.0
	if side*z > shedHalf {
		z = shedHalf / side
	}
	switch {
	case dy > 0:
		level = shedFloor
	case dy < 0:
		level = shedRoof
	}
	flat := dy*z/level > 1
	if flat {
		z = level / dy
	}
	x, y := dx*z, dy*z
	switch {
	case flat && dy > 0:
		return shedGround(c, x, z)
	case flat:
		grain, gap := c.boards(z*2.2, x*1.2)
		return timber(grain, gap).scale(0.10 + 0.30*z/shedEnd)
	case z < shedEnd:
		return shedSide(c, y, z, dx > 0)
	}
	return shedEndWall(c, x, y)
}

// timber is tarred pine; grain and gap as from boards.
func timber(grain, gap float64) rgb {
	return rgb{0.10, 0.055, 0.028}.over(rgb{0.36, 0.21, 0.115}, grain).scale(1 - 0.88*gap)
}

// doorLight is how much of the door's daylight reaches a point of the shed.
func doorLight(x, z float64) float64 {
	d := math.Hypot(x-0.3, shedEnd+0.6-z)
	return 2.6 / (1 + 0.55*d*d)
}

func shedGround(c *canvas, x, z float64) rgb {
	grain, gap := c.boards(x*3.2, z*1.1)
	dust := 0.75 + 0.5*c.clouds(x*2, z*1.5, 4)
	boards := timber(grain, gap*smooth(14, 3, z)).scale(dust)
	patch := slit(z) * smooth(0.3, 0.5, x-0.5+0.08*z) * smooth(2.6, 2.2, x+0.3)
	sun := rgb{1.9, 1.55, 1.05}.scale(0.9 * patch * (0.8 + 0.3*c.noise(x*3, z*3)))
	sky := rgb{1.0, 1.02, 1.05}.scale(0.035 + 0.55*doorLight(x, z))
	return boards.by(sky.plus(sun))
}

// slit is where the sun comes through the left wall, along the shed.
func slit(z float64) float64 {
	p := z/1.6 - math.Floor(z/1.6)
	return smooth(0.40, 0.44, p) * smooth(0.62, 0.58, p) * smooth(2.4, 2.8, z)
}

func shedSide(c *canvas, y, z float64, right bool) rgb {
	grain, gap := c.boards(y*4.5, z*0.9)
	wall := timber(grain, gap).scale(0.03 + 0.30*doorLight(shedHalf, z) + 0.05*c.clouds(z, y, 3))
	post := smooth(0.09, 0.07, math.Abs(z-1.8*math.Round(z/1.8)))
	wall = wall.over(timber(c.clouds(z*30, y*2, 3), 0).scale(0.02+0.24*doorLight(shedHalf, z)), post)
	if right {
		glare := slit(z-0.4) * smooth(0.9, 1.2, y) * smooth(1.5, 1.45, y)
		return wall.plus(timber(grain, gap).by(rgb{1.5, 1.2, 0.8}).scale(glare))
	}
	opening := slit(z) * smooth(-1.05, -1.0, y) * smooth(-0.25, -0.3, y)
	return wall.over(rgb{1.5, 1.45, 1.35}, opening)
}

// shedEndWall holds the door, and the fjord beyond it.
func shedEndWall(c *canvas, x, y float64) rgb {
	grain, gap := c.boards(x*4, y*1.1)
	wall := timber(grain, gap).scale(0.07 + 0.10*glow(x-0.3, y, 2))
	soft := 0.03
	door := smooth(-soft, soft, min(x+1.3, 1.9-x, y+1.35, shedFloor+0.1-y))
	gable := smooth(-soft, soft, min(0.45-math.Abs(x-0.3), y+2.2, -1.65-y))
	sky := rgb{0.95, 0.98, 1.05}.over(rgb{1.3, 1.25, 1.12}, smooth(-1.3, 0.1, y))
	hills := rgb{0.36, 0.43, 0.48}.scale(0.9 + 0.3*c.clouds(x*3, y*6, 3))
	view := sky.over(hills, smooth(-0.02, 0.02, y+0.32*c.clouds(x*0.9+4, 1, 4)))
	water := rgb{0.62, 0.68, 0.72}.scale(0.75 + 0.5*c.clouds(x*2, y*y*18, 3))
	view = view.over(water, smooth(0.03, 0.06, y))
	stage := rgb{0.42, 0.34, 0.26}.scale(0.8 + 0.4*c.noise(x*8, y*9))
	view = view.over(stage, smooth(-0.02, 0.02, y-0.85-0.1*x))
	return wall.over(view, door).over(sky.scale(0.9), gable)
}

// shedBoat is a clinker-built hull seen from ahead and a little to one side.
func shedBoat(c *canvas, col rgb, u, v float64) rgb {
	x, y := u-0.56, v-0.78
	sheer := -0.27 + 0.9*(x+0.02)*(x+0.02)
	beam := 0.34 * math.Sqrt(max(0, 1-(y+0.27)*(y+0.27)/(0.42*0.42)))
	inside := min(y-sheer, beam-math.Abs(x), 0.13-y)
	shadow := smooth(0.16, 0, math.Hypot(x*0.42, (y-0.15)*1.6))
	col = col.scale(1 - 0.85*shadow*smooth(-0.02, 0.06, y))
	for _, leg := range [...]float64{-0.20, 0.19} {
		prop := c.edge(min(0.011-math.Abs(x-leg+0.25*leg*(y-0.05)*4), y+0.10, 0.20-y))
		col = col.over(rgb{0.022, 0.014, 0.009}.scale(0.7+0.8*c.clouds(u*90, v*9, 3)), prop)
	}
	hull := shedPlanking(c, x, y, beam)
	col = col.over(hull, c.edge(inside))
	rail := c.edge(0.007-math.Abs(y-sheer)) * c.edge(beam+0.012-math.Abs(x))
	rim := rgb{0.16, 0.10, 0.055}.over(rgb{0.75, 0.62, 0.46}, smooth(-0.05, 0.28, x)*0.8)
	col = col.over(rim, rail)
	stem := c.edge(min(0.010-math.Abs(x+0.02), y+0.36, 0.19-y))
	return col.over(rgb{0.07, 0.042, 0.025}.scale(0.7+0.6*c.clouds(u*60, v*8, 3)), stem)
}

// shedPlanking follows the strakes from the stem to the sides.
func shedPlanking(c *canvas, x, y, beam float64) rgb {
	around := (y + 0.27 - 0.55*x*x) * 17
	strake := math.Floor(around)
	f := around - strake
	grain := c.clouds(x*14+3*strake, around*3, 4)
	wood := rgb{0.13, 0.062, 0.026}.over(rgb{0.42, 0.215, 0.095}, grain)
	lap := smooth(0.16, 0, f)
	turn := x / max(beam, 0.05)
	lit := 0.045 + 0.30*smooth(-0.1, 1, turn) + 0.10*smooth(0, -1, turn)
	lit *= 1.15 - 0.75*smooth(-0.27, 0.13, y)
	wood = wood.scale(lit * (1 - 0.7*lap) * (0.85 + 0.3*f))
	sun := slit(3+around*0.12+x*3) * smooth(0.10, 0.16, x) * smooth(-0.22, -0.16, y) * smooth(0.02, -0.06, y)
	return wood.plus(rgb{0.50, 0.27, 0.11}.scale(0.9 * sun * (0.6 + 0.6*grain) * (1 - 0.7*lap)))
}

// shedBeams are the roof's ties, a block on a rope, and dust in the light.
func shedBeams(c *canvas, col rgb, u, v float64) rgb {
	for i, z := range [...]float64{7, 4.6, 3.1} {
		y := 0.46 + shedLens*(shedRoof+0.9)/z
		beam := c.edge(0.13/z - math.Abs(v-y))
		wood := timber(c.clouds(u*8+float64(i), v*70, 4), 0).scale(0.05 + 0.02*z + 0.08*smooth(y, y+0.12/z, v))
		col = col.over(wood, beam)
	}
	rope := c.edge(min(0.003-math.Abs(u-1.20-0.01*math.Sin(v*9)), 0.45-v))
	col = col.over(rgb{0.11, 0.08, 0.05}.scale(0.6+0.8*c.noise(u*90, v*260)), rope)
	block := c.oval(u-1.195, v-0.46, 0.022, 0.036)
	col = col.over(rgb{0.05, 0.028, 0.016}.plus(rgb{0.2, 0.13, 0.08}.scale(glow(u-1.185, v-0.45, 0.012))), block)
	haze := 0.035*glow((u-0.83)*0.8, v-0.42, 0.34) + 0.02*smooth(0.4, 0.7, c.clouds(u*3-v*2, v*3, 3))
	return col.plus(rgb{1, 0.94, 0.82}.scale(haze * 0.8))
}
