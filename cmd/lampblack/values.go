package main

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/alecthomas/kong"
)

// The values of the command line, which say what is wrong with them in words.

// fileName is a file as it was named, byte for byte: kong takes its own strings
// through JSON, which loses names that aren't UTF-8.
type fileName string

// Decode takes the next word of the command line.
func (f *fileName) Decode(ctx *kong.DecodeContext) error {
	token, err := ctx.Scan.PopValue("file")
	if err != nil {
		return err
	}
	name, isText := token.Value.(string)
	if !isText || name == "" {
		return errors.New("no file is named")
	}
	*f = fileName(name)
	return nil
}

// location is the absolute path of a file or folder; ~/ is the user's home, also
// where a shell leaves it alone, as in --profile=~/desk.toml.
type location string

// Decode takes the next word of the command line.
func (l *location) Decode(ctx *kong.DecodeContext) error {
	var name fileName
	if err := name.Decode(ctx); err != nil {
		return err
	}
	path := string(name)
	if below, ok := strings.CutPrefix(path, "~/"); ok {
		home, err := os.UserHomeDir()
		if err != nil {
			return fmt.Errorf("can't tell where ~ is: %w", err)
		}
		path = filepath.Join(home, below)
	}
	path, err := filepath.Abs(path)
	*l = location(path)
	return err
}

// moment is a time on the command line, RFC 3339; nil stands for now.
type moment struct{ time.Time }

// UnmarshalText reads the moment.
func (m *moment) UnmarshalText(text []byte) error {
	t, err := time.Parse(time.RFC3339, string(text))
	if err != nil {
		return fmt.Errorf("%q is not a time like 2026-03-01T10:00:00Z", text)
	}
	m.Time = t
	return nil
}

func (m *moment) orNow() time.Time {
	if m == nil {
		return time.Now()
	}
	return m.Time
}

// number is a finite number on the command line.
type number float64

// UnmarshalText reads the number.
func (n *number) UnmarshalText(text []byte) error {
	v, err := strconv.ParseFloat(string(text), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%q is not a number like 0.18 or 48", text)
	}
	*n = number(v)
	return nil
}

// relativeY is a relative luminance on the command line: a number from 0 to 1.
type relativeY float64

// UnmarshalText reads the relative luminance.
func (y *relativeY) UnmarshalText(text []byte) error {
	var n number
	if err := n.UnmarshalText(text); err != nil {
		return err
	}
	if !(n >= 0 && n <= 1) {
		return fmt.Errorf("%g is not a relative luminance between 0 and 1", n)
	}
	*y = relativeY(n)
	return nil
}
