package values

import (
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"lampblack/config/legible"
)

// Folder is a folder for exports.
type Folder struct {
	Typed string // as it goes into the profile: absolute, or below ~
	Full  string // absolute
}

// ErrNotThere means that a folder is not there, which may be so just now.
var ErrNotThere = errors.New("is not there")

// FolderAnswer is a folder; its error is ErrNotThere for one that can be kept.
func FolderAnswer(text string) (Folder, error) {
	path := pasted(strings.TrimSpace(text))
	switch {
	case path == "":
		return Folder{}, nil
	case !utf8.ValidString(path) || strings.ContainsFunc(path, unicode.IsControl):
		return Folder{}, fmt.Errorf("%s has a character that no profile can hold: rename the folder", legible.Line(path))
	}
	f := Folder{Typed: path, Full: path}
	if rest, below := strings.CutPrefix(path, "~"); below {
		home, err := os.UserHomeDir()
		if err != nil || rest != "" && !strings.ContainsAny(rest[:1], `/\`) {
			return Folder{}, fmt.Errorf("can't tell where %s is: name the whole path", legible.Line(path))
		}
		f.Full = filepath.Join(home, rest)
	} else if abs, err := filepath.Abs(path); err == nil {
		f.Typed, f.Full = abs, abs
	}
	return f, lookAt(f.Full)
}

func lookAt(path string) error {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return fmt.Errorf("%s %w", legible.Line(path), ErrNotThere)
	case !info.IsDir():
		return fmt.Errorf("%s is a file: exports go into a folder", legible.Line(path))
	}
	return nil
}

// pasted is a path as terminals and file managers give it when it is dropped or
// copied: quoted, as a file URL, or with a backslash before each blank.
func pasted(text string) string {
	path := unquoted(text)
	if u, err := url.Parse(path); err == nil && u.Scheme == "file" && (u.Host == "" || u.Host == "localhost") {
		return filepath.FromSlash(drive.ReplaceAllString(u.Path, "$1"))
	}
	if filepath.Separator == '/' && path == text && lookAt(path) != nil {
		return escape.ReplaceAllString(path, "$1")
	}
	return path
}

var (
	drive  = regexp.MustCompile(`^/([A-Za-z]:)`) // of a file URL on Windows
	escape = regexp.MustCompile(`\\(.)`)
)

// unquoted is a path without the quotes that terminals put around one that is
// dropped on them.
func unquoted(path string) string {
	for _, q := range []string{"'", `"`} {
		if inner, ok := strings.CutPrefix(path, q); ok && strings.HasSuffix(inner, q) {
			return strings.TrimSuffix(inner, q)
		}
	}
	return path
}
