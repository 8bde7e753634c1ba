package tray

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// File names come from anywhere and end up in menus and notices. Everything
// that could steer the text instead of being read is taken out here: control
// characters, bidi overrides, invisible characters, bytes that aren't UTF-8
// (the bus would hang up on those).

// cleanLine makes s a single line of visible text.
func cleanLine(s string) string { return strings.TrimSpace(clean(s, false)) }

// cleanText does the same but keeps line breaks.
func cleanText(s string) string { return strings.TrimSpace(clean(s, true)) }

// maxMarks is how many combining marks may follow a letter. Living scripts
// need at most three; towers of them draw over the lines above.
const maxMarks = 3

func clean(s string, breaks bool) string {
	var b strings.Builder
	marks := 0
	for _, r := range strings.ReplaceAll(s, "\r\n", "\n") {
		if unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Me, r) {
			if marks++; marks > maxMarks {
				continue
			}
		} else {
			marks = 0
		}
		switch {
		case r == '\n' && breaks:
			b.WriteByte('\n')
		case r == '\n', r == '\t', r == '\r', unicode.In(r, unicode.Zl, unicode.Zp):
			b.WriteByte(' ')
		case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co):
		default:
			b.WriteRune(r) // an invalid byte arrives as U+FFFD
		}
	}
	return b.String()
}

// The widths beyond which texts are cut, in characters.
const (
	maxLine = 90
	maxBody = 400
)

// leastName is how many characters of a name tell it from others.
const leastName = 12

// cut shortens s to max characters by taking out the middle of what stands before
// its colon: a long file name comes first there, and then the verdict that
// matters. Where that leaves too little, it takes out the middle of s.
func cut(s string, max int) string {
	n := utf8.RuneCountInString(s)
	if n <= max {
		return s
	}
	if name, verdict, ok := strings.Cut(s, ": "); ok {
		room := max - utf8.RuneCountInString(verdict) - 2
		if leastName <= room && room < utf8.RuneCountInString(name) {
			return cut(name, room) + ": " + verdict
		}
	}
	r := []rune(s)
	head := (max - 1) / 2
	tail := max - 1 - head
	return string(r[:head]) + "…" + string(r[n-tail:])
}

// escapeLabel keeps a menu from reading a mark in s as "underline the next
// letter": each system has its own mark, and reads the doubled one as text.
func escapeLabel(goos, s string) string {
	switch goos {
	case "darwin":
		return s
	case "windows":
		return strings.ReplaceAll(s, "&", "&&")
	default: // dbusmenu
		return strings.ReplaceAll(s, "_", "__")
	}
}

var markup = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

// escapeMarkup makes s safe for a notification server with body-markup.
func escapeMarkup(s string) string { return markup.Replace(s) }
