package config

import (
	"fmt"
	"slices"
	"strings"
)

// Mistake is one thing in the profile that is wrong, or doubtful: where it
// stands, what was found, what is allowed, and how it could be put right.
type Mistake struct {
	File string // as it was named to us
	Line int    // counted from 1; 0 when it is no particular line
	Key  string // "display.white_k", "folder"; empty when it is no particular key
	Text string // what was found, what is allowed
	Hint string // a correct line behind [forExample] or [writeSo], the nearest key, or what to do; may be empty
}

// String is "file:line: key: what was found, what is allowed", without the hint.
func (m Mistake) String() string {
	var b strings.Builder
	b.WriteString(m.File)
	if m.Line > 0 {
		fmt.Fprintf(&b, ":%d", m.Line)
	}
	if m.Key != "" {
		b.WriteString(": " + m.Key)
	}
	b.WriteString(": " + m.Text)
	return b.String()
}

// What stands before a line that could be pasted: whether it is made of what was
// typed, or has somebody else's value.
const (
	writeSo    = "write: "
	forExample = "for example: "
)

// Mistakes are all that was found in one file, in the order of its lines.
type Mistakes []Mistake

// Error has a line for each mistake; a hint follows its mistake, indented, on a
// line of its own.
func (ms Mistakes) Error() string {
	var lines []string
	for _, m := range ms {
		lines = append(lines, m.String())
		if m.Hint != "" {
			lines = append(lines, "    "+m.Hint)
		}
	}
	return strings.Join(lines, "\n")
}

// inOrder sorts by line and leaves mistakes of one line as they came.
func (ms Mistakes) inOrder() Mistakes {
	slices.SortStableFunc(ms, func(a, b Mistake) int { return a.Line - b.Line })
	return ms
}
