// Package firstpage writes the page that a first start from the tray opens beside
// the profile: the four questions, and which lines of the file to edit. It is one
// file of its own, with nothing in it that runs or is fetched.
package firstpage

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"os"
	"path/filepath"
	"strings"

	"lampblack/config/private"
)

// Page is what the page is about.
type Page struct {
	Profile string         // the profile's path
	Text    string         // what is in it
	Lines   map[string]int // where its tables and keys stand, like config.StarterLines
}

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

// Write writes the page into the file path, whole or not at all, and makes its
// folder if need be.
func Write(path string, p Page) error {
	text, err := p.render()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	return private.Replace(path, text)
}

func (p Page) render() ([]byte, error) {
	t, err := template.New("page").Parse(pageHTML)
	if err != nil {
		return nil, err
	}
	var page bytes.Buffer
	err = t.Execute(&page, map[string]any{
		"Profile":  p.Profile,
		"Style":    template.CSS(pageCSS),
		"StyleSum": styleSum(),
		"White":    p.lines("display", "display.name", "display.white_cd_m2", "display.measured", "display.held"),
		"Room":     p.lines("room", "room.reading_hours", "reading", "reading.at", "reading.lx", "reading.place"),
		"Exports":  p.lines("folder", "folder.path", "folder.purpose"),
		"Judged":   p.lines("desk", "desk.prints_judged"),
	})
	return page.Bytes(), err
}

// styleSum names the one style that the page's policy lets through.
func styleSum() string {
	sum := sha256.Sum256([]byte(pageCSS))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// line is one line of the profile, as it is to be.
type line struct {
	Number int // 0: it is not there, and must be written
	Text   string
	Marked bool // it stands in the file with # before it
	Edit   bool // it has a value
}

// lines are the lines of the given names, without the # that takes them out.
func (p Page) lines(names ...string) []line {
	text := strings.Split(strings.ReplaceAll(p.Text, "\r\n", "\n"), "\n")
	all := make([]line, len(names))
	for i, name := range names {
		_, key, isKey := strings.Cut(name, ".")
		l := line{Number: p.Lines[name], Edit: isKey, Text: "[[" + name + "]]"}
		switch {
		case isKey:
			l.Text = key + " = …"
		case name == "room" || name == "desk": // of which there is one
			l.Text = "[" + name + "]"
		}
		if 0 < l.Number && l.Number <= len(text) {
			l.Text = strings.TrimLeft(text[l.Number-1], "# ")
			l.Marked = strings.HasPrefix(strings.TrimSpace(text[l.Number-1]), "#")
		}
		all[i] = l
	}
	return all
}
