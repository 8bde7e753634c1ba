package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"lampblack/cmd/lampblack/values"
)

// The words of the command line, before kong reads them and after it has failed to.

// arrange makes of the words people type those that kong reads as meant: help
// and --version are what they are elsewhere, and the flags stand before the other
// words, each with its value behind "=". The error is a flag without its value.
func arrange(app *kong.Application, args []string) ([]string, error) {
	switch {
	case len(args) > 0 && args[0] == "help":
		args = append(slices.Clone(args[1:]), "--help")
	case len(args) == 1 && args[0] == "--version":
		return []string{"version"}, nil
	}
	return flagsFirst(flagsOf(app, args), args)
}

// commandAmong is the command that is among the words; nil where none is.
func commandAmong(app *kong.Application, args []string) *kong.Node {
	for _, a := range args {
		for _, c := range app.Leaves(false) {
			if c.Name == a {
				return c
			}
		}
	}
	return nil
}

// flagsOf are the flags, as they are typed, of the command that is among the
// words; of all commands where none is.
func flagsOf(app *kong.Application, args []string) map[string]*kong.Flag {
	commands := app.Leaves(false)
	if c := commandAmong(app, args); c != nil {
		commands = []*kong.Node{c}
	}
	known := map[string]*kong.Flag{}
	for _, command := range commands {
		for _, f := range slices.Concat(command.AllFlags(false)...) {
			known["--"+f.Name] = f
			for _, alias := range f.Aliases {
				known["--"+alias] = f
			}
			if f.Short != 0 {
				known["-"+string(f.Short)] = f
			}
		}
	}
	return known
}

// flagsFirst puts the flags of a command line before its other words: kong takes
// no file after a flag that stands behind a file. A number below 0 is no flag.
func flagsFirst(known map[string]*kong.Flag, args []string) ([]string, error) {
	var flags, others []string
	for i := 0; i < len(args); i++ {
		a := args[i]
		f := known[a]
		switch {
		case a == "--":
			others = append(others, args[i+1:]...)
			i = len(args)
		case !strings.HasPrefix(a, "-") || values.LooksNegative(a):
			others = append(others, a)
		case f == nil || f.IsBool():
			flags = append(flags, asListed(known, a))
		case i+1 == len(args) || isFlag(known, args[i+1]):
			return nil, fmt.Errorf("%s needs a value, as in %[1]s %s", a, strings.Trim(f.FormatPlaceHolder(), `"`))
		default:
			i++
			flags = append(flags, asListed(known, "--"+f.Name+"="+args[i]))
		}
	}
	if len(others) == 0 {
		return flags, nil
	}
	return slices.Concat(others[:1], flags, []string{"--"}, others[1:]), nil
}

// asListed is a flag with its value, of which a word that is to be one of several
// is written like that one: in small letters.
func asListed(known map[string]*kong.Flag, word string) string {
	name, value, _ := strings.Cut(word, "=")
	f := known[name]
	if f == nil || f.Enum == "" {
		return word
	}
	words := strings.Split(value, ",") // of a flag that takes several
	for i, w := range words {
		for _, listed := range f.EnumSlice() {
			if strings.EqualFold(strings.TrimSpace(w), listed) {
				words[i] = listed
			}
		}
	}
	return name + "=" + strings.Join(words, ",")
}

// isFlag tells whether a word is a flag, with or without a value.
func isFlag(known map[string]*kong.Flag, word string) bool {
	name, _, _ := strings.Cut(word, "=")
	return word == "--" || known[name] != nil
}

// Kong's sentences that aren't plain, and what stands for them.
var plainer = []struct {
	is  *regexp.Regexp
	say string
}{
	{regexp.MustCompile(`^(?s:(?:\[?<\w+>(?: \.\.\.)?\]?): (.*))$`), "$1"}, // whose name nobody typed
	{regexp.MustCompile(`^(?s:(?:(--[\w-]+)|\[?<\w+>(?: \.\.\.)?\]?) must be one of (.*) but got (.*))$`), "$1: $3 is none of $2"},
	{regexp.MustCompile(`^expected "<(\w+)>( \.\.\.)?.*"$`), "the $1 is missing"},
	{regexp.MustCompile(`^(--[\w-]+): bool value must be .* but got (.*)$`), "$1 takes no value"},
	{regexp.MustCompile(`^unknown flag (-\S+)`), "there is no flag $1"},
	{regexp.MustCompile(`^unexpected flag argument (.*)$`), "$1 belongs to no flag"},
}

// plainly is an error of kong's about the words of a command line, as arranged,
// in plain words.
func plainly(err error, args []string) string {
	text := err.Error()
	if len(args) > 0 { // the command stands first
		text = strings.Replace(text, "unexpected argument "+args[0], "there is no command "+args[0], 1)
	}
	for _, p := range plainer {
		text = p.is.ReplaceAllString(text, p.say)
	}
	return strings.ReplaceAll(strings.TrimPrefix(text, ": "), `","`, `", "`)
}
