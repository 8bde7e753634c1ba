// Package legible makes text from outside (a file's name, a profile's text) safe to
// show. It is the only place that does, in two ways: [Line] writes out what can't
// be seen, for who must tell one name from another; [Plain], [PlainLines] and
// [Name] leave it out, for who only wants to read.
package legible

import (
	"fmt"
	"math"
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

// Plain is s as a single line of visible text in valid UTF-8, for menus, notices
// and sheets: what would steer it is left out, a line end is a space, and a byte
// that isn't UTF-8 is U+FFFD.
func Plain(s string) string { return plain(s, false, math.MaxInt) }

// PlainLines is [Plain] but for the line ends, which it keeps.
func PlainLines(s string) string { return plain(s, true, math.MaxInt) }

// MostOfName is the length of the longest name that [Name] gives, in characters.
const MostOfName = 200

// Name is s as [Plain] has it, without what is no character and no longer than
// [MostOfName]: a name or a sentence out of a file that is not believed.
func Name(s string) string {
	whole := func(r rune) rune {
		if r == unicode.ReplacementChar {
			return -1
		}
		return r
	}
	return plain(strings.Map(whole, s), false, MostOfName)
}

// maxMarks is how many combining marks may follow a letter. Living scripts
// need at most three; towers of them draw over the lines above.
const maxMarks = 3

// plain looks no further than most characters of its result.
func plain(s string, breaks bool, most int) string {
	var b strings.Builder
	marks, kept := 0, 0
	for _, r := range strings.ReplaceAll(s, "\r\n", "\n") {
		if kept == most {
			break
		}
		if unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Me, r) {
			if marks++; marks > maxMarks {
				continue
			}
		} else {
			marks = 0
		}
		switch {
		case r == '\n' && breaks:
		case r == '\n', r == '\t', r == '\r', unicode.In(r, unicode.Zl, unicode.Zp):
			r = ' '
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co):
			continue
		}
		b.WriteRune(r) // an invalid byte arrives as U+FFFD
		kept++
	}
	return strings.TrimSpace(b.String())
}
