package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"sync"
	"unicode"
	"unicode/utf16"

	"lampblack/config/legible"
)

// The voice: what a command was asked for goes to stdout. Everything else goes
// to stderr behind the program's name, in lower case, without a full stop; a
// hint stands on a line of its own. Nothing that comes from outside (a file's
// name, a profile's text) reaches the terminal as anything but visible text.

// prefix stands before every sentence about the work.
const prefix = "lampblack: "

// voice speaks to the terminal. Goroutines may share it: their lines don't mix.
type voice struct {
	out, err io.Writer

	mu   sync.Mutex
	lost error // the first failure to write to out
}

// say says a sentence about the work itself.
func (v *voice) say(text string) {
	v.mu.Lock()
	defer v.mu.Unlock()
	before := prefix
	for line := range strings.SplitSeq(strings.TrimRight(text, "\n"), "\n") {
		// Where stderr is gone there is nowhere left to say so.
		_, _ = fmt.Fprintln(v.err, before+visible(line))
		before = strings.Repeat(" ", len(prefix))
	}
}

// print prints lines that were asked for.
func (v *voice) print(text string) {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		lines[i] = visible(line)
	}
	v.write(strings.Join(lines, "\n"))
}

// printJSON prints value as one line of JSON.
func (v *voice) printJSON(value any) error {
	text, err := json.Marshal(value)
	if err != nil {
		return fmt.Errorf("the result can't be put into JSON: %w", err)
	}
	v.write(escaped(string(text)))
	return nil
}

// write writes a result. What is lost is remembered for the exit code: a
// program that reads us must not take half of an answer for the whole.
func (v *voice) write(text string) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if _, err := fmt.Fprintln(v.out, text); err != nil && v.lost == nil {
		v.lost = fmt.Errorf("the result could not be written: %w", err)
	}
}

// visible is a line that can be read and doesn't steer the terminal.
func visible(line string) string { return legible.Line(line) }

// escaped is JSON that is safe to show: encoding/json leaves DEL, the controls
// above ASCII and the overrides of the writing direction as they are. They
// stand in strings, where \u means the same.
func escaped(text string) string {
	var b strings.Builder
	for _, r := range text {
		if unicode.IsGraphic(r) {
			b.WriteRune(r)
			continue
		}
		for _, unit := range utf16.AppendRune(nil, r) {
			fmt.Fprintf(&b, `\u%04x`, unit)
		}
	}
	return b.String()
}
