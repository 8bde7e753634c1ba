package journal

import (
	"bytes"
	"encoding/json"
	"path/filepath"
	"slices"
)

// Find gives the latest entry about a file, by its path or by its name alone;
// found is false when there is none.
func Find(dir, file string) (latest Entry, found bool, err error) {
	paths, err := yearFiles(dir)
	if err != nil {
		return Entry{}, false, cantRead(err)
	}
	slices.Reverse(paths)
	for _, path := range paths {
		// Lines without the name are not even decoded: a year can have many.
		_, err := readFile(path, decodeIf(filepath.Base(file)), func(e Entry) error {
			if e.Path == asWritten(file) || filepath.Base(file) == file && filepath.Base(e.Path) == asWritten(file) {
				latest, found = e, true
			}
			return nil
		})
		if err != nil || found {
			return latest, found, err
		}
	}
	return Entry{}, false, nil
}

// decodeIf decodes lines in which the name occurs, as JSON writes it.
func decodeIf(name string) func([]byte) (Entry, error) {
	needle, err := json.Marshal(asWritten(name))
	if err != nil {
		return decode
	}
	needle = bytes.Trim(needle, `"`)
	return func(line []byte) (Entry, error) {
		if !bytes.Contains(line, needle) {
			return Entry{}, errUnwanted
		}
		return decode(line)
	}
}

// FindAll gives the latest entry about each of some exports that the journal has. It
// looks no further into a line than its head where it is about another.
func FindAll(dir string, wanted map[Identity]bool) (map[Identity]Entry, error) {
	found := map[Identity]Entry{}
	paths, err := yearFiles(dir)
	if err != nil {
		return nil, cantRead(err)
	}
	of := func(line []byte) (Entry, error) {
		if h, err := startOf(line); err == nil && !wanted[Identify(h.Path, h.Size, h.ModTime)] {
			return Entry{}, errUnwanted
		}
		return decode(line)
	}
	for i := len(paths) - 1; i >= 0 && len(found) < len(wanted); i-- { // seldom is it long ago
		latest := map[Identity]Entry{}
		_, err := readFile(paths[i], of, func(e Entry) error {
			latest[e.Identity()] = e
			return nil
		})
		if err != nil {
			return nil, err
		}
		for id, e := range latest {
			if _, later := found[id]; !later {
				found[id] = e
			}
		}
	}
	return found, nil
}
