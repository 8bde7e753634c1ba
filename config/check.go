package config

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"
)

// section is one table of the file. Only values that are sound are in it, so
// that one mistake doesn't bring on others.
type section struct {
	table  table
	at     place
	values map[string]any // by key, as key.read gives them
}

// value is the value of a key as the type that its kind gives.
func value[T any](s section, key string) (T, bool) {
	v, ok := s.values[key].(T)
	return v, ok
}

// reader holds what is found while one profile is read.
type reader struct {
	file     string
	lines    lineIndex
	sections map[string][]section // by table
	wrong    Mistakes             // what stops the load
	doubtful Mistakes             // what doesn't
}

// mistake reports what stops the load.
func (r *reader) mistake(at place, key, text, hint string) {
	r.wrong = append(r.wrong, Mistake{r.file, r.lines[at], key, text, hint})
}

// doubt reports what doesn't stop the load.
func (r *reader) doubt(at place, key, text, hint string) {
	r.doubtful = append(r.doubtful, Mistake{r.file, r.lines[at], key, text, hint})
}

// decode reads the file as TOML and walks over what is there: every table and
// every key is held against the schema.
func (r *reader) decode(content string) {
	r.sections = map[string][]section{}
	root := map[string]any{}
	if _, err := toml.Decode(content, &root); err != nil {
		r.wrong = append(r.wrong, syntaxMistake(r.file, content, err))
		return
	}
	r.lines = indexLines(content)
	for _, name := range slices.Sorted(maps.Keys(root)) {
		r.checkTable(name, root[name])
	}
}

func (r *reader) checkTable(name string, v any) {
	at := place("").in(name)
	t, known := tableNamed(name)
	elements, many, isTable := tablesOf(v)
	switch {
	case !known:
		r.strangerAtTop(name, at, isTable)
		return
	case !isTable:
		r.mistake(at, name, fmt.Sprintf("is a table, opened by %s on a line of its own, and not a key", t.header()), writeSo+t.header())
		return
	case many && !t.many:
		r.mistake(at, name, fmt.Sprintf("%s stands in double brackets, but there is only one", t.header()), writeSo+t.header())
	case !many && t.many:
		r.mistake(at, name, fmt.Sprintf("[%s] takes double brackets, since there may be several", name), writeSo+t.header())
	}
	for i, element := range elements {
		if many {
			at = place("").in(name).nth(i)
		}
		r.sections[name] = append(r.sections[name], r.checkKeys(t, at, element))
	}
}

// tablesOf takes [name] and [[name]] alike.
func tablesOf(v any) (elements []map[string]any, many, ok bool) {
	switch v := v.(type) {
	case map[string]any:
		return []map[string]any{v}, false, true
	case []map[string]any:
		return v, true, true
	}
	return nil, false, false
}

func (r *reader) strangerAtTop(name string, at place, isTable bool) {
	hint := strangerTableHint(name)
	var headers []string
	for _, t := range schema {
		headers = append(headers, t.header())
	}
	all := strings.Join(headers, ", ")
	if isTable {
		r.mistake(at, name, "is not a table of the profile; there are "+all, hint)
		return
	}
	r.mistake(at, name, "stands before any table; a key belongs under one of "+all, hint)
}

// checkKeys holds one table against the schema.
func (r *reader) checkKeys(t table, at place, given map[string]any) section {
	s := section{table: t, at: at, values: map[string]any{}}
	for _, name := range slices.Sorted(maps.Keys(given)) {
		k, known := t.key(name)
		if !known {
			r.stranger(t, at, name)
			continue
		}
		v, why := k.read(given[name])
		if why != "" {
			r.mistake(at.in(name), t.name+"."+name, why, k.hint(given[name]))
			continue
		}
		s.values[name] = v
	}
	r.checkNeeded(t, at, given)
	r.checkEither(t, at, given)
	return s
}

// stranger is the mistake of a key that the table doesn't have. All that it has
// are listed only where no hint can be given: the list would push that out of a
// notice.
func (r *reader) stranger(t table, at place, name string) {
	text, hint := "is not a key of "+t.header(), t.strangerHint(name)
	if hint == "" {
		text += "; it has " + strings.Join(t.keyNames(), ", ")
	}
	r.mistake(at.in(name), t.name+"."+name, text, hint)
}

// checkNeeded looks for keys that are missing.
func (r *reader) checkNeeded(t table, at place, given map[string]any) {
	for _, k := range t.keys {
		if _, there := given[k.name]; !k.need || there {
			continue
		}
		hint := k.instance()
		if k.name == "name" { // the example's name may be taken
			hint = forExample + k.line(fmt.Sprintf(`"%s %d"`, t.name, 1+len(r.sections[t.name])))
		}
		r.mistake(at, t.name+"."+k.name, fmt.Sprintf("is missing; every %s needs one, %s", t.header(), k.allowed()), hint)
	}
}

// checkEither looks for keys that exclude each other.
func (r *reader) checkEither(t table, at place, given map[string]any) {
	for _, group := range t.either {
		var both []string
		for _, name := range group {
			if _, there := given[name]; there {
				both = append(both, name)
			}
		}
		if len(both) > 1 {
			slices.SortStableFunc(both, func(a, b string) int { return r.lines[at.in(a)] - r.lines[at.in(b)] })
			last := both[len(both)-1]
			r.mistake(at.in(last), t.name+"."+last,
				fmt.Sprintf("found %s, which say the same thing in different ways; allowed is one of them", strings.Join(both, " and ")),
				"put # before the lines that are not to count")
		}
	}
}
