package picture

// Pixels whose profile works by tables are counted through a grid of it.

// addByGrid counts a row of RGB pixels of a table profile, as addRGB does.
func addByGrid[T uint8 | uint16](t *tally, y int, row []T, step int) {
	r, g, b := t.grid.Places(0), t.grid.Places(1), t.grid.Places(2)
	for i, next := 0, t.first(y)*step; i+2 < len(row); i += step {
		around := t.grid.Around3(r[row[i]], g[row[i+1]], b[row[i+2]])
		t.count(t.grid.Luminance(&around))
		if i == next {
			t.lookAt(t.grid.Colour(&around))
			next += t.every * step
		}
	}
}

// addCMYK counts a row of pixels whose first four of step samples are C, M, Y, K,
// of which 0 is no ink. y is the row's number, which only staggers the sampling.
func addCMYK[T uint8 | uint16](t *tally, y int, row []T, step int) {
	c, m, ye, k := t.grid.Places(0), t.grid.Places(1), t.grid.Places(2), t.grid.Places(3)
	for i, next := 0, t.first(y)*step; i+3 < len(row); i += step {
		around := t.grid.Around4(c[row[i]], m[row[i+1]], ye[row[i+2]], k[row[i+3]])
		t.count(t.grid.Luminance(&around))
		if i == next {
			t.lookAt(t.grid.Colour(&around))
			next += t.every * step
		}
	}
}
