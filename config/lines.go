package config

import (
	"fmt"
	"strings"
)

// place names a table, a key or an element of a file: what the decoder knows,
// without the line. place("").in("display").nth(1).in("white_k") is the white_k
// of the second [[display]].
type place string

// Neither separator can be typed in a TOML key: control characters are escaped
// there, and the index keeps keys as they are typed.
func (p place) in(key string) place { return p.then("\x00" + key) }
func (p place) nth(i int) place     { return p.then(fmt.Sprintf("\x01%d", i)) }

// then goes a step deeper. The profile is three deep; places far below that are
// no longer told apart, or a file of brackets alone would fill the memory.
func (p place) then(step string) place {
	const deep = 1000
	if len(p) > deep {
		return p
	}
	return p + place(step)
}

// lineIndex tells on which line of a file a place is first named, from 1. The
// TOML library knows lines of syntax errors only.
type lineIndex map[place]int

// lineScanner walks over a file that is known to be TOML. It need not judge the
// syntax, only find keys; whatever it is given, it moves on and ends.
type lineScanner struct {
	text  string
	pos   int
	line  int
	lines lineIndex
	seen  map[place]int // elements so far of each [[table]]
}

// indexLines indexes a file that is known to be TOML.
func indexLines(toml string) lineIndex {
	s := &lineScanner{
		text:  strings.TrimPrefix(toml, "\ufeff"),
		line:  1,
		lines: lineIndex{},
		seen:  map[place]int{},
	}
	table := place("")
	for s.skipBlank(); !s.done(); s.skipBlank() {
		if s.peek() == '[' {
			table = s.header()
		} else {
			s.pair(table)
		}
	}
	return s.lines
}

func (s *lineScanner) done() bool { return s.pos >= len(s.text) }

// peek is the byte at hand, 0 at the end.
func (s *lineScanner) peek() byte {
	if s.done() {
		return 0
	}
	return s.text[s.pos]
}

// advance passes n bytes and counts their lines.
func (s *lineScanner) advance(n int) {
	end := min(s.pos+n, len(s.text))
	s.line += strings.Count(s.text[s.pos:end], "\n")
	s.pos = end
}

// takes passes prefix if it is at hand.
func (s *lineScanner) takes(prefix string) bool {
	if !strings.HasPrefix(s.text[s.pos:], prefix) {
		return false
	}
	s.advance(len(prefix))
	return true
}

// advanceTo passes everything up to one of stops, or the end.
func (s *lineScanner) advanceTo(stops string) {
	n := strings.IndexAny(s.text[s.pos:], stops)
	if n < 0 {
		n = len(s.text) - s.pos
	}
	s.advance(n)
}

// skipSpace passes spaces and tabs.
func (s *lineScanner) skipSpace() {
	for s.peek() == ' ' || s.peek() == '\t' {
		s.pos++
	}
}

// skipBlank passes white space, line ends and comments.
func (s *lineScanner) skipBlank() {
	for {
		switch s.peek() {
		case ' ', '\t', '\r', '\n':
			s.advance(1)
		case '#':
			s.advanceTo("\n")
		default:
			return
		}
	}
}

// note remembers the line of a place, unless an earlier line named it.
func (s *lineScanner) note(p place, line int) {
	if _, ok := s.lines[p]; !ok {
		s.lines[p] = line
	}
}

// header passes "[a.b]" or "[[a.b]]" and is the table it opens.
func (s *lineScanner) header() place {
	line := s.line
	s.advance(1)
	many := s.takes("[")
	keys := s.dottedKey()
	s.advanceTo("\n")
	p := place("")
	for i, k := range keys {
		p = p.in(k)
		s.note(p, line)
		if many && i == len(keys)-1 {
			s.seen[p]++
		}
		if n := s.seen[p]; n > 0 {
			p = p.nth(n - 1)
			s.note(p, line)
		}
	}
	return p
}

// pair passes "key = value" of a table.
func (s *lineScanner) pair(table place) {
	line, start := s.line, s.pos
	p := table
	for _, k := range s.dottedKey() {
		p = p.in(k)
		s.note(p, line)
	}
	if s.takes("=") {
		s.value(p)
	}
	if s.pos == start {
		s.advance(1)
	}
}

// dottedKey passes a key such as a."b c".d and the space after it.
func (s *lineScanner) dottedKey() (keys []string) {
	for {
		s.skipSpace()
		keys = append(keys, s.simpleKey())
		s.skipSpace()
		if !s.takes(".") {
			return keys
		}
	}
}

// simpleKey passes one part of a key and is its name. Escapes in quoted keys
// stay as typed: no key of the profile needs one.
func (s *lineScanner) simpleKey() string {
	start := s.pos
	if q := s.peek(); q == '"' || q == '\'' {
		s.quoted()
		return strings.Trim(s.text[start:s.pos], string(q))
	}
	s.advanceTo(".= \t\r\n]}#,\"'[{")
	return s.text[start:s.pos]
}

// value passes one value and indexes what it holds.
func (s *lineScanner) value(p place) {
	s.skipSpace()
	switch s.peek() {
	case '"', '\'':
		s.quoted()
	case '[':
		s.list(p)
	case '{':
		s.inlineTable(p)
	default:
		s.advanceTo(",]}#\n")
	}
}

// list passes "[a, b]", over as many lines as it takes.
func (s *lineScanner) list(p place) {
	s.advance(1)
	for i := 0; ; i++ {
		s.skipBlank()
		if s.done() || s.takes("]") {
			return
		}
		start := s.pos
		s.note(p.nth(i), s.line)
		s.value(p.nth(i))
		s.skipBlank()
		if !s.takes(",") && s.pos == start {
			s.advance(1)
		}
	}
}

// inlineTable passes "{a = 1, b = 2}".
func (s *lineScanner) inlineTable(p place) {
	s.advance(1)
	for {
		s.skipBlank()
		if s.done() || s.takes("}") {
			return
		}
		s.pair(p)
		s.skipBlank()
		s.takes(",")
	}
}

// quoted passes a string of any of the four forms.
func (s *lineScanner) quoted() {
	q := string(s.peek())
	if s.takes(q + q + q) {
		s.closeQuote(q+q+q, q == `"`)
		for range 2 { // a multi-line string may end in two quotes of its own
			s.takes(q)
		}
		return
	}
	s.advance(1)
	s.closeQuote(q, q == `"`)
}

// closeQuote passes everything up to and with the closing quote.
func (s *lineScanner) closeQuote(quote string, escapes bool) {
	for !s.done() && !s.takes(quote) {
		if escapes && s.peek() == '\\' {
			s.advance(1)
		}
		s.advance(1)
	}
}
