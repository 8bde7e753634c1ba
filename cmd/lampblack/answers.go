package main

import (
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"lampblack/rules"
)

// The answers of a first run, as people type them. An empty one says that the
// person doesn't know, and gives the zero value. An error is one sentence.

// whiteAnswer is a luminance such as "120", "about 120 cd/m²" or "118,5 nits"; 0
// when it is not known.
func whiteAnswer(text string) (rules.Luminance, error) {
	if plain(text) == "" {
		return 0, nil
	}
	v, err := whiteFigure.read(text)
	return rules.Luminance(v), err
}

// dayAnswer is a day that is not in the future, as seen from now; the zero time
// for "never" and when it is not known.
func dayAnswer(text string, now time.Time) (time.Time, error) {
	typed := strings.TrimSpace(text)
	text = plain(text)
	if text == "" || text == "never" {
		return time.Time{}, nil
	}
	day, err := stretchOf(text, now)
	switch {
	case err != nil && len(meantDays(text)) > 0:
		return time.Time{}, err
	case err != nil:
		return time.Time{}, fmt.Errorf(`%q is not a day like 2026-02-10, "3 weeks ago", today or never`, visible(typed))
	case day.from.After(now):
		return time.Time{}, fmt.Errorf("%q has yet to come", visible(typed))
	}
	return day.from, nil
}

// yesOrNoAnswer is yes or no; nil when it is not known.
func yesOrNoAnswer(text string) (*bool, error) {
	switch plain(text) {
	case "":
		return nil, nil
	case "yes", "y", "true":
		return new(true), nil
	case "no", "n", "false":
		return new(false), nil
	}
	return nil, fmt.Errorf("%q is neither yes nor no", visible(strings.TrimSpace(text)))
}

// roomAnswer is a room light, by a number of lux or by what it looks like; nil
// when it is not known. A look is no measurement, and says so.
func roomAnswer(text string) (*rules.Reading, error) {
	typed := strings.TrimSpace(text)
	text = plain(text)
	if text == "" {
		return nil, nil
	}
	if _, isNumber := luxFigure.number(text); isNumber {
		v, err := luxFigure.read(typed)
		if err != nil {
			return nil, err
		}
		return &rules.Reading{Light: rules.Lux(v), Place: rules.AtScreen}, nil
	}
	switch like := rules.RoomsLike(text); len(like) {
	case 0:
		return nil, fmt.Errorf("%q is neither a number of lux nor one of %s", visible(typed), roomNames(rules.RoomLooks()))
	case 1:
		return &rules.Reading{Light: like[0].Light, Place: rules.AtScreen, Sigma: rules.ByEye, Note: "by eye: " + like[0].Name}, nil
	default:
		return nil, fmt.Errorf("%q may mean %s: say which", visible(typed), roomNames(like))
	}
}

func roomNames(looks []rules.RoomLook) string {
	var names []string
	for _, l := range looks {
		names = append(names, l.Name)
	}
	return strings.Join(names, ", ")
}

// folder is a folder for exports.
type folder struct {
	typed string // as it goes into the profile: absolute, or below ~
	full  string
}

// errNotThere means that a folder is not there, which may be so just now.
var errNotThere = errors.New("is not there")

// folderAnswer is a folder; its error is errNotThere for one that can be kept.
func folderAnswer(text string) (folder, error) {
	path := pasted(strings.TrimSpace(text))
	switch {
	case path == "":
		return folder{}, nil
	case !utf8.ValidString(path) || strings.ContainsFunc(path, unicode.IsControl):
		return folder{}, fmt.Errorf("%s has a character that no profile can hold: rename the folder", visible(path))
	}
	f := folder{typed: path, full: path}
	if rest, below := strings.CutPrefix(path, "~"); below {
		home, err := os.UserHomeDir()
		if err != nil || rest != "" && !strings.ContainsAny(rest[:1], `/\`) {
			return folder{}, fmt.Errorf("can't tell where %s is: name the whole path", visible(path))
		}
		f.full = filepath.Join(home, rest)
	} else if abs, err := filepath.Abs(path); err == nil {
		f.typed, f.full = abs, abs
	}
	return f, lookAt(f.full)
}

func lookAt(path string) error {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return fmt.Errorf("%s %w", visible(path), errNotThere)
	case !info.IsDir():
		return fmt.Errorf("%s is a file: exports go into a folder", visible(path))
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
