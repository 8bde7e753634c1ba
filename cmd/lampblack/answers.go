package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"lampblack/config"
	"lampblack/rules"
)

// The answers of a first run, as people type them. An empty one says that the
// person doesn't know, and gives the zero value. An error is one sentence.

// whiteAnswer is a luminance such as "120", "about 120 cd/m²" or "118,5 nits"; 0
// when it is not known.
func whiteAnswer(text string) (rules.Luminance, error) {
	text = plain(text)
	if text == "" {
		return 0, nil
	}
	v, ok := numberIn(text, "cd/m²", "cd/m2", "cd/m^2", "cd", "nits", "nit")
	if !ok {
		return 0, fmt.Errorf("%q is not a luminance like 120 or 118.5 cd/m²", visible(text))
	}
	if v < 1 || v > rules.MostWhite {
		return 0, fmt.Errorf("a screen's white is from 1 to %d cd/m², not %s", rules.MostWhite, strconv.FormatFloat(v, 'g', -1, 64))
	}
	return rules.Luminance(v), nil
}

// dayAnswer is a day that is not in the future, as seen from now; the zero time
// for "never" and when it is not known.
func dayAnswer(text string, now time.Time) (time.Time, error) {
	text = plain(text)
	if text == "" || text == "never" {
		return time.Time{}, nil
	}
	day, err := stretchOf(text, now)
	switch {
	case err != nil:
		return time.Time{}, fmt.Errorf(`%q is not a day like 2026-02-10, "3 weeks ago", today or never`, visible(text))
	case day.from.After(now):
		return time.Time{}, fmt.Errorf("%q has yet to come", visible(text))
	}
	return day.from, nil
}

// roomAnswer is a room light in lux, by a number or by what it looks like; known
// is false when it is not known.
func roomAnswer(text string) (lux rules.Lux, known bool, err error) {
	text = plain(text)
	if text == "" {
		return 0, false, nil
	}
	if v, ok := numberIn(text, "lx", "lux"); ok {
		if v < 0 || v > rules.MostLux {
			return 0, false, fmt.Errorf("a room light is from 0 to %d lx, not %s", rules.MostLux, strconv.FormatFloat(v, 'g', -1, 64))
		}
		return rules.Lux(v), true, nil
	}
	switch like := config.RoomsLike(text); len(like) {
	case 0:
		return 0, false, fmt.Errorf("%q is neither a number of lux nor one of %s", visible(text), roomNames(config.RoomLooks()))
	case 1:
		return like[0].Light, true, nil
	default:
		return 0, false, fmt.Errorf("%q may mean %s: say which", visible(text), roomNames(like))
	}
}

func roomNames(looks []config.RoomLook) string {
	var names []string
	for _, l := range looks {
		names = append(names, l.Name)
	}
	return strings.Join(names, ", ")
}

// plain is an answer without what people put around it.
func plain(text string) string {
	text = strings.ToLower(strings.Join(strings.Fields(text), " "))
	for _, around := range []string{"about ", "~", "≈"} {
		text = strings.TrimSpace(strings.TrimPrefix(text, around))
	}
	return text
}

// numberIn is the number in a text, with at most one of the units behind it. A
// comma is a decimal point, unless three digits follow, which may be thousands.
func numberIn(text string, units ...string) (float64, bool) {
	for _, u := range units {
		if before, has := strings.CutSuffix(text, u); has {
			text = strings.TrimSpace(before)
			break
		}
	}
	if whole, decimals, has := strings.Cut(text, ","); has && len(decimals) != 3 {
		text = whole + "." + decimals
	}
	if strings.ContainsFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.-+", r) }) {
		return 0, false // strconv knows infinities, exponents and other bases, too
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
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
	path := unquoted(strings.TrimSpace(text))
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
