package config

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

// slip is something that people type and that is not TOML, told by the look of
// the line on which the library gave up.
type slip struct {
	looks string // a pattern; compiled when a mistake asks, for most starts have none
	text  string // $2 and so on stand for what was found
	hint  string // what the line should be; $1 stands for the key; empty: an example
}

// In this order: the first that fits is told.
var slips = []slip{
	{`^\s*([\w-]+)\s*=\s*[“”„‟«»‘’‚]([^“”„‟«»‘’‚"#]*)[“”„‟«»‘’‚"]`,
		"curly quotes; TOML knows straight ones only", writeSo + `$1 = "$2"`},
	{`^[^#"']*[“”„‟«»‘’‚]`,
		"curly quotes; TOML knows straight ones only", ""},
	{`^\s*([\w-]+)\s*=\s*(-?\d+),(\d+)\s*(?:#.*)?$`,
		"a decimal comma; numbers take a point", writeSo + "$1 = $2.$3"},
	{`^\s*([\w-]+)\s*=\s*(-?)\.(\d+)\s*(?:#.*)?$`,
		"a number that begins with a point; it takes a zero before it", writeSo + "$1 = ${2}0.$3"},
	{`^\s*([\w-]+)\s*=\s*((?i:yes|on|true))\s*(?:#.*)?$`,
		"$2; a yes is written true, in small letters", writeSo + "$1 = true"},
	{`^\s*([\w-]+)\s*=\s*((?i:no|off|false))\s*(?:#.*)?$`,
		"$2; a no is written false, in small letters", writeSo + "$1 = false"},
	{`^\s*([\w-]+)\s*=\s*(\d{4}-\d\d-\d\d)`,
		"the date $2, which is not one of the calendar", "write a day that there is"},
	{`^\s*([\w-]+)\s*=\s*(\d{1,4}[-./]\d{1,2}[-./]\d{1,4})`,
		"the date $2; a date is year-month-day, with two digits for month and day", ""},
	{`^\s*([\w-]+)\s*=\s*(-?\d+(?:\.\d+)?)\s*[\pL°%µ/][^=]*$`,
		"something after the number; a unit is not written, the key's name has it", writeSo + "$1 = $2"},
	{`^\s*([\w-]+)\s*=\s*"([^"']*\\[^"']*)"`,
		"a backslash in double quotes; write paths in single quotes, or with /", writeSo + "$1 = '$2'"},
	{`^\s*([\w-]+)\s*=\s*(?:#.*)?$`,
		"a key without a value; leave the line out, or put # before it", ""},
	{`^\s*([\w-]+)\s*=\s*"([^"\\]*)$`,
		"a text whose closing quote is missing", writeSo + `$1 = "$2"`},
	{`^\s*([\w-]+)\s*=\s*'([^'"\\]*)$`,
		"a text whose closing quote is missing", writeSo + `$1 = '$2'`},
	{`^\s*([\w-]+)\s*=\s*([\pL~/*][^"'\\\[\]{}#=]*?)\s*(?:#.*)?$`,
		"a text without quotes", writeSo + `$1 = "$2"`},
	{`^\s*([\w-]+)\s*:\s*([^#]*?)\s*(?:#.*)?$`,
		"a colon; key and value are joined by =", writeSo + "$1 = $2"},
	{`^\s*([\w-]+)\s+([^=\s\[\]]+)\s*(?:#.*)?$`,
		"a key and a value without = between them", writeSo + "$1 = $2"},
	{`^\s*[\w-]+\s*$`,
		"a word alone; a line is key = value, and # begins a comment", ""},
	openHeader,
}

// openHeader is told of the line before, too: the library gives up after it.
var openHeader = slip{`^\s*(?:\[[^\[\]=,"'#]*|\[\[[^\]=,"'#]*\]?)\s*(?:#.*)?$`,
	"a table whose brackets are not all closed", ""}

var (
	definedTwice = regexp.MustCompile(`^Key '([^']*)' (?:has|was) already been defined|^Key '([^']*)' was already created`)
	headerLine   = regexp.MustCompile(`^\s*\[+\s*([\w-]+)`)
)

// syntaxMistake says in plain words why a file is not TOML. The library stops
// at the first error, so there is one.
func syntaxMistake(file, content string, err error) Mistake {
	m := Mistake{File: file, Line: 1}
	var parse toml.ParseError
	switch {
	case strings.ContainsRune(content, 0):
		m.Text = "is not plain text, or is saved as UTF-16; save it as UTF-8"
		return m
	case !errors.As(err, &parse):
		m.Text = "can't be read as TOML: " + err.Error()
		return m
	}
	m.Line = min(max(1, parse.Position.Line), 1+strings.Count(content, "\n"))
	lines := strings.Split(strings.ReplaceAll(content, "\r\n", "\n"), "\n")
	line := lines[m.Line-1]
	switch twice := definedTwice.FindStringSubmatch(parse.Message); {
	case !utf8.ValidString(line):
		m.Text = "a letter that is not UTF-8; save the file as UTF-8"
	case twice != nil:
		m.explainTwice(twice[1]+twice[2], line)
	default:
		m.explainSlip(lines, parse.Message)
	}
	return m
}

// explainTwice is for a key or table that stands in the file more than once.
func (m *Mistake) explainTwice(name, line string) {
	t, known := tableNamed(name)
	switch {
	case known && t.many:
		m.Text = fmt.Sprintf("[%s] is there more than once; several take double brackets each", name)
		m.Hint = writeSo + t.header()
	case known && headerLine.MatchString(line):
		m.Text = fmt.Sprintf("[%s] is there more than once; put its keys together under one", name)
	default:
		m.Text = fmt.Sprintf("%s is given more than once in its table; allowed is one, so put # before the other", name)
	}
}

// explainSlip looks for a slip that we know, and else hands on the library's words.
func (m *Mistake) explainSlip(lines []string, message string) {
	line := lines[m.Line-1]
	for _, s := range slips {
		if m.explainedBy(s, line) {
			return
		}
	}
	if m.Line > 1 && m.explainedBy(openHeader, lines[m.Line-2]) {
		m.Line--
		return
	}
	switch {
	case strings.Contains(message, "array terminator"):
		m.Text = "found a list without its closing bracket, or without a comma, here or on a line before"
	case strings.Contains(message, "top-level item to end"):
		m.Text = "found something after the value; allowed is a comment, which begins with #"
	default:
		m.Text = "this line, or one before it, is not TOML: " + message
	}
}

// explainedBy tells whether the slip has been made on the line, and if so says so.
func (m *Mistake) explainedBy(s slip, line string) bool {
	looks := regexp.MustCompile(s.looks)
	match := looks.FindStringSubmatchIndex(line)
	if match == nil {
		return false
	}
	m.Text = "found " + string(looks.ExpandString(nil, s.text, line, match))
	m.Hint = string(looks.ExpandString(nil, s.hint, line, match))
	if m.Hint == "" {
		m.Hint = exampleFor(line)
	}
	return true
}

// exampleFor is a correct line in the place of a broken one, as far as it can
// be told what it was to be.
func exampleFor(line string) string {
	if h := headerLine.FindStringSubmatch(line); h != nil {
		if t, ok := tableNamed(h[1]); ok {
			return writeSo + t.header()
		}
		return strangerTableHint(h[1])
	}
	name, typed, _ := strings.Cut(line, "=")
	name = strings.TrimSpace(name)
	typed, _, _ = strings.Cut(typed, "#")
	for _, t := range schema {
		if k, ok := t.key(name); ok {
			return k.hint(typed)
		}
	}
	return ""
}
