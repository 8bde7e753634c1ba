package main

import (
	"fmt"
	"os"
	"strings"
)

// An equivalent is a mutation that changes nothing that could be told, and why.
type equivalent struct {
	file, line, into, why string
	at                    int // line of the list
}

// readEquivalents reads the list: blocks of four lines, each a keyword and its
// text, with empty lines and comments between.
func readEquivalents(path string) ([]equivalent, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	var list []equivalent
	for i, line := range strings.Split(string(text), "\n") {
		key, value, _ := strings.Cut(strings.TrimSpace(line), " ")
		value = strings.TrimSpace(value)
		if key == "" || key[0] == '#' {
			continue
		}
		if key == "file" {
			list = append(list, equivalent{at: i + 1})
		}
		if len(list) == 0 {
			return nil, fmt.Errorf("%s:%d: begin each entry with its file", path, i+1)
		}
		e := &list[len(list)-1]
		field, ok := map[string]*string{"file": &e.file, "line": &e.line, "into": &e.into, "why": &e.why}[key]
		if !ok {
			return nil, fmt.Errorf("%s:%d: %q is none of file, line, into and why", path, i+1, key)
		}
		*field = value
	}
	for _, e := range list {
		if e.file == "" || e.line == "" || e.why == "" {
			return nil, fmt.Errorf("%s:%d: an entry says file, line, into and why", path, e.at)
		}
	}
	return list, nil
}

// without drops the points that are on the list. An entry for one of the files
// that were looked at which fits none of their points is an error: the code has
// moved on, and so must the list.
func without(points []point, files map[string]bool, list []equivalent) ([]point, error) {
	used := make([]bool, len(list))
	var rest []point
	for _, p := range points {
		listed := false
		for i, e := range list {
			if e.file == p.file && e.line == p.old && e.into == p.new {
				used[i], listed = true, true
			}
		}
		if !listed {
			rest = append(rest, p)
		}
	}
	for i, e := range list {
		if _, err := os.Stat(e.file); (files[e.file] || err != nil) && !used[i] {
			return nil, fmt.Errorf("the equivalent mutant at line %d of the list fits nothing in %s any more: take it out, or put it right", e.at, e.file)
		}
	}
	return rest, nil
}
