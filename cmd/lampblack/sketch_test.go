package main

import "math"

// A second computation of corresponding tones, written from the formulas alone
// and with nothing of package rules in it: slow, plain, all three channels, and
// a bisection where the program has an inverse. What they make of a picture is in
// sketchpicture_test.go; TestSketch holds the program against both.

// triple is XYZ, or the three cone responses.
type triple [3]float64

// sketchDesk is a screen in a lit room.
type sketchDesk struct {
	white    float64 // cd/m², in the dark
	point    triple  // XYZ of its white, Y = 1
	contrast float64
	diffuse  float64 // cd·m⁻²·lx⁻¹, a hood's help included
	lux      float64 // on the screen's face
	lamps    triple  // XYZ of the room's light, Y = 1
	surround float64 // relative to the screen's white
	share    float64 // of the picture in the field
}

// sketchWall is a print in its light, without glass.
type sketchWall struct {
	lux, paper, black, mat, share float64
	lamps                         triple
}

// sketchView is a medium with everything that the appearance model asks for.
type sketchView struct {
	luminance func(y float64) float64 // cd/m² of a tone
	adopted   triple                  // XYZ of the adopted white, Y = 100
	yb        float64
	f, c      float64 // surround
}

// sketchBeta is the share of a change of white that is felt, by how prints are judged.
var sketchBeta = map[string]float64{"by itself": 0.08, "": 0.22, "beside the screen": 0.60}

// luminance is L(Y) = Lk + (Lw − Lk)·Y + Rd·E.
func (d sketchDesk) luminance(y float64) float64 {
	black := d.white / d.contrast
	return black + (d.white-black)*y + d.diffuse*d.lux
}

func (d sketchDesk) view(mean float64) sketchView {
	w := d.luminance(1)
	f, c := sketchSurround(0.9 * d.lux / math.Pi / w)
	return sketchView{
		luminance: d.luminance,
		adopted:   d.adopted(w),
		yb:        math.Max(1, 100*(d.share*d.luminance(mean)+(1-d.share)*d.luminance(d.surround))/w),
		f:         f, c: c,
	}
}

// adopted is Katoh's mixture of the screen's white and the room's, 60 to 40, in
// cone responses weighted with the cube roots of the luminances.
func (d sketchDesk) adopted(w float64) triple {
	screen, room := 0.6*math.Cbrt(w), 0.4*math.Cbrt(d.lux/math.Pi)
	s, r := times(cat16, d.point), times(cat16, d.lamps)
	var mixed triple
	for i := range mixed {
		mixed[i] = (screen*s[i] + room*r[i]) / (screen + room)
	}
	xyz := solve3(cat16, mixed)
	for i, y := 0, xyz[1]; i < 3; i++ {
		xyz[i] *= 100 / y
	}
	return xyz
}

// luminance is L(Y) = E/π·(Rk + (Rw − Rk)·Y + flare·Rw), flare 0.005.
func (p sketchWall) luminance(y float64) float64 {
	return p.lux / math.Pi * (p.black + (p.paper-p.black)*y + 0.005*p.paper)
}

func (p sketchWall) view(mean float64) sketchView {
	w := p.luminance(1)
	mat := p.lux * p.mat / math.Pi
	return sketchView{
		luminance: p.luminance,
		adopted:   triple{100 * p.lamps[0], 100 * p.lamps[1], 100 * p.lamps[2]},
		yb:        100 * (p.share*p.luminance(mean) + (1-p.share)*mat) / w,
		f:         1, c: 0.69,
	}
}

// sketchSurround is F and c for a surround ratio: straight lines in log S_R
// between dark at 0.01, dim at 0.05 and average at 0.2; then c with a strength of 0.84.
func sketchSurround(ratio float64) (f, c float64) {
	f, c = sketchNodes(ratio)
	return f, 0.69 * math.Pow(c/0.69, 0.84)
}

func sketchNodes(ratio float64) (f, c float64) {
	nodes := [][3]float64{{0.01, 0.8, 0.525}, {0.05, 0.9, 0.59}, {0.2, 1, 0.69}}
	switch {
	case ratio <= nodes[0][0]:
		return nodes[0][1], nodes[0][2]
	case ratio >= nodes[2][0]:
		return nodes[2][1], nodes[2][2]
	}
	low, high := nodes[0], nodes[1]
	if ratio > nodes[1][0] {
		low, high = nodes[1], nodes[2]
	}
	t := (math.Log10(ratio) - math.Log10(low[0])) / (math.Log10(high[0]) - math.Log10(low[0]))
	return low[1] + t*(high[1]-low[1]), low[2] + t*(high[2]-low[2])
}

// lightness is J of CIECAM16 for a neutral tone, by the steps of CIE 248:2022.
func (v sketchView) lightness(y float64) float64 {
	w := v.luminance(1)
	var tone triple
	for i := range tone {
		tone[i] = v.adopted[i] * v.luminance(y) / w
	}
	la := 0.2 * w
	k := 1 / (5*la + 1)
	fl := 0.2*math.Pow(k, 4)*5*la + 0.1*math.Pow(1-math.Pow(k, 4), 2)*math.Cbrt(5*la)
	n := v.yb / 100
	z := 1.48 + math.Sqrt(n)
	d := v.f * (1 - math.Exp((-la-42)/92)/3.6)
	ratio := v.achromatic(tone, fl, d) / v.achromatic(v.adopted, fl, d)
	return 100 * math.Pow(math.Max(0, ratio), v.c*z)
}

// achromatic is A/Nbb = 2R'a + G'a + B'a/20, without the noise terms that cancel.
func (v sketchView) achromatic(xyz triple, fl, d float64) float64 {
	white, cones := times(cat16, v.adopted), times(cat16, xyz)
	weights := triple{2, 1, 0.05}
	top := 150.0
	gain := func(i int) float64 { return d*100/white[i] + 1 - d }
	for i := range white {
		top = math.Max(top, gain(i)*white[i])
	}
	sum := 0.0
	for i := range cones {
		sum += weights[i] * sketchCompress(gain(i)*cones[i], fl, top)
	}
	return sum
}

// sketchCompress is the response to q, straight below 0.26 and above top.
func sketchCompress(q, fl, top float64) float64 {
	power := func(q float64) float64 {
		x := math.Pow(fl*q/100, 0.42)
		return 400 * x / (x + 27.13)
	}
	switch {
	case q < 0.26:
		return power(0.26) * q / 0.26
	case q > top:
		x := math.Pow(fl*top/100, 0.42)
		slope := 1.68 * 27.13 * fl * math.Pow(fl*top/100, -0.58) / math.Pow(27.13+x, 2)
		return power(top) + slope*(q-top)
	}
	return power(q)
}

// sketchTone is the tone's own shift, log2(Y'/Y), and Y'/Y itself, of a tone judged
// under a and delivered under r; minus infinity and 0 when r's black is not dark enough.
func sketchTone(a, r sketchView, y float64) (tone, ratio float64) {
	want := a.lightness(y)
	if want <= r.lightness(0) {
		return math.Inf(-1), 0
	}
	low, high := 0.0, 16.0
	for range 100 {
		middle := (low + high) / 2
		if r.lightness(middle) < want {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Log2(low / y), low / y
}

// sketchShift is a tone's shift in a curve, with beta of the change of white.
func sketchShift(a, r sketchView, beta, y float64) float64 {
	tone, _ := sketchTone(a, r, y)
	return math.Max(-2, tone) + beta*math.Log2(a.luminance(1)/r.luminance(1))
}

// cat16 turns XYZ into cone responses (Li et al. 2017).
var cat16 = [3]triple{
	{0.401288, 0.650173, -0.051461},
	{-0.250268, 1.204414, 0.045854},
	{-0.002079, 0.048952, 0.953127},
}

func times(m [3]triple, v triple) triple {
	var out triple
	for i, row := range m {
		for j := range row {
			out[i] += row[j] * v[j]
		}
	}
	return out
}

// solve3 solves m·x = v by Cramer's rule.
func solve3(m [3]triple, v triple) triple {
	det := func(m [3]triple) float64 {
		return m[0][0]*(m[1][1]*m[2][2]-m[1][2]*m[2][1]) -
			m[0][1]*(m[1][0]*m[2][2]-m[1][2]*m[2][0]) +
			m[0][2]*(m[1][0]*m[2][1]-m[1][1]*m[2][0])
	}
	var x triple
	for col := range x {
		replaced := m
		for row := range replaced {
			replaced[row][col] = v[row]
		}
		x[col] = det(replaced) / det(m)
	}
	return x
}

// sketchDaylight is the CIE daylight of t, 4000..7000 K, as XYZ with Y = 1 (CIE 15).
func sketchDaylight(t float64) triple {
	x := -4.6070e9/math.Pow(t, 3) + 2.9678e6/math.Pow(t, 2) + 0.09911e3/t + 0.244063
	return white(x, -3*x*x+2.870*x-0.275)
}

// sketchLamp is a glowing body of t, 2222..4000 K, as XYZ with Y = 1: the cubic
// fit of Kim et al., US patent 7024034 (2002), from memory; good to 1e-3 here.
func sketchLamp(t float64) triple {
	x := -0.2661239e9/math.Pow(t, 3) - 0.2343589e6/math.Pow(t, 2) + 0.8776956e3/t + 0.179910
	return white(x, -0.9549476*x*x*x-1.37418593*x*x+2.09137015*x-0.16748867)
}

func white(x, y float64) triple { return triple{x / y, 1, (1 - x - y) / y} }
