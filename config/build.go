package config

import (
	"time"

	"lampblack/rules"
)

// setter puts a sound value of a key into the profile.
type setter func(p *rules.Profile, v any)

// into is the setter of a key whose kind gives values of type V.
func into[V any](put func(*rules.Profile, V)) setter {
	return func(p *rules.Profile, v any) { put(p, v.(V)) }
}

// intoLast is the setter of a key of a table that there may be several of: it is about
// the one that was begun last.
func intoLast[E, V any](all func(*rules.Profile) []E, put func(*E, V)) setter {
	return into(func(p *rules.Profile, v V) {
		list := all(p)
		put(&list[len(list)-1], v)
	})
}

// words are choices as they are typed.
func words[W ~string](choices []W) []string {
	var typed []string
	for _, c := range choices {
		typed = append(typed, string(c))
	}
	return typed
}

// duration is n units of time.
func duration(n float64, unit time.Duration) time.Duration {
	return time.Duration(n * float64(unit))
}

// build makes the profile of tables that are known to be sound. What they don't
// say is assumed.
func build(sections map[string][]section) *rules.Profile {
	p := assumedProfile()
	for _, t := range schema {
		for _, s := range sections[t.name] {
			s.put(p)
		}
	}
	if len(p.Displays) == 0 {
		displayTable.begin(p)
	}
	if len(p.Papers) == 0 {
		paperTable.begin(p)
	}
	if len(p.Viewings) == 0 {
		viewingTable.begin(p)
	}
	chooseEditing(p.Displays)
	p.Readings = inOrder(p.Readings)
	return p
}

// put puts what the table says into the profile, in the order of the schema's rows.
func (s section) put(p *rules.Profile) {
	if s.table.begin != nil {
		s.table.begin(p)
	}
	for _, k := range s.table.keys {
		if v, given := s.values[k.name]; given {
			k.set(p, v)
		}
	}
}

// alone is the profile that one table makes.
func alone(s section) *rules.Profile {
	p := assumedProfile()
	s.put(p)
	return p
}

// inOrder puts readings in order of time, those of one moment as they came, and
// leaves out those that say the same of the same moment.
func inOrder(typed []rules.Reading) []rules.Reading {
	var rs []rules.Reading
	for _, r := range typed {
		rs = rules.WithReading(rs, r)
	}
	return rs
}

// chooseEditing leaves exactly one display that edits: the first that says so,
// or the first of all.
func chooseEditing(displays []rules.Display) {
	chosen := 0
	for i := len(displays) - 1; i >= 0; i-- {
		if displays[i].Edits {
			chosen = i
		}
	}
	for i := range displays {
		displays[i].Edits = i == chosen
	}
}
