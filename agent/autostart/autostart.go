// Package autostart has the desktop start the program when the user logs in:
//
//   - Linux and the BSDs: an entry in the XDG autostart folder (Desktop
//     Application Autostart Specification);
//   - Windows: a value of the user's own Run key;
//   - macOS: a launch agent.
//
// It is for the user alone, needs no rights, and happens only when asked for.
package autostart

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"lampblack/config/private"
)

// Status is whether the program starts with the desktop.
type Status struct {
	On    bool
	Where string // the file or the key that says so, or would
	Runs  string // what is started, as it stands there; empty when nothing is
}

// On has the desktop start exe with args, in place of what it started before.
// exe must be an absolute path that lasts.
func On(exe string, args ...string) error {
	if err := lasting(exe); err != nil {
		return err
	}
	return switchOn(exe, args)
}

// Off has the desktop start nothing any more. Where nothing was, nothing happens.
func Off() error { return switchOff() }

// Read tells how it is now.
func Read() (Status, error) { return read() }

// lasting refuses a program that will be gone by the next login, as one made by
// `go run` is.
func lasting(exe string) error {
	if !filepath.IsAbs(exe) {
		return fmt.Errorf("%s is no absolute path: the desktop could not find it", exe)
	}
	if strings.ContainsAny(exe, "\n\r\x00") {
		return fmt.Errorf("%q can't stand in an autostart entry: move the program to a folder with a plain name", exe)
	}
	for _, dir := range []string{os.TempDir(), "/tmp", "/var/tmp"} {
		if below(dir, exe) {
			return fmt.Errorf("%s lies in a temporary folder and will be gone: put the program where it stays, and start it from there", exe)
		}
	}
	return nil
}

func below(dir, path string) bool {
	rel, err := filepath.Rel(dir, path)
	return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator))
}

// writeEntry replaces the file at path, whole or not at all. A link in its place
// is replaced, not followed.
func writeEntry(path, text string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	return private.Replace(path, []byte(text))
}

// removeEntry removes the file at path, if it is there.
func removeEntry(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}
