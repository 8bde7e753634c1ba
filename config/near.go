package config

import "strings"

// nearest is the word that was most likely meant by a misspelt one; false when
// none is near. A word is near when a third of its letters or fewer differ, or
// when the misspelt one is a part of it.
func nearest(typed string, words []string) (string, bool) {
	best, distance := "", len(typed)+1
	for _, w := range words {
		d := edits(fold(typed), fold(w))
		if len(typed) >= 3 && strings.Contains(fold(w), fold(typed)) {
			d = min(d, 1)
		}
		if d <= max(1, len([]rune(w))/3) && d < distance {
			best, distance = w, d
		}
	}
	return best, best != ""
}

// fold takes away what people confuse: case, and hyphen or space for underscore.
func fold(s string) string {
	return strings.NewReplacer("-", "_", " ", "_").Replace(strings.ToLower(s))
}

// edits counts the letters to insert, remove, replace or swap with a neighbour
// to make b of a (optimal string alignment).
func edits(a, b string) int {
	s, t := []rune(a), []rune(b)
	if len(s) > 3*len(t)+3 {
		return len(s) // far off whatever it is; don't fill a table for it
	}
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := range s {
		row[0] = i + 1
		for j := range t {
			step := 1
			if s[i] == t[j] {
				step = 0
			}
			row[j+1] = min(row[j]+1, last[j+1]+1, last[j]+step)
			if i > 0 && j > 0 && s[i] == t[j-1] && s[i-1] == t[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}
