package log

import (
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// plainReader reads entries in the form in which this program writes them, a
// hundred times as fast as the TOML library: a log grows by an entry an hour, and
// is read at every start. What it doesn't know, sound or not, is left to the
// library.
type plainReader struct {
	entry entry          // the one that was read last; its values are overwritten by the next
	texts map[string]any // each text once, so that no reading holds on to the whole file
}

func newPlainReader() *plainReader {
	return &plainReader{texts: map[string]any{}}
}

// read reads the lines of one entry. The entry is good until the next call.
func (p *plainReader) read(lines string) (e *entry, ok bool) {
	header, rest, _ := strings.Cut(lines, "\n")
	table, opens := strings.CutPrefix(header, "[[")
	table, closes := strings.CutSuffix(table, "]]")
	if !opens || !closes || !isBareKey(table) {
		return nil, false
	}
	p.entry = entry{table: table, values: p.entry.values[:0], whole: true}
	for rest != "" {
		var line string
		line, rest, _ = strings.Cut(rest, "\n")
		if !p.take(line) {
			return nil, false
		}
	}
	return &p.entry, true
}

// take adds the value of one line.
func (p *plainReader) take(line string) bool {
	name, text, ok := strings.Cut(line, " = ")
	if !ok || !isBareKey(name) || p.entry.at(name) >= 0 {
		return false
	}
	v, ok := p.value(text)
	p.entry.values = append(p.entry.values, pair{name, v})
	return ok
}

// value is a moment in UTC, a text without escapes, or a number of digits and a
// point.
func (p *plainReader) value(text string) (v any, ok bool) {
	switch {
	case strings.HasPrefix(text, `"`):
		return p.text(text)
	case isPlainMoment(text):
		at, err := time.Parse(time.RFC3339Nano, text)
		return at, err == nil
	case isPlainNumber(text):
		n, err := strconv.ParseFloat(text, 64)
		return n, err == nil
	}
	return nil, false
}

func (p *plainReader) text(quoted string) (v any, ok bool) {
	text, ended := strings.CutSuffix(quoted[1:], `"`)
	if !ended {
		return nil, false
	}
	if v, ok = p.texts[text]; ok {
		return v, true
	}
	special := func(r rune) bool { return r == '"' || r == '\\' || unicode.IsControl(r) }
	if !utf8.ValidString(text) || strings.ContainsFunc(text, special) {
		return nil, false
	}
	text = strings.Clone(text)
	p.texts[text] = text
	return text, true
}

// isPlainMoment tells a moment in UTC with all its digits: package time takes fewer.
func isPlainMoment(text string) bool {
	const shape = "0000-00-00T00:00:00"
	text, utc := strings.CutSuffix(text, "Z")
	whole, fraction, point := strings.Cut(text, ".")
	if !utc || len(whole) != len(shape) || point && (!isDigits(fraction) || len(fraction) > 9) {
		return false
	}
	for i := range len(shape) {
		if digit := whole[i] >= '0' && whole[i] <= '9'; digit != (shape[i] == '0') || !digit && whole[i] != shape[i] {
			return false
		}
	}
	return true
}

// isPlainNumber tells digits, with a point between them or none, and no zero that
// TOML would not have before them.
func isPlainNumber(text string) bool {
	const most = 15 // digits that any number holds
	whole, rest, point := strings.Cut(text, ".")
	return len(text) <= most && isDigits(whole) && (len(whole) == 1 || whole[0] != '0') && (!point || isDigits(rest))
}

func isDigits(s string) bool {
	for _, r := range s {
		if r < '0' || r > '9' {
			return false
		}
	}
	return s != ""
}

func isBareKey(s string) bool {
	for _, r := range s {
		if !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '_') {
			return false
		}
	}
	return s != ""
}
