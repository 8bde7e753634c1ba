package colour

// Matrix is a linear map of tristimulus values, by rows.
type Matrix [3][3]float64

// CAT16 leads from XYZ to the sharpened cone responses R, G, B in which
// CIECAM16 adapts (CIE 248:2022; Li et al., Color Res. Appl. 42 (2017) 703).
var CAT16 = Matrix{
	{0.401288, 0.650173, -0.051461},
	{-0.250268, 1.204414, 0.045854},
	{-0.002079, 0.048952, 0.953127},
}

// bradford leads from XYZ to the sharpened cone responses of the linear
// Bradford transform (ICC.1:2022 annex E).
var bradford = Matrix{
	{0.8951, 0.2664, -0.1614},
	{-0.7502, 1.7135, 0.0367},
	{0.0389, -0.0685, 1.0296},
}

// Apply is m·v.
func (m Matrix) Apply(v XYZ) XYZ {
	return XYZ{
		m[0][0]*v.X + m[0][1]*v.Y + m[0][2]*v.Z,
		m[1][0]*v.X + m[1][1]*v.Y + m[1][2]*v.Z,
		m[2][0]*v.X + m[2][1]*v.Y + m[2][2]*v.Z,
	}
}

// Mul is m·n: the map that applies n first.
func (m Matrix) Mul(n Matrix) Matrix {
	var p Matrix
	for i := range p {
		for j := range p[i] {
			p[i][j] = m[i][0]*n[0][j] + m[i][1]*n[1][j] + m[i][2]*n[2][j]
		}
	}
	return p
}

// Inverse is the map that undoes m, by cofactors. A singular m has none: the
// elements are then infinite or NaN.
func (m Matrix) Inverse() Matrix {
	var inv Matrix
	for i := range inv {
		for j := range inv[i] {
			// The indices run around, which gives each cofactor its sign.
			r, s := (j+1)%3, (j+2)%3
			p, q := (i+1)%3, (i+2)%3
			inv[i][j] = m[r][p]*m[s][q] - m[r][q]*m[s][p]
		}
	}
	det := m[0][0]*inv[0][0] + m[0][1]*inv[1][0] + m[0][2]*inv[2][0]
	for i := range inv {
		for j := range inv[i] {
			inv[i][j] /= det
		}
	}
	return inv
}

// scaling is the matrix that multiplies X, Y and Z by the components of v.
func scaling(v XYZ) Matrix { return Matrix{{v.X, 0, 0}, {0, v.Y, 0}, {0, 0, v.Z}} }

// Bradford is the linear Bradford adaptation from one white to another
// (ICC.1:2022 annex E):
//
//	M = B⁻¹ · diag(ρto/ρfrom, γto/γfrom, βto/βfrom) · B
//
// It carries the white "from" exactly onto "to", luminance included. A black
// or absurd white gives a matrix of infinities.
func Bradford(from, to XYZ) Matrix {
	f, t := bradford.Apply(from), bradford.Apply(to)
	gain := scaling(XYZ{t.X / f.X, t.Y / f.Y, t.Z / f.Z})
	return bradford.Inverse().Mul(gain).Mul(bradford)
}
