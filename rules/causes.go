package rules

import (
	"math"
	"math/bits"
	"sort"
)

// causes shares the whole picture's shift against the targets out over the
// departures, largest share first: exact Shapley values over all subsets
// (L. S. Shapley, A value for n-person games, 1953), so that they add up.
func causes(c *Conditions, pic *Picture) []Cause {
	now, target := c.now(), c.reference()
	should := target.at(pic.MeanY)
	shift := remembered(func(d desk) float64 {
		a := d.at(pic.MeanY)
		return summarise(&a, &should, pic.Tones).wholeShift()
	})
	n := len(departures)
	value := make([]float64, 1<<n)
	for set := range value {
		d := target
		for i, departure := range departures {
			if set&(1<<i) != 0 {
				d = departure.from(d, now)
			}
		}
		value[set] = shift(d)
	}
	out := make([]Cause, n)
	for i, departure := range departures {
		out[i] = Cause{departure.name, Figure(shapley(value, n, i))}
	}
	sort.SliceStable(out, func(i, j int) bool {
		return math.Abs(float64(out[i].Stops)) > math.Abs(float64(out[j].Stops))
	})
	return out
}

// from is d with what another desk has of this departure.
func (way departure) from(d, other desk) desk {
	if way.apply == nil {
		return d
	}
	return way.apply(d, other)
}

// remembered is f, worked out once for each desk: a condition that is at its
// target makes half of the sets alike.
func remembered(f func(desk) float64) func(desk) float64 {
	known := map[desk]float64{}
	return func(d desk) float64 {
		v, ok := known[d]
		if !ok {
			v = f(d)
			known[d] = v
		}
		return v
	}
}

// shapley is player i's share of the game whose worth for each set of players
// (a bit mask) is value:
//
//	sum over S without i of |S|!·(n-|S|-1)!/n! · (v(S+i) - v(S))
func shapley(value []float64, n, i int) float64 {
	var sum float64
	for set := range value {
		if set&(1<<i) != 0 {
			continue
		}
		s := bits.OnesCount(uint(set))
		weight := factorial(s) * factorial(n-s-1) / factorial(n)
		sum += weight * (value[set|1<<i] - value[set])
	}
	return sum
}

func factorial(n int) float64 { return math.Gamma(float64(n) + 1) }

// mainCause is the condition with the largest share in the direction of the
// verdict, if any has one. The room's light counts once, for all that it does:
// who dims it because of its glare also loses what it does to the surround.
func mainCause(v Verdict, cs []Cause) (Cause, bool) {
	sign := 1.0
	if v == Lighter {
		sign = -1
	}
	var best Cause
	for _, c := range cs {
		whole := ofCondition(conditionOf(c.Name), cs)
		if sign*float64(whole.Stops) > sign*float64(best.Stops) {
			best = whole
		}
	}
	return best, best.Name != ""
}

// ofCondition is the share of a condition in all its ways.
func ofCondition(name string, cs []Cause) Cause {
	sum := Cause{Name: name}
	for _, c := range cs {
		if conditionOf(c.Name) == name {
			sum.Stops += c.Stops
		}
	}
	return sum
}
