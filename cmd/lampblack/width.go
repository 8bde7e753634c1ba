package main

import (
	"strings"
	"unicode"
)

// padded is a text with spaces behind it up to a width in terminal columns.
func padded(text string, width int) string {
	return text + strings.Repeat(" ", max(0, width-columnsOf(text)))
}

// columnsOf is how many columns of a terminal a text takes: two for a letter of
// East Asia or a pictograph, none for a mark on the letter before it.
func columnsOf(text string) int {
	n := 0
	for _, r := range text {
		switch {
		case unicode.In(r, unicode.Mn, unicode.Me):
		case isWide(r):
			n += 2
		default:
			n++
		}
	}
	return n
}

// isWide is the greater part of what Unicode's annex 11 calls wide or full width.
func isWide(r rune) bool {
	switch {
	case 0xff61 <= r && r <= 0xffdc: // the halves of kana and hangul
		return false
	case 0x3000 <= r && r <= 0x303e, 0xff01 <= r && r <= 0xff60, 0xffe0 <= r && r <= 0xffe6, 0x1f300 <= r && r <= 0x1faff:
		return true
	}
	return unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul)
}
