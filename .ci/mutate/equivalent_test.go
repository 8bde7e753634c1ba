package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestEquivalents(t *testing.T) {
	t.Chdir(t.TempDir())
	const source = "package p\n\nvar v = a < b\n"
	write(t, "p.go", source)
	points, err := pointsOf("p", "p.go", []byte(source))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]bool{"p.go": true}
	const good = "# why not\n\nfile p.go\nline var v = a < b\ninto var v = a <= b\nwhy  they are never equal\n"
	for _, c := range []struct {
		name, list string
		left       int
		err        string
	}{
		{"none", "", 2, ""},
		{"one", good, 1, ""},
		{"one twice", good + good, 1, ""},
		{"of a file that is not looked at", strings.Replace(good, "p.go", "q.go", 1), 2, ""},
		{"of a file that is gone", strings.Replace(good, "p.go", "r.go", 1), 0, "fits nothing in r.go"},
		{"of a line that has changed", strings.Replace(good, "a < b", "a > b", 1), 0, "line 3 of the list fits nothing in p.go"},
		{"of a mutation that there is not", strings.Replace(good, "<=", "!=", 1), 0, "fits nothing"},
		{"without a reason", strings.Replace(good, "why  they are never equal", "", 1), 0, "list:3: an entry says"},
		{"without a file", "line x\n", 0, "list:1: begin each entry"},
		{"with another word", good + "because x\n", 0, `list:7: "because" is none of`},
	} {
		write(t, "q.go", source)
		write(t, "list", c.list)
		list, err := readEquivalents("list")
		var left []point
		if err == nil {
			left, err = without(points, files, list)
		}
		if len(left) != c.left || (err == nil) != (c.err == "") || err != nil && !strings.Contains(err.Error(), c.err) {
			t.Errorf("%s: %d points, %v; want %d, %q", c.name, len(left), err, c.left, c.err)
		}
	}
}

func write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.FromSlash(name), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}
