package config

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"

	"lampblack/config/private"
	"lampblack/rules"
)

// Answers are what a first run asks for. What is left zero goes into no profile,
// and is assumed.
type Answers struct {
	White    rules.Luminance // of the display on which pictures are edited
	Measured time.Time       // the day of the last calibration; zero: there was none
	Held     *bool           // nobody turns up its brightness, and no sensor dims it
	Exports  string          // the folder of the exports for print; ~ is the home
	Judged   rules.Judging   // how prints are judged
}

// studioLine is the line of the example that is not so in a profile made of it.
const (
	studioLine  = "# This one is of an invented studio. Copy it, and put in your own figures."
	starterLine = "# What stands behind # doesn't count: put in a figure of your own, and take the # away."
)

// Starter is the example, so that all its comments are there, with nothing set
// but the answers: every other key is commented out.
func Starter(a Answers) string {
	set := map[string]string{}
	if a.White != 0 {
		set["display.white_cd_m2"] = plainNumber(float64(a.White))
	}
	if !a.Measured.IsZero() {
		set["display.measured"] = a.Measured.Format(time.DateOnly)
	}
	if a.Held != nil {
		set["display.held"] = strconv.FormatBool(*a.Held)
	}
	if len(set) > 0 {
		set["display"], set["display.name"] = "", `"screen"`
	}
	if a.Judged != rules.JudgedUnsaid {
		set["desk"], set["desk.prints_judged"] = "", strconv.Quote(string(a.Judged))
	}
	if a.Exports != "" {
		set["folder"], set["folder.path"], set["folder.purpose"] = "", quoted(a.Exports), `"print"`
	}
	lines := strings.Split(Example, "\n")
	for i, line := range lines {
		if line == studioLine {
			lines[i] = starterLine
		}
		if t := strings.TrimSpace(line); t != "" && !strings.HasPrefix(t, "#") {
			lines[i] = "# " + line
		}
	}
	at := StarterLines(Example)
	for key, value := range set {
		i := at[key] - 1
		lines[i] = withValue(strings.TrimPrefix(lines[i], "# "), value)
	}
	return strings.Join(lines, "\n")
}

// withValue is a line of the example with another value; its comment stays, in
// its column where there is room. A header has no value.
func withValue(line, value string) string {
	key, rest, isKey := strings.Cut(line, " = ")
	if !isKey {
		return line
	}
	changed := key + " = " + value
	if i := strings.Index(rest, "#"); i >= 0 {
		column := len(key) + len(" = ") + i
		changed += strings.Repeat(" ", max(1, column-len([]rune(changed)))) + rest[i:]
	}
	return changed
}

// quoted is a path as TOML, in single quotes if it can be: a Windows path is then
// as people know it.
func quoted(path string) string {
	if !strings.ContainsAny(path, "'\n\r") && strconv.Quote(path) == `"`+strings.ReplaceAll(strings.ReplaceAll(path, `\`, `\\`), `"`, `\"`)+`"` {
		return "'" + path + "'"
	}
	var b strings.Builder
	for _, r := range path {
		switch {
		case r == '"' || r == '\\':
			b.WriteString(`\` + string(r))
		case strconv.IsPrint(r):
			b.WriteRune(r)
		default:
			fmt.Fprintf(&b, `\U%08X`, r)
		}
	}
	return `"` + b.String() + `"`
}

var (
	starterHeader = regexp.MustCompile(`^(?:# ?)*\[\[?(\w+)\]\]?\s*$`)
	starterKey    = regexp.MustCompile(`^(?:# ?)*(\w+)\s*=`)
)

// StarterLines tells on which line of a profile each table and each key stands
// first, whether it is commented out or not, by names like "display" and
// "display.white_cd_m2", counted from 1.
func StarterLines(profile string) map[string]int {
	at := map[string]int{}
	note := func(name string, line int) {
		if at[name] == 0 {
			at[name] = line
		}
	}
	current := ""
	line := 0
	for text := range strings.Lines(profile) {
		line++
		text = strings.TrimSpace(text)
		if m := starterHeader.FindStringSubmatch(text); m != nil {
			current = m[1]
			note(current, line)
		} else if m := starterKey.FindStringSubmatch(text); m != nil && current != "" {
			note(current+"."+m[1], line)
		}
	}
	return at
}

// WriteStarter writes a first profile, for nobody else to read, into the file
// path, and makes its folder if need be. It never writes over anything: where
// something is, the error is [fs.ErrExist].
func WriteStarter(path string, a Answers) (err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = f.WriteString(Starter(a))
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return errors.Join(err, os.Remove(path)) // half a profile would stand in the way of a whole one
	}
	return private.SyncFolder(filepath.Dir(path))
}
