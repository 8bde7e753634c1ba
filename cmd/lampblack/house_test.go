package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The arrows of the house: cmd -> agent -> config -> rules -> rules/*, and
// agent/* -> rules. The rooms below a door are written "agent/*"; what is further
// to the right may always be imported, too. The wall around the rules, with its
// reasons package by package, is rules/wall_test.go.
var arrows = []struct {
	room string
	to   []string
}{
	{"cmd/*", []string{"cmd/*", "agent", "agent/*", "config", "config/*", "rules", "rules/*"}},
	{"agent", []string{"agent/*", "config", "config/*", "rules", "rules/*"}},
	{"agent/icc", []string{"rules/colour"}},
	{"agent/*", []string{"rules", "rules/*"}},
	{"config", []string{"config/*", "rules", "rules/*"}},
	{"config/private", nil},
	{"config/legible", nil},
	{"config/scalar", nil},
	{"config/*", []string{"config", "config/*", "rules", "rules/*"}},
	{"rules", []string{"rules/*"}},
	{"rules/*", []string{"rules/*"}},
}

// leaves are the rooms that everybody may use but the rules and themselves.
var leaves = []string{"config/private", "config/legible"}

// besides are the arrows between the agent's rooms, and what they are for.
var besides = map[string]string{
	"agent/picture -> agent/icc":              "what the samples of a picture mean",
	"agent/strip -> agent/picture":            "the samples that a strip is made of",
	"agent/rehearse -> agent":                 "the agent that is rehearsed",
	"agent/rehearse -> agent/journal":         "what it has kept",
	"agent/rehearse -> agent/tray":            "what it shows",
	"agent/rehearse -> agent/rehearse/scenes": "the pictures of the day",
}

// matches tells whether a room is meant by a pattern, which may end in "/*".
func matches(pattern, room string) bool {
	folder, below := strings.CutSuffix(pattern, "*")
	return room == pattern || below && strings.HasPrefix(room, folder)
}

// forTests tells the rooms that only tests may use.
func forTests(room string) bool {
	return room == "testdata" || strings.HasPrefix(room, "testdata/") || strings.HasSuffix(room, "test")
}

// allows tells whether production code in one room may import another.
func allows(from, to string) bool {
	if forTests(to) {
		return false
	}
	if slices.Contains(leaves, to) && !slices.Contains(leaves, from) && !matches("rules/*", from) && from != "rules" {
		return true
	}
	if besides[from+" -> "+to] != "" {
		return true
	}
	for _, a := range arrows {
		if matches(a.room, from) {
			return slices.ContainsFunc(a.to, func(pattern string) bool { return matches(pattern, to) })
		}
	}
	return false
}

// roomsImported are the imports of our own packages by production code, on all
// systems and under all build tags: from the room to the one imported, with a file
// that does it.
func roomsImported(t *testing.T, root string) map[[2]string]string {
	t.Helper()
	const module = "lampblack/"
	found := map[[2]string]string{}
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && name != root && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		relative, err := filepath.Rel(root, name)
		from := path.Dir(filepath.ToSlash(relative))
		for _, spec := range file.Imports {
			full, _ := strconv.Unquote(spec.Path.Value)
			if to, ours := strings.CutPrefix(full, module); ours && !forTests(from) {
				found[[2]string{from, to}] = filepath.ToSlash(relative)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func TestHouse(t *testing.T) {
	found := roomsImported(t, filepath.Join("..", ".."))
	for arrow, file := range found {
		if !allows(arrow[0], arrow[1]) {
			t.Errorf("%s: %s may not import %s", file, arrow[0], arrow[1])
		}
	}
	for arrow, reason := range besides {
		from, to, _ := strings.Cut(arrow, " -> ")
		if _, ok := found[[2]string{from, to}]; !ok {
			t.Errorf("the arrow %s (%s) is not used: take it off the list", arrow, reason)
		}
	}
	// The walk has seen the house: these arrows are there as long as it stands.
	for _, arrow := range [][2]string{{"cmd/lampblack", "agent"}, {"agent", "config"}, {"config", "rules"}, {"rules", "rules/cam16"}} {
		if _, ok := found[arrow]; !ok {
			t.Errorf("no import of %s by %s was found", arrow[1], arrow[0])
		}
	}
}

func TestArrows(t *testing.T) {
	for arrow, want := range map[[2]string]bool{
		{"cmd/lampblack", "rules/light"}:            true,
		{"agent", "config"}:                         true,
		{"config", "agent"}:                         false,
		{"rules", "config"}:                         false,
		{"rules", "config/legible"}:                 false,
		{"rules/light", "rules/colour"}:             true,
		{"rules/light", "rules"}:                    false,
		{"agent/journal", "config"}:                 false,
		{"agent/journal", "config/private"}:         true,
		{"agent/watch", "agent"}:                    false,
		{"agent/icc", "agent/picture"}:              false,
		{"agent/icc", "rules"}:                      false,
		{"agent/icc", "config/legible"}:             true,
		{"config/legible", "config/private"}:        false,
		{"config/scalar", "rules"}:                  false,
		{"agent/rehearse", "testdata/exports"}:      false,
		{"cmd/lampblack", "agent/tray/desktoptest"}: false,
		{"agent/tray", "agent/icc/icctest"}:         false,
		{"agent/rehearse/scenes", "agent/picture"}:  false,
		{"somewhere", "rules"}:                      false,
		{"agent/rehearse", "agent/rehearse/scenes"}: true,
		{"cmd/lampblack/internal/typed", "rules"}:   true,
		{"agent/rehearse/scenes", "config/legible"}: true,
	} {
		if got := allows(arrow[0], arrow[1]); got != want {
			t.Errorf("%s may import %s: %v, want %v", arrow[0], arrow[1], got, want)
		}
	}
}
