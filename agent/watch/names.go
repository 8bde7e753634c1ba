package watch

import (
	"path"
	"slices"
	"strings"
)

// temporary are the endings that programs give to files they have not finished.
var temporary = []string{".tmp", ".temp", ".part", ".partial", ".download", "~"}

// names decides by name alone whether a file can be an export.
type names struct{ patterns []string }

func newNames(patterns []string) names {
	lower := make([]string, len(patterns))
	for i, p := range patterns {
		lower[i] = strings.ToLower(p)
	}
	return names{lower}
}

// hidden tells a name that people are not meant to see.
func hidden(name string) bool { return name == "" || name[0] == '.' || name[0] == '~' }

// wanted tells whether name is neither hidden nor temporary and matches a
// pattern. A malformed pattern matches nothing: the profile is checked earlier.
func (n names) wanted(name string) bool {
	name = strings.ToLower(name)
	if hidden(name) {
		return false
	}
	if slices.ContainsFunc(temporary, func(end string) bool { return strings.HasSuffix(name, end) }) {
		return false
	}
	return len(n.patterns) == 0 || slices.ContainsFunc(n.patterns, func(p string) bool {
		ok, err := path.Match(p, name)
		return ok && err == nil
	})
}
