package icc

// numbers are unsigned numbers of 1 or 2 bytes, the largest of which means 1.
type numbers struct {
	b     []byte
	width int
}

func (n numbers) at(i int) float64 {
	if n.width == 1 {
		return float64(n.b[i]) / 255
	}
	return float64(uint16(n.b[2*i])<<8|uint16(n.b[2*i+1])) / 65535
}

// take cuts off the first count numbers.
func (n *numbers) take(count int) (numbers, error) {
	length := count * n.width
	if length > len(n.b) {
		return numbers{}, errTable
	}
	taken := numbers{n.b[:length], n.width}
	n.b = n.b[length:]
	return taken, nil
}

// curves takes the sampled curves of all channels.
func (n *numbers) curves(channels, entries int) (stage, error) {
	samples, err := n.take(channels * entries)
	if err != nil {
		return nil, err
	}
	return func(v *Values) {
		for c := range channels {
			x := held(v[c]) * float64(entries-1)
			i := min(int(x), entries-2)
			part := x - float64(i)
			v[c] = samples.at(c*entries+i)*(1-part) + samples.at(c*entries+i+1)*part
		}
	}, nil
}

// lattice is a grid of colours as a profile has it.
type lattice struct {
	in, out int
	side    [MostChannels]int // nodes along each channel
	stride  [MostChannels]int // numbers between neighbours
	nodes   numbers
}

func (n *numbers) lattice(side [MostChannels]int, in, out int) (lattice, error) {
	l := lattice{in: in, out: out, side: side}
	count := out
	for c := in - 1; c >= 0; c-- {
		if side[c] < 2 {
			return l, errTable
		}
		l.stride[c] = count
		if count *= side[c]; count > len(n.b) {
			return l, errTable
		}
	}
	var err error
	l.nodes, err = n.take(count)
	return l, err
}

// spot is where a colour lies in the lattice: the node below it, and for each
// channel how far it is on the way to the next.
type spot struct {
	base int
	part [MostChannels]float64
}

func (l lattice) stage(v *Values) {
	var s spot
	for c := range l.in {
		x := held(v[c]) * float64(l.side[c]-1)
		i := min(int(x), l.side[c]-2)
		s.base += i * l.stride[c]
		s.part[c] = x - float64(i)
	}
	*v = l.between(s, 0)
}

// between interpolates along the channels from the given one on: within a
// tetrahedron along the last three, straight along any before them, which is
// also what the usual colour engines do.
func (l lattice) between(s spot, channel int) Values {
	switch l.in - channel {
	case 0:
		return l.node(s.base)
	case 3:
		return l.tetrahedral(s, channel)
	}
	below := l.between(s, channel+1)
	part := s.part[channel]
	if part == 0 {
		return below
	}
	s.base += l.stride[channel]
	above := l.between(s, channel+1)
	for i := range below {
		below[i] += part * (above[i] - below[i])
	}
	return below
}

// tetrahedral goes from the lower corner to the upper one, along the channel
// first that is furthest on its way.
func (l lattice) tetrahedral(s spot, channel int) Values {
	order := [3]int{channel, channel + 1, channel + 2}
	swap := func(i, j int) {
		if s.part[order[i]] < s.part[order[j]] {
			order[i], order[j] = order[j], order[i]
		}
	}
	swap(0, 1)
	swap(1, 2)
	swap(0, 1)
	sum := l.node(s.base)
	at, before := s.base, sum
	for _, c := range order {
		if s.part[c] == 0 {
			break
		}
		at += l.stride[c]
		next := l.node(at)
		for i := range sum {
			sum[i] += s.part[c] * (next[i] - before[i])
		}
		before = next
	}
	return sum
}

func (l lattice) node(at int) (v Values) {
	for i := range l.out {
		v[i] = l.nodes.at(at + i)
	}
	return v
}
