package config

import (
	"encoding/json"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lampblack/rules"
)

// complete is a profile in which every table stands and every key that excludes no
// other: by table, the keys with their values as typed. What a folder names is the
// second of its kind, so that the first can be renamed.
func complete() map[string]map[string]string {
	typed := map[string]map[string]string{}
	for _, t := range schema {
		typed[t.name] = map[string]string{}
		for _, k := range t.keys {
			typed[t.name][k.name] = k.example
		}
		for _, group := range t.either {
			for _, name := range group[1:] {
				delete(typed[t.name], name)
			}
		}
	}
	for key, name := range map[string]string{"paper": `"second paper"`, "viewing": `"second viewing"`, "proof": `"second viewing"`} {
		typed["folder"][key] = name
	}
	typed["display"]["most_cd_m2"] = "10000" // above whatever its white is
	return typed
}

// profileOf is what the tables make, with more papers and viewings behind them, and a
// display that edits if the first doesn't.
func profileOf(t *testing.T, typed map[string]map[string]string) *rules.Profile {
	t.Helper()
	var b strings.Builder
	for _, table := range schema {
		fmt.Fprintln(&b, table.header())
		for _, k := range table.keys {
			if v, given := typed[table.name][k.name]; given {
				fmt.Fprintln(&b, k.line(v))
			}
		}
	}
	fmt.Fprint(&b, "[[display]]\nname = \"second display\"\nedits = true\n")
	for _, which := range []string{"second", "third"} {
		fmt.Fprintf(&b, "[[paper]]\nname = \"%s paper\"\n[[viewing]]\nname = \"%s viewing\"\n", which, which)
	}
	p, _, err := Parse("/tidemark/desk.toml", []byte(b.String()), "/home/anna")
	if err != nil {
		t.Fatalf("%v\nof\n%s", err, b.String())
	}
	return p
}

// another is a correct value of the key that differs from the one given.
func another(k key, given string) string {
	switch k.kind {
	case kindText:
		if kin := strings.TrimPrefix(given, `"second`); kin != given {
			return `"third` + kin
		}
		return `"something else"`
	case kindPath:
		return `"/somewhere/else"`
	case kindFlag:
		return map[string]string{"true": "false", "false": "true"}[given]
	case kindNumber, kindWhole:
		return plainNumber(float64(int64(k.low + 0.75*(k.high-k.low) + 1)))
	case kindInterval:
		return fmt.Sprintf("[%s, %s]", plainNumber(k.low+0.1*(k.high-k.low)), plainNumber(k.high))
	case kindWhiteXY:
		return "[0.31, 0.33]"
	case kindPatterns:
		return `["*.webp"]`
	case kindChoice:
		for _, c := range k.choices {
			if `"`+c+`"` != given {
				return `"` + c + `"`
			}
		}
	case kindDay:
		return "2026-02-15"
	case kindMoment:
		return "2026-03-02T09:10:00Z"
	}
	return ""
}

// numberWithin is another for numbers of a narrow range.
func numberWithin(k key, given string) string {
	if v := another(k, given); k.kind != kindNumber || k.high-k.low > 10 {
		return v
	}
	return plainNumber(k.low + 0.75*(k.high-k.low))
}

// flatten is a profile as a list of its values by their way to them.
func flatten(t *testing.T, p *rules.Profile) map[string]string {
	t.Helper()
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(text, &tree); err != nil {
		t.Fatal(err)
	}
	leaves := map[string]string{}
	var walk func(way string, v any)
	walk = func(way string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for name, below := range v {
				walk(way+"."+name, below)
			}
		case []any:
			for i, below := range v {
				walk(fmt.Sprintf("%s[%d]", way, i), below)
			}
		default:
			leaves[strings.TrimPrefix(way, ".")] = fmt.Sprint(v)
		}
	}
	walk("", tree)
	return leaves
}

// heardOf is what one key of a complete profile changes when it alone is another.
func heardOf(t *testing.T, table table, k key) (typed string, changed []string) {
	t.Helper()
	all := complete()
	before := flatten(t, profileOf(t, all))
	given, there := all[table.name][k.name]
	if !there {
		given = k.example
	}
	for _, group := range table.either {
		if slices.Contains(group, k.name) {
			for _, other := range group {
				delete(all[table.name], other)
			}
		}
	}
	typed = numberWithin(k, given)
	all[table.name][k.name] = typed
	after := flatten(t, profileOf(t, all))
	for _, way := range slices.Sorted(maps.Keys(after)) {
		switch {
		case after[way] == before[way]:
		case k.kind == kindPath: // each system writes it in its own way
			changed = append(changed, way)
		default:
			changed = append(changed, way+" = "+roundLong(after[way]))
		}
	}
	return typed, changed
}

// Every key of the schema, changed by itself, changes something of the profile, and
// what that is stands in a golden file: a row without a setter, or with a neighbour's,
// is found out.
func TestEveryKeyIsHeard(t *testing.T) {
	var heard strings.Builder
	for _, table := range schema {
		for _, k := range table.keys {
			name := table.name + "." + k.name
			if k.set == nil {
				t.Errorf("%s has no setter: nobody hears of it", name)
				continue
			}
			typed, changed := heardOf(t, table, k)
			if len(changed) == 0 {
				t.Errorf("%s = %s is not heard", name, typed)
			}
			fmt.Fprintf(&heard, "%s = %s: %s\n", name, typed, strings.Join(changed, ", "))
		}
	}
	// of no profile in a file: each key has one of its own
	compare(t, filepath.Join("testdata", "heard.toml"), heard.String())
}
