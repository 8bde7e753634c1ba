package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
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

// joined are the words of several arguments as one text.
func joined(words []fileName) string {
	var all []string
	for _, w := range words {
		all = append(all, string(w))
	}
	return strings.Join(all, " ")
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

// moment is a time on the command line; nil stands for now. A day alone stands
// for its noon, or for now if it is today.
type moment struct{ time.Time }

// UnmarshalText reads the moment.
func (m *moment) UnmarshalText(text []byte) (err error) {
	m.Time, err = momentOf(string(text), time.Now())
	return err
}

func (m *moment) orNow() time.Time {
	if m == nil {
		return time.Now()
	}
	return m.Time
}
