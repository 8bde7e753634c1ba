package tray

import (
	"strings"
	"unicode/utf8"
)

// The widths beyond which texts are cut, in characters.
const (
	maxLine = 90
	maxBody = 400
)

// leastName is how many characters of a name tell it from others: with room for fewer, the
// whole line is cut.
const leastName = 12

// cut shortens s to max characters by taking out its middle.
func cut(s string, max int) string {
	n := utf8.RuneCountInString(s)
	if n <= max {
		return s
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
