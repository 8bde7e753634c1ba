// Package values reads what people type: times, numbers, exposures, and the answers
// of a first run. Every error is one sentence, or its end behind the flag's name,
// that says what is wrong with the text and what one looks like.
//
// The rule for numbers, here and nowhere else: a decimal point and a decimal comma
// are taken alike, so 0,5 is a half and 12,50 is twelve and a half. Thousands are
// written without anything between them. A number with its thousands apart, as in
// 1,250.5 or 1.250,5 or 1'250, is refused with how to write it, and so is one that
// may be either: 4,000 is 4000 or 4.000. In a list the comma parts its members, so a
// decimal there takes a point. A profile is TOML, which knows no decimal comma; its
// errors say so.
package values

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/alecthomas/kong"
)

// FileName is a file as it was named, byte for byte: kong takes its own strings
// through JSON, which loses names that aren't UTF-8.
type FileName string

// Decode takes the next word of the command line.
func (f *FileName) Decode(ctx *kong.DecodeContext) error {
	token, err := ctx.Scan.PopValue("file")
	if err != nil {
		return err
	}
	name, isText := token.Value.(string)
	if !isText || name == "" {
		return errors.New("no file is named")
	}
	*f = FileName(name)
	return nil
}

// Joined are the words of several arguments as one text.
func Joined(words []FileName) string {
	var all []string
	for _, w := range words {
		all = append(all, string(w))
	}
	return strings.Join(all, " ")
}

// Location is the absolute path of a file or folder; ~/ is the user's home, also
// where a shell leaves it alone, as in --profile=~/desk.toml.
type Location string

// Decode takes the next word of the command line.
func (l *Location) Decode(ctx *kong.DecodeContext) error {
	var name FileName
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
	*l = Location(path)
	return err
}
