package config

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// hint is a correct line for the key, as near as can be to what was typed.
func (k key) hint(v any) string {
	if s, ok := v.(string); ok {
		if meant, ok := k.meant(strings.TrimSpace(s)); ok {
			return writeSo + k.line(meant)
		}
	}
	if low, high, ok := k.readPair(v); ok && k.kind == kindInterval {
		return writeSo + k.line(fmt.Sprintf("[%s, %s]", plainNumber(min(low, high)), plainNumber(max(low, high))))
	}
	return k.instance()
}

// meant is the value that a text was probably meant to be, as TOML.
func (k key) meant(typed string) (string, bool) {
	switch k.kind {
	case kindNumber, kindWhole:
		n, err := strconv.ParseFloat(strings.ReplaceAll(firstWord(typed), ",", "."), 64)
		return plainNumber(n), err == nil && k.holds(n)
	case kindFlag:
		return flagMeant(typed)
	case kindPatterns:
		return fmt.Sprintf("[%q]", typed), typed != ""
	case kindChoice:
		c, ok := nearest(typed, k.choices)
		return strconv.Quote(c), ok
	case kindDay:
		return dayMeant(typed)
	case kindPath:
		raw := strings.NewReplacer("\t", `\t`, "\n", `\n`, "\r", `\r`, "\b", `\b`, "\f", `\f`, "\x1b", `\e`).Replace(typed)
		return "'" + raw + "'", raw != typed && !strings.Contains(raw, "'")
	}
	return "", false
}

// firstWord leaves a unit out: "118 cd/m2" is 118.
func firstWord(s string) string {
	word, _, _ := strings.Cut(s, " ")
	return word
}

func flagMeant(typed string) (string, bool) {
	switch strings.ToLower(typed) {
	case "true", "yes", "on", "y":
		return "true", true
	case "false", "no", "off", "n":
		return "false", true
	}
	return "", false
}

// dayMeant reads the dates that can be read in one way only.
func dayMeant(typed string) (string, bool) {
	for _, layout := range []string{time.DateOnly, "2006-1-2", "2006/1/2", "2006.1.2", "2.1.2006", "2 Jan 2006", "2 January 2006"} {
		if t, err := time.Parse(layout, typed); err == nil {
			return t.Format(time.DateOnly), true
		}
	}
	return "", false
}

// strangerHint is for a key that its table doesn't have: the nearest key, or
// where it belongs.
func (t table) strangerHint(name string) string {
	if near, ok := nearest(name, t.keyNames()); ok {
		return fmt.Sprintf("did you mean %s?", near)
	}
	return homeHint(name)
}

// strangerTableHint is for a table or key at the top that the profile doesn't
// have.
func strangerTableHint(name string) string {
	var names []string
	for _, t := range schema {
		names = append(names, t.name)
	}
	if near, ok := nearest(name, names); ok {
		t, _ := tableNamed(near)
		return fmt.Sprintf("did you mean %s?", t.header())
	}
	return homeHint(name)
}

// homeHint is where a key of that name belongs; empty when it belongs nowhere.
func homeHint(name string) string {
	if at := homes(name); len(at) > 0 {
		return fmt.Sprintf("%s goes under %s", name, strings.Join(at, " or "))
	}
	return ""
}
