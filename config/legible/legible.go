// Package legible makes text from outside (a file's name, a profile's text) safe to
// show as it is.
package legible

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Line is a line with everything written out that would steer what
// shows it instead of being read: control characters, line ends, overrides of the
// writing direction, invisible characters, bytes that aren't UTF-8.
func Line(line string) string {
	var b strings.Builder
	for i, r := range line {
		switch {
		case r == utf8.RuneError && strings.HasPrefix(line[i:], string(r)):
			b.WriteRune(r) // somebody wrote the replacement character itself
		case r == utf8.RuneError:
			fmt.Fprintf(&b, `\x%02x`, line[i])
		case unicode.IsGraphic(r):
			b.WriteRune(r)
		default:
			quoted := strconv.QuoteRuneToASCII(r)
			b.WriteString(quoted[1 : len(quoted)-1])
		}
	}
	return b.String()
}
