package rules

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Code names one case of what is said, for programs, which never read a sentence. A
// code stays what it is when the words for it are made better. All are in the table
// [Codes].
type Code string

// Sentence is something that is said, with the case that it is of. The zero Sentence
// says nothing.
type Sentence struct {
	Code Code
	Text string
}

// fillIn is a sentence whose {parameters} are filled in: names and values by turns. A
// value is never looked into, whatever braces it holds.
func fillIn(sentence string, parameters ...any) string {
	pairs := make([]string, len(parameters))
	for i, p := range parameters {
		if i%2 == 0 {
			pairs[i] = "{" + p.(string) + "}"
		} else {
			pairs[i] = fmt.Sprint(p)
		}
	}
	return strings.NewReplacer(pairs...).Replace(sentence)
}

// UpperFirst is a sentence with a capital at its beginning.
func UpperFirst(s string) string { return upperFirst(s) }

func upperFirst(s string) string { return withFirst(s, unicode.ToUpper) }

// lowerFirst is s with a small letter at its beginning.
func lowerFirst(s string) string { return withFirst(s, unicode.ToLower) }

func withFirst(s string, as func(rune) rune) string {
	first, width := utf8.DecodeRuneInString(s)
	if width == 0 || first == utf8.RuneError {
		return s
	}
	return string(as(first)) + s[width:]
}
